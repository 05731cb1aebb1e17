"""A plan that begins with what an earlier one learned is as good as one from nothing, and as trying everything.

The other side is tests/brute.py, which shares no code with planning. No outside source is needed for the rest.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
import pytest
from brute import Search
from brute_pieces import TooLarge
from repriced import SORTS, one_price
from tiny import scenario
from tiny_elsewhere import elsewhere
from tiny_fees import with_fees
from tiny_limits import limited
from tiny_odd import scenario as odd

from partway.errors import PlanUnsound
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.learned.memory import LearnedSearch
from partway.planning.search.run import SearchRun
from partway.planning.search.search import SearchFound, search
from partway.things.scenario import Scenario

GAP = 1e-9
TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more
SORTS_OF_SCENARIO = {"usual": scenario, "fees": with_fees, "limits": limited, "elsewhere": elsewhere, "odd": odd}
SEEDS = range(16)
ENOUGH = 25  # that begin with something, of those small enough to try everything


@dataclass(frozen=True)
class Compared:
    """One scenario, after one price changed: tried, from nothing, and from what was learned before."""

    sort: str
    change: str
    tried: float
    cold: SearchFound
    warm: SearchFound
    warm_worth: float

    @property
    def agree(self) -> bool:
        """Whether all three are worth the same and the plans say that they are proven."""
        slack = TOLERANCE * max(1.0, abs(self.tried))
        near = (self.cold.objective, self.warm.objective, self.warm_worth)
        return self.cold.optimal and self.warm.optimal and all(abs(it - self.tried) <= slack for it in near)


def found(it: Scenario, known: LearnedSearch | None = None) -> SearchFound:
    return search(build(it), seconds=30.0, gap=GAP, known=known)


def compared(sort: str, seed: int) -> Compared | None:
    """None where there is too much to try, or nothing to begin with."""
    rng = random.Random(f"{sort} {seed}")
    it, change = SORTS_OF_SCENARIO[sort](seed), SORTS[seed % len(SORTS)]
    other = one_price(rng, it, change)
    learned = found(it).learned
    if learned is None or not learned.fits(other):
        return None
    try:
        tried = Search(other).best().total
    except TooLarge:
        return None
    warm = found(other, learned)
    return Compared(sort, change, tried, found(other), warm, verify(build(other), warm.decision).money.total)


def test_it_is_worth_what_one_from_nothing_and_trying_everything_are_worth(monkeypatch: pytest.MonkeyPatch) -> None:
    began: list[float] = []
    begin = SearchRun._begin_with_known

    def noted(self: SearchRun) -> None:
        begin(self)
        began.extend([self.objective] if math.isfinite(self.objective) else [])

    monkeypatch.setattr(SearchRun, "_begin_with_known", noted)
    pairs = [(sort, seed) for sort in SORTS_OF_SCENARIO for seed in SEEDS]
    known = {pair: it for pair in pairs if (it := compared(*pair)) is not None}
    assert {pair: it for pair, it in known.items() if not it.agree} == {}
    assert len(began) >= ENOUGH
    for counted in (Counter(it.sort for it in known.values()), Counter(it.change for it in known.values())):
        assert len(counted) in {len(SORTS), len(SORTS_OF_SCENARIO)} and min(counted.values()) >= 4, counted


def learned_of(seed: int) -> tuple[Scenario, LearnedSearch]:
    it = scenario(seed)
    learned = found(it).learned
    assert learned is not None
    return it, learned


@pytest.mark.parametrize(("share", "shuffled"), [(1.0, False), (0.1, False), (0.0, True)])
@pytest.mark.parametrize("seed", [3, 4, 5, 10, 12, 13])
def test_a_memory_that_is_wrong_costs_time_and_nothing_else(seed: int, share: float, shuffled: bool) -> None:
    it, learned = learned_of(seed)
    rng = np.random.default_rng(seed)
    other = one_price(random.Random(seed), it, "up")
    plan = learned.plan + rng.integers(-1, 2, len(learned.plan)) * (rng.random(len(learned.plan)) < share)
    wrong = replace(learned, plan=plan, names=rng.permutation(learned.names).tolist() if shuffled else learned.names)
    right = found(other)
    again = found(other, wrong)
    assert right.optimal and again.optimal
    assert again.objective == pytest.approx(right.objective, rel=1e-6, abs=1e-6)


def test_tampering_with_a_plan_that_began_with_something_is_found() -> None:
    it, learned = learned_of(3)
    other = one_price(random.Random(3), it, "up")
    instance, plan = build(other), found(other, learned)
    verify(instance, plan.decision)
    (key, kg), *_ = plan.decision.lots.items()
    for tampered in (
        replace(plan.decision, lots={**plan.decision.lots, key: 1.01 * kg}),
        replace(plan.decision, tours=(None,) * len(plan.decision.tours)),
        replace(plan.decision, kept=tuple(n + 1 for n in plan.decision.kept)),
    ):
        with pytest.raises(PlanUnsound):
            verify(instance, tampered)
