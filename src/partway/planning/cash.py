"""The cash of a plan as a range. Apart from how it is drawn, so that reports need no arrays to name it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CashRange:
    """Money that changes hands: expected, and where 10 and 90 of 100 seeded draws lie."""

    low: float
    expected: float
    high: float
    draws: int
    seed: int
