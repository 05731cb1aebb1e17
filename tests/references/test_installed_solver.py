"""The installed solver on small programmes that some version got wrong and called optimal (tests/solver_models.py).

Outside check: every value of the whole columns is tried, and what is left is a linear programme of a few columns for
scipy. Its simplex is HiGHS's as well, of another version and asked to leave presolve out, where the faults were; so
scipy's integer programmes are not used here.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from cases import case
from scipy.optimize import linprog
from solver_models import OURS, SMALL, Small

from partway.planning.instance.build import build
from partway.planning.model.highs import EXACT, LEAN, Solver
from partway.planning.model.linear import INFINITY, Linear
from partway.planning.search.search import search

MOST_WHOLE = 100  # values of a whole column without an upper bound that are tried; past them it only gets worse
OPTIONS = {
    "as it comes": {},
    "as we ask for whole plans": dict(EXACT),
    "as we ask for tours": {**LEAN, **EXACT},
    "without presolve": {**EXACT, "presolve": "off"},
}


def linear(it: Small) -> Linear:
    """The programme as ours."""
    found = Linear()
    for c, (cost, lower, upper, whole) in enumerate(it.columns):
        found.column(f"c{c}", cost, upper if upper < math.inf else INFINITY, whole, lower)
    for r, (terms, lower, upper) in enumerate(it.rows):
        found.row("rows", str(r), terms.items(), lower, upper)
    return found


def tried(it: Small) -> float:
    """The optimum by trying every whole value."""
    whole = [c for c, column in enumerate(it.columns) if column[3]]
    ends = [(int(it.columns[c][1]), int(min(it.columns[c][2], MOST_WHOLE))) for c in whole]
    matrix = np.zeros((len(it.rows), len(it.columns)))
    for r, (terms, _, _) in enumerate(it.rows):
        matrix[r, list(terms)] = list(terms.values())
    above, below = (np.array([row[i] for row in it.rows], dtype=float) for i in (1, 2))
    best = -math.inf
    for values in itertools.product(*(range(low, high + 1) for low, high in ends)):
        bounds = [(low, high) for _, low, high, _ in it.columns]
        for c, value in zip(whole, values, strict=True):
            bounds[c] = value, value
        found = linprog(
            [-column[0] for column in it.columns],
            np.vstack([matrix[below < math.inf], -matrix[above > -math.inf]]),
            np.concatenate([below[below < math.inf], -above[above > -math.inf]]),
            bounds=bounds,
            method="highs-ds",
            options={"presolve": False},
        )
        best = best if found.fun is None else max(best, -found.fun)
    return best


@pytest.mark.parametrize("it", SMALL, ids=lambda it: it.name)
def test_what_is_right_is_what_trying_every_whole_value_says(it: Small) -> None:
    assert tried(it) == pytest.approx(it.optimum, abs=1e-7)


@pytest.mark.parametrize("options", OPTIONS.values(), ids=OPTIONS)
@pytest.mark.parametrize("it", SMALL, ids=lambda it: it.name)
def test_the_installed_solver_is_right(it: Small, options: dict[str, object]) -> None:
    answer = Solver(linear(it), options=options).run()
    assert answer.status == "optimal"
    assert answer.objective == pytest.approx(it.optimum, abs=1e-6)
    assert answer.bound == pytest.approx(it.optimum, abs=1e-6)


def test_the_first_is_worth_what_our_scenario_is_worth() -> None:
    """It is what the scenario became on the day it was found; finds loaded whole have changed the programme since."""
    found = search(build(case("wrong")))
    assert found.optimal and found.objective == pytest.approx(OURS.optimum, abs=1e-9)
