"""How far a price is to be trusted by the days since it was heard: the same everywhere."""

from __future__ import annotations

from typing import Literal

PriceAge = Literal["fresh", "ageing", "old"]
NOTICE_DAYS = 14  # up to here a price is as good as today's (common practice, no source)
OLD_DAYS = 30  # beyond it a price is only a memory of one (common practice, no source)


def age_of(days: int) -> PriceAge:
    """The age of a price heard so many days ago."""
    return "fresh" if days <= NOTICE_DAYS else "ageing" if days <= OLD_DAYS else "old"
