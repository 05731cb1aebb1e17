"""The search in steps equals the whole programme given to the solver at once, on small random instances.

Outside check: the plain formulation (every variable of docs/model.md whole, one copy of each lot a trip, tours
listed) solved to gap 0 by HiGHS in one run, which shares neither the tree nor the pooled rows with the search.
More than twelve places: the same instance with its tours listed, against the search that has none.
"""

from __future__ import annotations

import dataclasses
import importlib.util
import itertools
import math
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.highs import EXACT, LEAN, Solver
from partway.planning.model.milp import formulate
from partway.planning.search.search import search
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Postage, Quote, Road, Scenario, Vehicle


def _generator() -> ModuleType:
    path = Path(__file__).parents[2] / "benchmarks" / "generate.py"
    spec = importlib.util.spec_from_file_location("benchmark_generate", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


GENERATE = _generator()

LONG = 600.0  # seconds, many times what any of these takes: a busy machine finds the same


def small(seed: int) -> Scenario:
    """A few kinds, two to six buyers of which the sixth in line is a mail-in, one to three trips, tight loads.

    Driving is cheap enough for trips of several stops; half have roads whose minutes do not follow their kilometres.
    """
    rng = np.random.default_rng([seed, 77])
    size = GENERATE.Size(
        kinds=int(rng.integers(1, 5)),
        per_kind=2.0,
        grades=int(rng.integers(5, 12)),
        buyers=int(rng.integers(2, 7)),
        trips=int(rng.integers(1, 4)),
        bench=float(rng.uniform(0.3, 3.0)),
        away=float(rng.uniform(1.0, 6.0)),
        payload=float(rng.uniform(15.0, 120.0)),
    )
    scenario: Scenario = GENERATE._Maker(size, rng).make(f"small-{seed}")
    hours = dataclasses.replace(scenario.hours, wage=float(rng.uniform(0.0, 4.0)))
    assert scenario.vehicle is not None
    vehicle = dataclasses.replace(scenario.vehicle, cost_per_km=float(rng.uniform(0.01, 0.15)), kmh=70.0)
    buyers = tuple(dataclasses.replace(b, minutes=float(rng.uniform(1.0, 10.0))) for b in scenario.buyers)
    return dataclasses.replace(scenario, hours=hours, vehicle=vehicle, buyers=buyers, roads=_roads(rng, buyers))


def _roads(rng: np.random.Generator, buyers: tuple[Buyer, ...]) -> tuple[Road, ...]:
    if rng.random() < 0.5:
        return ()
    places = ["home", *(b.id for b in buyers if b.is_visited)]
    pairs = [(a, b) for a, b in itertools.combinations(places, 2) if rng.random() < 0.5]
    return tuple(Road(a, b, float(rng.uniform(3.0, 30.0)), float(rng.uniform(3.0, 60.0))) for a, b in pairs)


def at_once(instance: Instance, known: float = -math.inf) -> float:
    """The optimum of the plain formulation, without HiGHS's searches for a first answer, which prove nothing.

    A plan worth `known` is there: what is worth less by more than it may be off is of no interest. So the answer is
    that plan's worth, or more where there is a better one.
    """
    solver = Solver(formulate(instance, plain=True).linear, options={**LEAN, **EXACT})
    answer = solver.run(LONG, 0.0, cutoff=known - 1e-5 * max(1.0, abs(known)) if known > -math.inf else known)
    assert answer.status == "optimal"
    return answer.objective


def agrees(instance: Instance, plain: Instance | None = None) -> None:
    """The search finds the optimum, knows that it did, and its plan passes the check.

    `plain` is the instance with its tours listed, where the other has none.
    """
    found = search(instance, LONG, 1e-6)
    assert verify(instance, found.decision).money.total == pytest.approx(found.objective, abs=1e-6)
    optimum = at_once(plain or instance, found.objective)
    slack = 1e-6 * max(1.0, abs(optimum))
    assert found.objective == pytest.approx(optimum, abs=1.5 * slack)
    assert found.bound >= optimum - slack
    assert found.optimal


@pytest.mark.parametrize("block", range(10))
def test_search_equals_the_plain_programme(block: int) -> None:
    for seed in range(10 * block, 10 * block + 10):
        instance = build(small(seed))
        agrees(instance)


def test_whole_counts_that_cost_much_are_searched_at_once() -> None:
    """Six sets of tours and more look better than the best plan: the tree alone would list them for minutes."""
    instance = build(small(2303))
    agrees(instance)


# The last three have quick tours that cost more and are the only ones to fit the hours.
@pytest.mark.parametrize("seed", [*range(1000, 1012), 5005, 5081, 5112])
def test_search_without_listed_tours_equals_the_plain_programme(seed: int) -> None:
    instance = build(small(seed))
    agrees(dataclasses.replace(instance, tours=None), instance)


EMPTIER = {
    "no vehicle": {"vehicle": None},  # then nobody is driven to: buyers by mail only
    "no buyers": {"buyers": ()},
    "no finds": {"finds": ()},
    "no finds, no stock": {"finds": (), "stock": {}},
    "no buyers, no vehicle, no finds": {"buyers": (), "vehicle": None, "finds": ()},
}


@pytest.mark.parametrize("change", EMPTIER.values(), ids=EMPTIER)
def test_a_scenario_with_something_missing_still_gets_its_best_plan(change: dict[str, object]) -> None:
    for seed in (3, 8):
        scenario = small(seed)
        if "vehicle" in change:
            scenario = dataclasses.replace(scenario, buyers=tuple(_by_mail(b) for b in scenario.buyers))
        instance = build(dataclasses.replace(scenario, **change))  # type: ignore[arg-type]
        agrees(instance)


def _by_mail(buyer: Buyer) -> Buyer:
    return dataclasses.replace(buyer, kind="mail-in", at=None, shipping=(Postage(5.0, 4.0), Postage(20.0, 9.0)))


def test_no_trips_means_no_driving() -> None:
    scenario = small(3)
    hours = dataclasses.replace(scenario.hours, trips=0)
    for tours_listed in (True, False):
        instance = build(dataclasses.replace(scenario, hours=hours))
        instance = instance if tours_listed else dataclasses.replace(instance, tours=None)
        found = search(instance)
        assert found.optimal
        assert not found.decision.tours
        assert verify(instance, found.decision).money.driving == 0.0


def test_no_time_still_gives_a_plan_and_a_bound() -> None:
    for listed in (True, False):
        instance = build(small(8))
        optimum = at_once(instance)
        instance = instance if listed else dataclasses.replace(instance, tours=None)
        found = search(instance, 0.0)
        verify(instance, found.decision)
        assert found.objective <= optimum + 1e-6 <= found.bound + 2e-6


def test_progress_gets_better_and_never_crosses() -> None:
    instance = build(GENERATE.scenario("week", 4))
    heard: list[tuple[float, float]] = []
    found = search(instance, LONG, 1e-4, lambda objective, bound: heard.append((objective, bound)))
    assert heard
    assert [o for o, _ in heard] == sorted(o for o, _ in heard)
    assert all(objective <= bound + 1e-6 for objective, bound in heard)
    assert heard[-1][0] == found.objective
    assert found.bound - found.objective <= 1e-4 * found.objective


def test_equal_pay_is_handed_over_where_one_stops_anyway() -> None:
    """A free drop-off pays 0.00, which is also the keep value: the material goes, it does not stay in the shed."""
    scenario = GENERATE.scenario("day", 0)
    scenario = dataclasses.replace(scenario, vehicle=Vehicle(2000.0, None, 0.3, 45.0))  # room for a little more
    found = search(build(scenario))
    visited = {build(scenario).buyer_at[s] for tour in found.decision.tours if tour for s in tour.stops}
    stop = scenario.buyers[min(visited)]
    grade = dataclasses.replace(next(iter(scenario.grades.values())), id="free-grade", downgrades=())
    quote = Quote("free-grade", Estimate.exact(0.0), scenario.on)
    taker = dataclasses.replace(stop, quotes=(*stop.quotes, quote))
    changed = dataclasses.replace(
        scenario,
        grades={**scenario.grades, "free-grade": grade},
        buyers=tuple(taker if b.id == stop.id else b for b in scenario.buyers),
        stock={**scenario.stock, "free-grade": 2.5},
    )
    instance = build(changed)
    with_it = search(instance)
    assert with_it.objective == pytest.approx(found.objective, rel=1e-6)
    free = instance.grades.index("free-grade")
    handed = sum(kg for (i, _, _), kg in with_it.decision.lots.items() if instance.lots[i].grade == free)
    assert handed == pytest.approx(2.5)
    verify(instance, with_it.decision)
