"""What a search found, and who hears of it on the way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from partway.planning.check.second_opinion import Opinion
from partway.planning.decision import Decision


@dataclass(frozen=True, slots=True)
class Found:
    """The best decision, its objective in currency units, and a bound no plan can beat.

    `optimal` says that the bound is within the gap asked for, relative to max(1, |objective|), that other methods
    agree, and that nothing else is doubted. `doubts` are codes of what speaks against the proof:
    `two-methods-disagree`; `most-stops`, the best that trips of at most twelve stops can do, while longer ones may do
    better; `no-time-to-drive`, a plan that stays at home because time ran out. `opinions` are what the other methods
    said, which took `opinion_seconds` of the processor.
    """

    decision: Decision
    objective: float
    bound: float
    optimal: bool
    doubts: tuple[str, ...] = ()
    opinions: tuple[Opinion, ...] = ()
    opinion_seconds: float = 0.0


OnProgress = Callable[[float, float], None]  # objective, bound
OnFound = Callable[[Found], None]
