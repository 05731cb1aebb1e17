"""Limits of real buyers and days: the plan within them against trying everything, and cases worked out by hand.

The other side is tests/brute.py, which shares no code with planning.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from planned import best, worth
from tiny_limits import FEATURES, features, limited, timed
from tried_and_planned import Both, compare, wrong

SEEDS = range(120)
BLOCK = 30


@cache
def both(seed: int) -> Both | None:
    """Both answers; None where there is too much to try."""
    return compare(limited(seed))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    assert wrong(both, range(first, first + BLOCK)) == {}


def test_every_limit_occurs_in_many_scenarios_and_decides_many_plans() -> None:
    seeds = [seed for seed in SEEDS if both(seed) is not None]
    assert len(seeds) >= 100
    count = Counter(name for seed in seeds for name in features(limited(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 10} == {}
    bound = Counter(name for seed in seeds for name in binding(seed))
    assert {name: n for name, n in bound.items() if n < 5} == {}
    assert set(bound) == {"most", "pieces", "trip", "lift"}


@cache
def by_the_clock(seed: int) -> Both | None:
    """Both answers where buyers have opening hours."""
    return compare(timed(seed))


@pytest.mark.parametrize("first", range(0, 120, 30))
def test_the_plan_within_opening_hours_is_worth_what_trying_everything_is_worth(first: int) -> None:
    assert wrong(by_the_clock, range(first, first + 30)) == {}


def test_hours_decide_many_plans_and_some_wait() -> None:
    count: Counter[str] = Counter()
    for seed in range(120):
        here, it = by_the_clock(seed), timed(seed)
        if here is None:
            continue
        assert here.plan is not None
        instance, decision = here.plan
        always = replace(it, buyers=tuple(replace(b, open=()) for b in it.buyers))
        count["worse for them"] += worth(*best(always)) > here.tried + 1e-4
        count["waits"] += any(tour.wait > 0.0 for tour in decision.tours if tour)
        count["closed"] += bool(instance.opening.closed)
        count["drives within part of the time"] += any(
            instance.buyer_at[stop] in instance.opening.part for tour in decision.tours if tour for stop in tour.stops
        )
    assert all(count[name] >= 10 for name in ("worse for them", "closed", "drives within part of the time")), count
    assert count["waits"] >= 3, count


def binding(seed: int) -> list[str]:
    """The limits without which the best plan would be worth more."""
    it = limited(seed)
    without = {
        "most": replace(it, buyers=tuple(
            replace(b, quotes=tuple(replace(q, most_kg=None) for q in b.quotes)) for b in it.buyers
        )),
        "pieces": replace(it, buyers=tuple(
            replace(b, quotes=tuple(replace(q, most_pieces=None) for q in b.quotes)) for b in it.buyers
        )),
        "trip": replace(it, hours=replace(it.hours, trip=None)),
        "lift": replace(it, hours=replace(it.hours, helpers=1)),
    }  # fmt: skip
    here = both(seed)
    assert here is not None
    return [name for name, other in without.items() if other != it and worth(*best(other)) > here.tried + 1e-4]
