"""Plans of the odd kind of tiny scenario, in which a wrong plan was called the best, are as good as trying everything.

More of them: benchmarks/brute.py.
"""

from __future__ import annotations

from collections import Counter

import pytest
from tiny_odd import FEATURES, features, scenario
from tried_and_planned import Both, compare

SEEDS = range(300)
BLOCK = 60
# HiGHS 1.16.0 lost the optimum of these in presolve (benchmarks/brute.py with that version, seeds 0 to 2999).
ONCE_WRONG = (724, 1000, 1810, 1987, 2372, 2560, 2658, 2753, 2823)
ENOUGH = 285  # of 300 that are small enough to try everything


def both(seed: int) -> Both | None:
    """Both answers; None where there is too much to try."""
    return compare(scenario(seed))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    answers = {seed: both(seed) for seed in range(first, first + BLOCK)}
    known = {seed: it for seed, it in answers.items() if it is not None}
    assert len(known) >= ENOUGH * BLOCK // len(SEEDS)
    assert {seed: it for seed, it in known.items() if not it.agree} == {}


@pytest.mark.parametrize("seed", ONCE_WRONG)
def test_those_that_a_solver_got_wrong_are_right(seed: int) -> None:
    answer = both(seed)
    assert answer is not None
    assert answer.agree, answer


def test_every_odd_feature_occurs_in_many() -> None:
    count = Counter(name for seed in SEEDS for name in features(scenario(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 25} == {}
