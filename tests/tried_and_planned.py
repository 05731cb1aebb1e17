"""One scenario tried in every way there is and planned, and whether the two agree. The one home of that comparison."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from brute import tried

from partway.errors import PartwayError
from partway.planning.check.verify import verify
from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.things.scenario import Scenario

TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more


def same(a: float, b: float) -> bool:
    """Whether two plans are worth the same."""
    return abs(a - b) <= TOLERANCE * max(1.0, abs(b))


def proven(instance: Instance) -> float:
    """What the best plan of an instance is worth, checked; it must be proven."""
    found = search(instance, 30.0, 1e-9)
    assert found.optimal
    return verify(instance, found.decision).money.total


@dataclass(frozen=True)
class Both:
    """What trying everything says, and what the plan says."""

    tried: float
    planned: float
    optimal: bool
    doubts: tuple[str, ...] = ()
    failed: str = ""
    plan: tuple[Instance, Decision] | None = field(default=None, repr=False)

    @property
    def agree(self) -> bool:
        """Whether the plan is as good as any, and says so."""
        return self.optimal and same(self.planned, self.tried)


def compare(it: Scenario) -> Both | None:
    """Both answers; None where there is too much to try."""
    best = tried(it)
    if best is None:
        return None
    try:
        instance = build(it)
        found = search(instance, seconds=30.0, gap=1e-9)
        worth = verify(instance, found.decision).money.total
    except PartwayError as error:  # so that one failure does not hide the others
        return Both(best, math.nan, False, failed=repr(error))
    return Both(best, worth, found.optimal, found.doubts, plan=(instance, found.decision))


def wrong(answer: Callable[[int], Both | None], seeds: Iterable[int]) -> dict[int, Both]:
    """The seeds for which the two answers differ."""
    both = {seed: answer(seed) for seed in seeds}
    return {seed: it for seed, it in both.items() if it is not None and not it.agree}
