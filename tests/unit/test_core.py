"""What is left out of a programme since no better plan has it: against every point of small programmes, and whole
searches with and without it.
"""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

import numpy as np
import pytest
from tiny import with_tests

from partway.planning.instance.build import build
from partway.planning.model.core import PricedRows, proved_bound
from partway.planning.model.highs import Solver
from partway.planning.model.linear import INFINITY, Linear
from partway.planning.search import stages
from partway.planning.search.search import search

COLUMNS, ROWS = 5, 4


def drawn(rng: random.Random) -> Linear:
    """Whole columns of 0 to 2, and rows with sides of either sign."""
    linear = Linear(constant=rng.uniform(-5.0, 5.0))
    for c in range(COLUMNS):
        linear.column(f"c{c}", rng.uniform(-3.0, 3.0), rng.choice([1.0, 2.0]), integer=True)
    for r in range(ROWS):
        terms = [(c, rng.choice([-2.0, -1.0, 1.0, 3.0])) for c in rng.sample(range(COLUMNS), rng.randint(1, 4))]
        low = rng.choice([-INFINITY, -1.5, 0.0])
        linear.row("row", str(r), terms, low, max(low, rng.choice([0.0, 2.0, INFINITY])))
    return linear


def points(linear: Linear) -> list[tuple[float, ...]]:
    """All that the rows and bounds allow."""
    sides = list(zip(linear.rows, linear.row_lower, linear.row_upper, strict=True))
    every = itertools.product(*(range(int(most) + 1) for most in linear.upper))
    return [
        tuple(map(float, x))
        for x in every
        if all(low - 1e-9 <= sum(v * x[c] for c, v in terms) <= high + 1e-9 for terms, low, high in sides)
    ]


@pytest.mark.parametrize("seed", range(80))
def test_whatever_the_prices_no_point_is_worth_more_than_the_bound_less_its_distance(seed: int) -> None:
    rng = random.Random(seed)
    linear = drawn(rng)
    prices = np.array([rng.choice([0.0, rng.uniform(-2.0, 2.0)]) for _ in range(ROWS)])
    priced = PricedRows.by(linear, {}, prices)
    for x in points(linear):
        away = float(np.abs(np.array(x) - priced.best) @ priced.loss)
        assert linear.value(x) <= priced.bound - away + 1e-9


def test_the_relaxation_s_prices_settle_columns_and_never_those_that_a_better_point_needs() -> None:
    settled = 0
    for seed in range(300):
        linear = drawn(random.Random(seed))
        every = points(linear)
        relaxed = Solver(linear, relaxed=True).run()
        if not every or relaxed.duals is None:
            continue
        priced = PricedRows.by(linear, {}, relaxed.duals)
        assert priced.bound == pytest.approx(relaxed.objective, abs=1e-6)
        worth = sorted(linear.value(x) for x in every)[len(every) // 2]
        fixed = priced.settled(worth)
        settled += len(fixed)
        for x in every:
            if linear.value(x) > worth:
                assert all(low <= x[c] <= high for c, (low, high) in fixed.items())
    assert settled > 100


def test_bounds_that_are_said_take_the_place_of_the_programme_s() -> None:
    linear = Linear()
    for name in ("a", "b"):
        linear.column(name, 1.0, 10.0, integer=True)
    linear.row("row", "", [(0, 1.0), (1, 2.0)], upper=8.0)
    priced = PricedRows.by(linear, {0: (0.0, 3.0)}, np.array([0.5]))
    assert priced.bound == pytest.approx(0.5 * 8.0 + 0.5 * 3.0)
    assert priced.settled(5.4) == {0: (3.0, 3.0)}


def test_prices_that_say_nothing_leave_the_bound_infinite() -> None:
    linear = Linear()
    linear.column("a", 1.0, INFINITY, integer=True)
    linear.row("row", "", [(0, 1.0)], upper=8.0)
    assert PricedRows.by(linear, {}, np.array([0.0])).bound == math.inf


@pytest.mark.parametrize("seed", range(80))
def test_a_proved_bound_holds_for_wrong_prices_and_for_those_of_the_first_rows_alone(seed: int) -> None:
    rng = random.Random(seed)
    linear = drawn(rng)
    prices = np.array([rng.choice([0.0, rng.uniform(-2.0, 2.0)]) for _ in range(rng.randint(0, ROWS))])
    bound = proved_bound(linear, prices)
    assert all(linear.value(x) <= bound for x in points(linear))


def test_a_proved_bound_is_that_of_the_relaxation_by_its_prices() -> None:
    close = 0
    for seed in range(60):
        linear = drawn(random.Random(seed))
        relaxed = Solver(linear, relaxed=True).run()
        if relaxed.status == "optimal" and relaxed.duals is not None:
            bound = proved_bound(linear, relaxed.duals)
            assert relaxed.objective <= bound <= relaxed.objective + 1e-5
            close += 1
    assert close >= 30


@pytest.mark.parametrize("prices", [[0.0], [math.nan], [math.inf]])
def test_prices_that_say_nothing_prove_nothing(prices: list[float]) -> None:
    linear = Linear()
    linear.column("a", 1.0, INFINITY, integer=True)
    linear.row("row", "", [(0, 1.0)], upper=8.0)
    assert proved_bound(linear, np.array(prices)) == math.inf
    assert proved_bound(linear, np.array([1.0])) == pytest.approx(8.0)


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_plans_full_of_tests_are_worth_the_same_with_and_without_it(
    first: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    wrong, dropped, closed = {}, 0, 0
    settled, by = PricedRows.settled, PricedRows.by

    def counted(self: PricedRows, worth: float) -> object:
        nonlocal dropped, closed
        found = settled(self, worth)
        dropped, closed = dropped + len(found), closed - 1
        return found

    def priced(*given: Any) -> PricedRows:
        nonlocal closed
        closed += 1  # unless columns are asked for: then the bound alone has shown that nothing better is left
        return by(*given)

    monkeypatch.setattr(PricedRows, "settled", counted)
    monkeypatch.setattr(PricedRows, "by", priced)
    for seed in range(first, first + 20):
        instance = build(with_tests(seed))
        worth = {}
        for few in (0, 10_000):
            monkeypatch.setattr(stages, "FEW", few)
            found = search(instance, seconds=30.0, gap=1e-9)
            worth[few] = found.optimal, found.objective, found.bound
        (sure, one, bound), (also, other, _) = worth.values()
        if not (sure and also and math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9) and bound >= one - 1e-9):
            wrong[seed] = worth
    assert not wrong
    assert dropped and closed and dropped + closed > 15, (dropped, closed)
