"""The cash of a plan as a range, without the code that draws it, so that reports need not load numpy."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CashRange:
    """Money that changes hands: expected, and the 10 % and 90 % points of seeded draws.

    `beats_home` is the share of the draws in which the plan, its hours paid and what it keeps counted, is worth more
    than staying home.
    """

    low: float
    expected: float
    high: float
    draws: int
    seed: int
    beats_home: float
