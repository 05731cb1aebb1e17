"""One scenario planned and enumerated, and whether the two agree; for the test and for benchmarks/brute.py."""

from __future__ import annotations

import math
from dataclasses import dataclass

from brute import Search
from brute_pieces import TooLarge

from partway.errors import PartwayError
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.things.scenario import Scenario

__all__ = ["Both", "TooLarge", "compare"]

TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more


@dataclass(frozen=True)
class Both:
    """What trying everything says, and what the plan says."""

    tried: float
    planned: float
    optimal: bool
    doubts: tuple[str, ...] = ()
    failed: str = ""

    @property
    def agree(self) -> bool:
        """Whether the plan is as good as any, and says so."""
        return self.optimal and abs(self.planned - self.tried) <= TOLERANCE * max(1.0, abs(self.tried))


def compare(it: Scenario) -> Both:
    """Both answers; raises TooLarge where there is too much to try."""
    best = Search(it).best().total
    try:
        instance = build(it)
        found = search(instance, seconds=30.0, gap=1e-9)
        worth = verify(instance, found.decision).money.total
    except PartwayError as error:  # so that one failure does not hide the others
        return Both(best, math.nan, False, failed=repr(error))
    return Both(best, worth, found.optimal, getattr(found, "doubts", ()))
