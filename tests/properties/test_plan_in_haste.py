"""The plan made in haste keeps to every rule, is never worth more than the best, and never costs the best plan.

The other side is tests/brute.py, which shares no code with planning. The scenarios are tiny; here they count as large.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
import tiny
import tiny_odd
from brute import tried
from long_haul import long_haul
from tiny_fees import with_fees

from partway.planning.check.simple_plans import simple_plans
from partway.planning.check.verify import recount, verify
from partway.planning.instance.build import build
from partway.planning.search import in_haste
from partway.planning.search.search import SearchFound, search
from partway.things.scenario import Scenario

CLOSE = 1e-6
MAKERS: dict[str, tuple[Callable[[int], Scenario], range]] = {
    "tiny": (tiny.scenario, range(40)),
    "odd": (tiny_odd.scenario, range(20)),
    "tests": (tiny.with_tests, range(15)),
    "fees": (with_fees, range(300, 315)),
}


@pytest.fixture(autouse=True)
def _all_are_large(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(in_haste, "MANY", 0)


@cache
def best_of(sort: str) -> dict[int, float]:
    """What trying everything finds, by seed, where it does not take too long."""
    make, seeds = MAKERS[sort]
    found = {seed: tried(make(seed)) for seed in seeds}
    return {seed: best for seed, best in found.items() if best is not None}


@pytest.mark.parametrize("sort", MAKERS)
def test_it_passes_its_check_and_is_never_worth_more_than_the_best(sort: str) -> None:
    near, make = 0, MAKERS[sort][0]
    for seed, best in best_of(sort).items():
        instance = build(make(seed))
        found = in_haste.in_haste(instance, 30.0)
        assert found is not None, seed
        worth = verify(instance, found.decision).money.total
        assert worth == pytest.approx(found.objective, abs=1e-9), seed
        assert worth <= best + CLOSE * max(1.0, abs(best)), seed
        assert (found.bound, found.optimal) == (math.inf, False)
        near += worth >= best - 0.1 * abs(best)
    assert near >= len(best_of(sort)) // 3  # parts sold by the unit are left out, and some are worth nothing without


@pytest.mark.parametrize("sort", MAKERS)
def test_no_best_plan_is_lost_by_it(sort: str) -> None:
    make, told = MAKERS[sort][0], list[SearchFound]()
    for seed, best in best_of(sort).items():
        found = search(build(make(seed)), seconds=60.0, gap=1e-8, on_found=told.append)
        assert found.objective == pytest.approx(best, abs=CLOSE * max(1.0, abs(best))), seed
        assert found.bound >= best - CLOSE * max(1.0, abs(best)), seed
        assert found.optimal, seed
    assert len(best_of(sort)) >= 6


def test_it_is_told_first_and_only_better_ones_after_it() -> None:
    worths: list[float] = []
    found = search(build(long_haul(1)), 60.0, on_found=lambda it: worths.append(it.objective), steps=3)
    hasty = in_haste.in_haste(build(long_haul(1)), 60.0)
    assert hasty is not None and worths[0] == pytest.approx(hasty.objective)
    assert worths == sorted(worths)
    assert found.objective == worths[-1] and found.bound >= found.objective


def test_a_search_that_finds_nothing_better_still_has_it_with_the_bound_it_proved() -> None:
    """Asked for so little that the plan in haste is good enough: its bound is that of the relaxation."""
    instance = build(long_haul(2))
    hasty = in_haste.in_haste(instance, 30.0)
    found = search(instance, 30.0, gap=0.2)
    assert hasty is not None and found.decision == hasty.decision
    assert found.objective <= found.bound < 1.2 * found.objective and found.optimal


def test_it_is_worth_more_than_any_single_load() -> None:
    for seed in range(3):
        instance = build(long_haul(seed))
        hasty = in_haste.in_haste(instance, 30.0)
        loads = [recount(instance, decision).money.total for _, decision in simple_plans(instance)]
        assert hasty is not None and hasty.objective > max(loads)


def test_without_a_minute_at_the_bench_nothing_is_opened() -> None:
    some = 0
    for seed in best_of("tiny"):
        it = tiny.scenario(seed)
        instance = build(replace(it, hours=replace(it.hours, bench=0.0)))
        found = in_haste.in_haste(instance, 30.0)
        assert found is not None
        checked = verify(instance, found.decision)
        assert checked.bench_hours == 0.0
        some += bool(instance.openings)
    assert some >= 5


def test_small_instances_are_searched_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    instance = build(tiny.scenario(1))
    monkeypatch.setattr(in_haste, "MANY", len(instance.nodes) + 1)
    assert in_haste.in_haste(instance, 30.0) is None


def test_where_tours_are_listed_it_takes_five_times_as_many_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    listed = build(tiny.scenario(3))
    assert listed.tours is not None
    for many, made in ((len(listed.nodes) // 5, True), (len(listed.nodes) // 5 + 1, False)):
        monkeypatch.setattr(in_haste, "MANY", many)
        assert (in_haste.in_haste(listed, 30.0) is not None) == made
