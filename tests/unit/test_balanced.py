"""Rows in units of their own: the same solutions, and numbers near 1."""

from __future__ import annotations

import math
import random

import pytest

from partway.planning.model.balanced import balanced
from partway.planning.model.highs import EXACT, Solver
from partway.planning.model.linear import Linear


def drawn(seed: int) -> Linear:
    """Six yes or no with worths and weights of very different size, and a constant."""
    rng, linear = random.Random(seed), Linear(constant=-7.0)
    for c in range(6):
        linear.column(f"c{c}", 10.0 ** rng.uniform(-2, 5), 1.0, integer=True)
    for size in (1e-3, 1.0, 1e5):
        linear.row("fits", "", [(c, size * rng.uniform(0.1, 1.0)) for c in range(6)], upper=2.0 * size)
    linear.row("empty", "", [], lower=-1.0, upper=1.0)
    return linear


@pytest.mark.parametrize("seed", range(5))
def test_the_optimum_stays_and_a_floor_above_it_leaves_nothing(seed: int) -> None:
    linear = drawn(seed)
    before = (list(linear.row_names), [list(terms) for terms in linear.rows], list(linear.row_upper))
    best = Solver(linear, options=EXACT).run().objective
    assert Solver(balanced(linear), options=EXACT).run().objective == pytest.approx(best)
    assert Solver(balanced(linear, best - 1e-3), options=EXACT).run().objective == pytest.approx(best)
    assert Solver(balanced(linear, best + 1e-3), options=EXACT).run().status == "infeasible"
    assert before == (linear.row_names, linear.rows, linear.row_upper)


def test_rows_have_numbers_near_one_and_lose_no_digit() -> None:
    linear = drawn(1)
    made = balanced(linear, 3.0)
    assert len(made.rows) == len(made.row_names) == len(made.row_families) == len(linear.rows) + 1
    for r, terms in enumerate(made.rows[:3]):
        largest = max(abs(v) for _, v in terms)
        assert math.sqrt(0.5) <= largest <= math.sqrt(2.0)
        by = linear.rows[r][0][1] / terms[0][1]
        assert [(c, v * by) for c, v in terms] == linear.rows[r]  # to the last digit
        assert made.row_upper[r] * by == linear.row_upper[r]
