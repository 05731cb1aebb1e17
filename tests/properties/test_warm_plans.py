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
from partway.planning.learned.statement import Statement
from partway.planning.model.core import proved_bound
from partway.planning.model.highs import Solver
from partway.planning.model.linear import Linear
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import pool
from partway.planning.search.run import SearchRun
from partway.planning.search.search import SearchFound, search
from partway.things.scenario import Scenario

GAP = 5e-7  # less than 1e-6, which is asked for where nobody says otherwise
TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more
SORTS_OF_SCENARIO = {"usual": scenario, "fees": with_fees, "limits": limited, "elsewhere": elsewhere, "odd": odd}
SEEDS = range(16)
ENOUGH = 25  # that begin with something, of those small enough to try everything
ENDED = 25  # of them by what was proved at other prices


@dataclass(frozen=True)
class Compared:
    """One scenario, after one price changed: tried, from nothing, and from what was learned before."""

    sort: str
    change: str
    tried: float
    cold: SearchFound
    warm: SearchFound
    warm_worth: float
    ended: bool

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
    worth = verify(build(other), warm.decision).money.total
    ended = warm.learned is not None and warm.learned.said is not None and warm.learned.said is learned.said
    return Compared(sort, change, tried, found(other), warm, worth, ended)


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
    ended = Counter(it.change for it in known.values() if it.ended)
    assert ended.total() >= ENDED and len(ended) == len(SORTS), ended
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


def tampered(said: Statement, pooled: Linear) -> list[Statement]:
    """The figures of a statement made to say more than was proved."""
    dearer, lower = replace(said.linear), replace(said.linear)
    dearer.objective = [cost + 1.0 for cost in said.linear.objective]
    lower.row_upper = [side / 2.0 for side in said.linear.row_upper]
    return [
        replace(said, bound=said.bound - 1.0),
        replace(said, worth=said.worth - 1.0, bound=said.bound - 1.0),
        replace(said, costs=[cost + 1.0 for cost in said.costs]),
        replace(said, plan=np.zeros(len(said.plan))),
        replace(said, linear=dearer),
        replace(said, linear=lower),
        Statement.of(said.linear, pooled, said.plan, said.worth - 1.0),
    ]


def test_tampering_with_what_was_proved_is_noticed() -> None:
    """None of it ends a search, where what was proved does."""
    it, learned = learned_of(3)
    said = learned.said
    assert said is not None
    model = formulate(build(it))
    rows = pool(formulate(build(it), loose=True)).linear
    assert said.row(model.linear, rows) is not None
    assert [wrong.row(model.linear, rows) for wrong in tampered(said, rows)] == [None] * 7
    ended = found(it, learned)
    assert ended.learned is not None and ended.learned.said is said
    for wrong in tampered(said, rows):
        again = found(it, replace(learned, said=wrong))
        assert again.learned is not None and again.learned.said is not wrong
        assert again.optimal and again.objective == pytest.approx(ended.objective)


@pytest.mark.parametrize("seed", [3, 4, 5, 10, 12, 13])
def test_whatever_the_weights_of_rows_are_the_bound_holds(seed: int) -> None:
    """A solver that is wrong about its prices makes the bound weaker and never too low: trying everything is below."""
    it, learned = learned_of(seed)
    rng, other = np.random.default_rng(seed), one_price(random.Random(seed), it, "up")
    assert learned.said is not None
    rows = pool(formulate(build(other), loose=True)).linear
    row = learned.said.row(formulate(build(other)).linear, rows)
    assert row is not None
    rows.row("said", "", row[0], upper=row[1])
    right = Solver(rows, relaxed=True).run().duals
    tried = Search(other).best().total
    assert right is not None and proved_bound(rows, right) < math.inf
    for wrong in (right, right * 1.1, right + rng.normal(0.0, 1.0, len(right)), np.zeros(len(right))):
        assert proved_bound(rows, wrong) >= tried - TOLERANCE * max(1.0, abs(tried))


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
