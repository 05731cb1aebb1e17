"""Where hours away are short a dearer way that is quicker may be taken, past places without stopping there.

Outside check: tests/brute.py tries every chain of roads between any two places and shares no code with planning.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from brute import tried
from tiny_ways import detours
from tried_and_planned import TOLERANCE, proven, same

from partway.errors import PlanUnsound
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.planning.tours.fronts import tours
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Road, Scenario, Vehicle

SEEDS = range(90)
BLOCK = 15


def by_cheapest_ways(instance: Instance) -> Instance:
    """The instance as if only the cheapest way between two places were known."""
    roads, vehicle, hours = instance.roads, instance.scenario.vehicle, instance.scenario.hours
    assert roads is not None and vehicle is not None
    only = dataclasses.replace(roads, ways={pair: ways[:1] for pair, ways in roads.ways.items()})
    minutes = {b.id: b.minutes for b in instance.buyers}
    on_site = np.array([minutes.get(place, 0.0) / 60.0 for place in roads.places])
    listed = tuple(tours(only, vehicle.cost_per_km, hours.wage, on_site, hours.away))
    return dataclasses.replace(instance, roads=only, tours=listed)


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_every_way_is_worth(first: int) -> None:
    for seed in range(first, first + BLOCK):
        best = tried(detours(seed))
        assert best is not None
        instance = build(detours(seed))
        assert same(proven(instance), best), seed
        assert same(proven(dataclasses.replace(instance, tours=None)), best), f"{seed}, tours not listed"


def test_often_only_a_quicker_way_makes_the_best_plan() -> None:
    gains = [proven(instance) - proven(by_cheapest_ways(instance)) for instance in map(build, map(detours, SEEDS))]
    assert min(gains) >= -TOLERANCE
    assert sum(gain > 0.01 for gain in gains) >= 15


def crossing(away: float, wage: float = 0.0, cost_per_km: float = 0.0) -> Scenario:
    """A yard 10 km and 30 minutes from home, or 12 + 4 km and 12 + 5 minutes past the depot. Invented."""
    yard = Buyer("yard", "yard", quotes=(Quote("iron", Estimate.exact(5.0), detours(0).on),))
    return dataclasses.replace(
        detours(0),
        hours=Hours(0.0, away, wage),
        vehicle=Vehicle(100.0, cost_per_km=cost_per_km),
        buyers=(Buyer("depot", "yard"), yard),
        roads=(Road("home", "yard", 10.0, 30.0), Road("home", "depot", 12.0, 12.0), Road("depot", "yard", 4.0, 5.0)),
        grades={"iron": Grade("iron", "iron", "ferrous", Estimate.exact(1.0))},
        stock={"iron": 10.0},
        keep_factor=0.5,
    )


def test_of_ways_that_cost_the_same_the_quicker_one_is_driven() -> None:
    for away in (0.75, 5.0):
        instance = build(crossing(away))
        found = search(instance)
        (tour,) = found.decision.tours
        assert tour is not None
        assert (tour.km, tour.way) == (32.0, (0, 1, 2, 1, 0))
        assert tour.hours == pytest.approx(34.0 / 60.0)
        assert verify(instance, found.decision).money.sales == pytest.approx(50.0)


@pytest.mark.parametrize(("away", "km"), [(1.0, 20.0), (0.9, 26.0), (0.6, 32.0), (0.5, 0.0)])
def test_only_where_hours_bind_is_the_dearer_way_driven(away: float, km: float) -> None:
    # At 0.50 a km: 20 km in 60 minutes; out one way and back the other 26 km in 47; 32 km in 34.
    found = search(build(crossing(away, cost_per_km=0.5)))
    (tour,) = found.decision.tours
    assert (tour.km if tour else 0.0) == km


@pytest.mark.parametrize(
    "way",
    [(0, 2, 1, 0), (1, 2, 1, 0), (0, 1, 2, 1), (0, 1, 0), (0, 2, 0)],
    ids=["another way", "not from home", "not back home", "past the stop", "the slow road"],
)
def test_a_way_that_is_not_as_long_as_said_fails_the_check(way: tuple[int, ...]) -> None:
    instance = build(crossing(0.75))
    decision = search(instance).decision
    (tour,) = decision.tours
    assert tour is not None
    with pytest.raises(PlanUnsound, match="not as long"):
        verify(instance, dataclasses.replace(decision, tours=(dataclasses.replace(tour, way=way),)))


def test_a_road_that_nobody_gave_cannot_be_driven() -> None:
    instance = build(crossing(0.75))
    decision = search(instance).decision
    without = dataclasses.replace(instance.scenario, roads=instance.scenario.roads[:2])
    with pytest.raises(PlanUnsound, match="not as long"):
        verify(dataclasses.replace(instance, scenario=without), decision)
