"""Plans where buyers keep back fees of their tickets, against trying everything and against cases by hand.

The other side is tests/brute.py, which shares no code with planning. What a fee is: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from brute_odd import Both, TooLarge, compare
from planned import best, worth
from tiny_fees import FEATURES, features, with_fees

SEEDS = range(90)
BLOCK = 30


@cache
def both(seed: int) -> Both | None:
    """Both answers; None where there is too much to try."""
    try:
        return compare(with_fees(seed))
    except TooLarge:
        return None


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    answers = {seed: both(seed) for seed in range(first, first + BLOCK)}
    assert {seed: it for seed, it in answers.items() if it is not None and not it.agree} == {}


def test_every_sort_of_fee_occurs_and_decides_plans() -> None:
    seeds = [seed for seed in SEEDS if both(seed) is not None]
    assert len(seeds) >= 70
    count = Counter(name for seed in seeds for name in features(with_fees(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 5} == {}
    decided = Counter(name for seed in seeds for name in deciding(seed))
    assert set(decided) == {"flat", "share"} and min(decided.values()) >= 20, decided


def deciding(seed: int) -> list[str]:
    """The fees without which the best plan would be worth more."""
    it, here = with_fees(seed), both(seed)
    assert here is not None
    free = {
        "flat": replace(it, buyers=tuple(replace(b, ticket_fee=0.0) for b in it.buyers)),
        "share": replace(it, buyers=tuple(replace(b, ticket_share=0.0) for b in it.buyers)),
    }
    return [name for name, other in free.items() if other != it and worth(*best(other)) > here.tried + 1e-4]
