"""A programme without its idle columns says the same as the whole one at every point where they are nothing."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from partway.planning.model.highs import SolverAnswer
from partway.planning.model.linear import INFINITY, Linear
from partway.planning.model.shrunk import Shrunk


def drawn(rng: random.Random) -> Linear:
    """Six columns and eight rows, some of them with few columns and sides of either sign."""
    linear = Linear(constant=rng.uniform(-5.0, 5.0))
    for c in range(6):
        linear.column(
            f"c{c}", rng.uniform(-3.0, 3.0), rng.choice([1.0, 4.0, INFINITY]), rng.random() < 0.5, rng.random()
        )
    for r in range(8):
        terms = [(c, rng.choice([-2.0, -1.0, 1.0, 3.0])) for c in rng.sample(range(6), rng.randint(1, 4))]
        low = rng.choice([-INFINITY, -1.5, -0.5, 0.0, 0.5])
        linear.row(rng.choice(["a", "b"]), str(r), terms, low, max(low, rng.choice([-0.5, 0.0, 0.5, 2.0, INFINITY])))
    return linear


def holds(linear: Linear, x: list[float]) -> bool:
    """Whether all rows hold at x, by their own terms."""
    sides = zip(linear.rows, linear.row_lower, linear.row_upper, strict=True)
    return all(low - 1e-9 <= sum(v * x[c] for c, v in terms) <= high + 1e-9 for terms, low, high in sides)


@pytest.mark.parametrize("seed", range(60))
def test_it_says_the_same_where_idle_columns_are_nothing(seed: int) -> None:
    rng = random.Random(seed)
    whole = drawn(rng)
    idle = set(rng.sample(range(6), rng.randint(0, 5)))
    small = Shrunk(whole, idle)
    assert small.kept == [c for c in range(6) if c not in idle]
    for name in ("names", "objective", "lower", "upper", "integer"):
        assert getattr(small.linear, name) == [getattr(whole, name)[c] for c in small.kept]
    for _ in range(40):
        x = [0.0 if c in idle else rng.uniform(-2.0, 2.0) for c in range(6)]
        less = [x[c] for c in small.kept]
        assert holds(small.linear, less) is holds(whole, x)
        assert small.linear.value(less) == pytest.approx(whole.value(x))


def test_a_row_of_nothing_stays_where_nothing_breaks_it() -> None:
    """0 lies between the sides of the first three, so they say nothing; the others cannot be kept at all."""
    whole = Linear()
    whole.column("idle")
    for n, (low, high) in enumerate(
        [(-1.0, 1.0), (0.0, 1.0), (-1.0, 0.0), (0.5, 1.0), (-1.0, -0.5), (-INFINITY, -0.5)]
    ):
        whole.row("row", str(n), [(0, 1.0)], low, high)
    small = Shrunk(whole, {0}).linear
    assert small.rows == [[], [], []]
    assert small.row_names == ["row(3)", "row(4)", "row(5)"] and small.row_families == ["row"] * 3
    assert list(zip(small.row_lower, small.row_upper, strict=True)) == [(0.5, 1.0), (-1.0, -0.5), (-INFINITY, -0.5)]


def test_bounds_and_answers_are_of_the_columns_left() -> None:
    whole = Linear()
    for name in "abcd":
        whole.column(name, 1.0)
    small = Shrunk(whole, {1})
    assert small.bounds({0: (0.0, 1.0), 1: (0.0, 0.0), 3: (2.0, 2.0)}) == {0: (0.0, 1.0), 2: (2.0, 2.0)}
    answer = small.answer(SolverAnswer("optimal", np.array([5.0, 6.0, 7.0]), 18.0, 18.0, np.array([1.0])))
    assert answer.x is not None and answer.x.tolist() == [5.0, 0.0, 6.0, 7.0]
    assert answer.duals is None and (answer.status, answer.objective, answer.bound) == ("optimal", 18.0, 18.0)
    nothing = SolverAnswer("infeasible", None, -math.inf, -math.inf)
    assert small.answer(nothing) is nothing


def test_a_model_is_written_as_the_lp_format_has_it() -> None:
    """By hand, after the format's own description: objective, rows by their sides, bounds, whole columns."""
    linear = Linear(constant=-2.5)
    a = linear.column("a b", 1.5, 4.0, integer=True)
    b = linear.column("b", lower=-1.0)
    linear.row("one", "", [(a, 1.0), (b, 2.0), (a, 1.0)], 3.0, 3.0)
    linear.row("two", "x", [(a, 1.0), (b, 1.0), (b, -1.0)], 0.0, 9.0)
    linear.row("two", "y", [(b, -1.0)], lower=1.0)
    linear.row("two", "z", [(b, -1.0)], upper=7.0)
    linear.row("three", "", [], upper=1.0)
    assert linear.text() == (
        "\\ money in currency units, masses in kg, times in hours\nmaximize\n obj: +1.5 a_b -2.5\nsubject to\n"
        " one: +2 a_b +2 b = 3\n two(x).low: +1 a_b >= 0\n two(x).high: +1 a_b <= 9\n two(y): -1 b >= 1\n"
        " two(z): -1 b <= 7\n three: 0 a_b <= 1\nbounds\n 0 <= a_b <= 4\n -1 <= b <= +inf\ngeneral\n a_b\nend\n"
    )
    assert linear.rows_text("two").count("\n") == 4 and linear.rows_text("one") == " one: +2 a_b +2 b = 3\n"
    assert linear.value([2.0, 1.0]) == 0.5
