"""What relaxations say of a set of tours, and what a large search ends at, against the whole programme.

Outside check: the same scenario, or the same tours, as one programme of whole numbers without any of this.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from itertools import product

import numpy as np
import pytest
import tiny
from drawn_loads import load
from tiny_fees import with_fees
from tiny_limits import limited

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.model.highs import EXACT, Solver
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import pool
from partway.planning.search import tour_search, tree
from partway.planning.search.search import search
from partway.planning.search.stages import fix_tours
from partway.planning.search.tree import Branch, Tree
from partway.things.scenario import Scenario

FAMILIES: dict[str, Callable[[int], Scenario]] = {
    "plain": tiny.scenario, "errands": tiny.errands, "fees": with_fees, "whole pieces": load, "limits": limited,
}  # fmt: skip
SEEDS = range(12)
NEAR = (-1e-3, -1e-6, 1e-6, 1e-3, 0.3)  # of the best plan with the tours: what is asked whether anything is better
MOST_TOURS = 6


def test_no_set_of_tours_is_called_worth_less_than_its_best_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tree, "MOST_SPLIT", 200)
    count: Counter[str] = Counter()
    for family, seed in product(FAMILIES, SEEDS):
        instance = build(FAMILIES[family](seed))
        model = formulate(instance)
        if not model.columns.tours:
            continue
        loose = formulate(instance, loose=True) if model.columns.blocks else model
        of = Tree(pool(loose))
        for number in sorted({r for r, _ in model.columns.tours})[:MOST_TOURS]:
            whole = Solver(model.linear, options=EXACT)
            whole.bounds(fix_tours(model, {number: 1}))
            best = whole.run().objective
            if best == -math.inf:
                continue
            for share in NEAR:
                beaten = of.beaten(
                    Branch(-math.inf, 0, {}, np.array([])), {number: 1}, best + share * max(1.0, abs(best))
                )
                assert share > 0.0 or not beaten, (family, seed, number, share)
                count[f"{share > 0.0}"] += beaten
            count["asked"] += 1
    assert count["asked"] >= 100 and count["True"] >= 100, count


@pytest.mark.parametrize("family", FAMILIES)
def test_a_large_search_ends_at_the_plan_of_its_whole_programme(family: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every scenario taken for a large one: its sets of tours wait, its first plan is one in haste."""
    waited: list[int] = []
    for seed in SEEDS:
        instance = build(FAMILIES[family](seed))
        model = formulate(instance)
        best = Solver(model.linear, options=EXACT).run()
        for large in (-1, 10_000):  # small ones are shown to be beaten wherever that takes few relaxations
            monkeypatch.setattr(tour_search, "LARGE", large)
            monkeypatch.setattr(tour_search, "LITTLE", math.inf)
            found = search(instance, seconds=30.0, gap=1e-9)
            assert found.optimal and found.objective == pytest.approx(best.objective, rel=1e-7, abs=1e-6), (
                family,
                seed,
            )
            assert verify(instance, found.decision).money.total == pytest.approx(found.objective)
        waited.append(len(model.columns.tours))
    assert sum(map(bool, waited)) >= 5, waited
