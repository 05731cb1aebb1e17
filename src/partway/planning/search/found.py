"""What a search found, and who hears of it on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from partway.planning.check.second_opinion import Opinion
from partway.planning.decision import Decision
from partway.planning.learned.memory import LearnedSearch


@dataclass(frozen=True, slots=True)
class SearchFound:
    """The best decision, its objective in currency units, and a bound no plan can beat.

    `optimal`: the bound is within the gap asked for (relative to max(1, |objective|)), other methods agree, and
    `doubts` is empty. `doubts` are codes: `two-methods-disagree`; `no-time-to-drive`, time ran out before any trip was
    planned. `opinions` are what the other methods said; asking them took `opinion_seconds` of processor time.
    `learned` is for the next search of the same scenario at other prices; None where there is nothing to hand on.
    """

    decision: Decision
    objective: float
    bound: float
    optimal: bool
    doubts: tuple[str, ...] = ()
    opinions: tuple[Opinion, ...] = ()
    opinion_seconds: float = 0.0
    learned: LearnedSearch | None = None


OnProgress = Callable[[float, float], None]  # objective, bound
OnFound = Callable[[SearchFound], None]
