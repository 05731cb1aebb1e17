"""The rows that a set of tours gets cut off no plan: the best plan of each scenario, found without them, keeps to all.

Outside check: the same scenario planned without these rows and without prices of rows, its whole programme at once.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Callable
from itertools import product
from typing import Any

import pytest
import tiny
from drawn_loads import load
from tiny_fees import with_fees
from tiny_limits import limited

from partway.planning.instance.build import build
from partway.planning.model.highs import EXACT, Solver, SolverAnswer, Values
from partway.planning.model.milp import Model, formulate
from partway.planning.model.routing_cuts import reach_of_part
from partway.planning.model.shrunk import Shrunk, idle_columns
from partway.planning.search import stages
from partway.planning.search.search import search
from partway.things.scenario import Scenario

FAMILIES: dict[str, Callable[[int], Scenario]] = {
    "plain": tiny.scenario, "errands": tiny.errands, "fees": with_fees, "whole pieces": load, "limits": limited,
}  # fmt: skip
SEEDS, OBJECTIVES = range(10), 6
SLACK = 1e-6


def tours_of(model: Model, x: Values) -> stages.Fixed:
    """Bounds that fix the tours and stops as they are at a point."""
    fixed = [*model.columns.tours.values(), *(c for (_, k), c in model.columns.visits.items() if k >= 0)]
    return {c: (n, n) for c in fixed for n in [float(round(float(x[c])))]}


def with_rows(model: Model, fixed: stages.Fixed, rng: random.Random) -> Shrunk:
    """The programme without what these tours leave idle, with the rows that answers to drawn prices break."""
    small = Shrunk(model.linear, idle_columns(model, fixed))
    linear, reach = small.linear, reach_of_part(model, small.linear, small.number)
    kept, yes = list(linear.objective), [small.number[c] for c in model.columns.lot_taken.values() if c in small.number]
    lots = [small.number[c] for c in model.columns.lots.values() if c in small.number]
    for _ in range(OBJECTIVES):
        linear.objective = [v + (rng.choice([0.0, 5.0]) if c in lots else 0.0) for c, v in enumerate(kept)]
        for c in yes:
            linear.objective[c] -= rng.choice([0.0, 1.0])  # the dearer a yes is the smaller a share of it is taken
        solver = Solver(linear, relaxed=True)
        solver.bounds(small.bounds(fixed))
        x, before = solver.run().x, len(linear.rows)
        if x is not None and reach.add(x):
            for r in range(before, len(linear.rows)):
                assert sum(a * x[c] for c, a in linear.rows[r]) > linear.row_upper[r], "a row that cuts nothing off"
    return small


def test_the_best_plan_keeps_to_the_rows_of_its_tours() -> None:
    count: Counter[str] = Counter()
    for family, seed in product(FAMILIES, SEEDS):
        model = formulate(build(FAMILIES[family](seed)))
        best = Solver(model.linear, options=EXACT).run()
        if best.x is None or not model.columns.tours:
            continue
        small = with_rows(model, tours_of(model, best.x), random.Random(seed))
        rows = [r for r, of in enumerate(small.linear.row_families) if of == "reach"]
        x = best.x[small.kept]
        for r in rows:
            assert sum(a * x[c] for c, a in small.linear.rows[r]) <= small.linear.row_upper[r] + SLACK, (family, seed)
        count["rows"] += len(rows)
        count["scenarios"] += 1
        count[family] += bool(rows)
    assert count["scenarios"] >= 30 and count["rows"] >= 10, count


@pytest.mark.parametrize("family", FAMILIES)
def test_plans_are_worth_the_same_with_them_and_without(family: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With them: every set of tours goes by the prices of its rows. Without: each is solved as it is."""
    for seed in SEEDS:
        instance, worth = build(FAMILIES[family](seed)), []
        for few in (0, 10_000):
            monkeypatch.setattr(stages, "FEW", few)
            found = search(instance, seconds=30.0, gap=1e-9)
            assert found.optimal and found.bound >= found.objective
            worth.append(found.objective)
        assert worth[0] == pytest.approx(worth[1], rel=1e-8, abs=1e-8), (family, seed)


def test_choices_that_a_good_plan_has_not_cost_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The best plan of its tours is found and bounded as well where some yes or no expected of it is the other way."""
    monkeypatch.setattr(stages, "FEW", 0)
    monkeypatch.setattr(stages, "GUESS", 10.0)  # so that a plan with the wrong choice is taken for a good one
    near: list[float] = []
    likely = stages.FixedTours._near_choices

    def heard(*asked: Any) -> SolverAnswer | None:
        answer = likely(*asked)
        near.extend([] if answer is None else [answer.objective])
        return answer

    monkeypatch.setattr(stages.FixedTours, "_near_choices", heard)
    worse = 0
    for family, seed in product(FAMILIES, SEEDS):
        model = formulate(build(FAMILIES[family](seed)))
        best = Solver(model.linear, options=EXACT).run()
        if best.x is None or not model.columns.tours:
            continue
        for column in list(model.columns.lot_taken.values())[:3]:
            other = 1.0 - round(float(best.x[column]))
            of_tours = stages.FixedTours(model, tours_of(model, best.x))
            of_tours.bound(30.0, 0.0, -math.inf)
            near.clear()
            answer = of_tours.best(30.0, 1e-9, -math.inf, {column: (other, other)})
            assert answer.objective == pytest.approx(best.objective, rel=1e-7, abs=1e-6), (family, seed)
            assert answer.bound >= best.objective - SLACK, (family, seed)
            worse += any(worth < best.objective - 1e-3 for worth in near)
    assert worse >= 5, worse
