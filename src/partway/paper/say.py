"""How figures and cautions are written on every paper."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any, Protocol

from partway.catalogue.cards import CautionCard


class PaperWords(Protocol):
    """How figures are written where the paper is asked for: pages and commands have one way."""

    def money(self, amount: Decimal | float | None) -> str: ...  # noqa: D102
    def about(self, amount: float | None) -> str: ...  # noqa: D102
    def between(self, low: float | None, high: float | None) -> str: ...  # noqa: D102
    def kg(self, kg: float | None) -> str: ...  # noqa: D102
    def price(self, per_kg: float | None) -> str: ...  # noqa: D102
    def minutes(self, minutes: float | None) -> str: ...  # noqa: D102
    def hours(self, hours: float | None) -> str: ...  # noqa: D102
    def litres(self, litres: float | None) -> str: ...  # noqa: D102
    def km(self, km: float | None) -> str: ...  # noqa: D102
    def day(self, day: str | None) -> str: ...  # noqa: D102
    def bin(self, bin_id: str) -> str: ...  # noqa: D102
    def number(self, value: float | None, digits: int = 0) -> str: ...  # noqa: D102
    def sentence(self, text: str) -> str: ...  # noqa: D102


def caution(card: CautionCard, words: PaperWords) -> dict[str, Any]:
    """A card as a paper has it: what comes first, and what never."""
    return {
        "name": card.name,
        "first": words.sentence(card.first),
        "never": words.sentence(card.never) if card.never else "",
    }


def day_with_year(day: dt.date | str) -> str:
    """A day by its date with the year: a paper is read long after it was printed."""
    day = dt.date.fromisoformat(day) if isinstance(day, str) else day
    return f"{day.day} {day:%B} {day.year}"
