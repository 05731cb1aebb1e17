"""More than twelve places: first plans keep to the hours away, more trips never bring less, and no bound is too low.

Steps and not seconds end these searches, so a busy machine finds the same.
"""

from __future__ import annotations

import dataclasses
import importlib.util
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from long_haul import long_haul

from partway.actions.plans.plan import Limits, plan
from partway.errors import PlanUnsound
from partway.planning.check.verify import verify
from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import formulate
from partway.planning.search.neighbours import Neighbours
from partway.planning.search.search import SearchFound, search
from partway.planning.search.stages import FixedTours
from partway.planning.search.tour_bounds import TourCuts, Toured
from partway.reports.haul import doubts
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Scenario, Vehicle

LONG = 120.0  # seconds, more than any of these takes
ONE_TRIP = 8867.0  # what one trip of the sixteen yards is worth: found once, rounded


def _generator() -> ModuleType:
    path = Path(__file__).parents[2] / "benchmarks" / "generate.py"
    spec = importlib.util.spec_from_file_location("benchmark_generate", path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def sixteen(trips: int) -> Scenario:
    """Sixteen buyers, of which two by mail, and four hours away."""
    generate = _generator()
    size = generate.Size(40, 4.5, 40, 16, trips, 25.0, 4.0, 500.0)
    scenario: Scenario = generate._Maker(size, np.random.default_rng([1001, 5, 40])).make("tight-1001")
    return dataclasses.replace(scenario, keep_factor=0.8)  # by the price of room less would be kept


def with_trips(scenario: Scenario, trips: int, away: float) -> Scenario:
    """The scenario with other limits on driving."""
    return dataclasses.replace(scenario, hours=dataclasses.replace(scenario.hours, trips=trips, away=away))


def drives(found: SearchFound) -> bool:
    """Whether any trip is made."""
    return any(found.decision.tours)


def test_the_first_plan_of_two_trips_is_near_the_best_of_one() -> None:
    found = search(build(sixteen(2)), LONG, steps=1)
    assert found.objective >= 0.99 * ONE_TRIP
    assert drives(found)
    assert found.doubts == ()


def test_two_trips_bring_at_least_what_one_brings() -> None:
    instance = build(sixteen(2))
    found = search(instance, LONG, steps=3)
    assert found.objective >= ONE_TRIP - 0.5
    assert verify(instance, found.decision).money.cash > 7000.0


@pytest.mark.parametrize("seed", range(5))
def test_more_trips_never_bring_less_than_one(seed: int) -> None:
    scenario = long_haul(seed, places=13 + seed % 3, grades=10)
    for away in (1.2, 2.5):
        for steps in (1, 5):
            one, two, three = (
                search(build(with_trips(scenario, trips, away)), LONG, 1e-4, steps=steps).objective
                for trips in (1, 2, 3)
            )
            assert min(two, three) >= one - 1e-6 * abs(one)


@pytest.mark.parametrize("seed", range(6))
def test_first_plans_keep_to_few_hours_and_still_drive(seed: int) -> None:
    for trips in (1, 2, 3):
        instance = build(with_trips(long_haul(seed, places=14, grades=10), trips, away=1.2))
        found = search(instance, LONG, steps=1)
        verify(instance, found.decision)
        assert drives(found)


# --- no time to drive --------------------------------------------------------------------------------


@pytest.mark.parametrize("places", [4, 14])
def test_without_time_a_plan_that_needs_no_solver_drives(places: int) -> None:
    found = search(build(long_haul(1, places=places, grades=10)), 0.0)
    assert drives(found) and not found.doubts and not found.optimal


@pytest.mark.parametrize("places", [4, 14])
def test_a_plan_that_stays_at_home_for_want_of_time_says_so(places: int, monkeypatch: pytest.MonkeyPatch) -> None:
    def nothing(instance: Instance, more: float) -> Iterator[tuple[str, Decision]]:
        """As where no single yard pays for the drive."""
        return iter(())

    monkeypatch.setattr("partway.planning.check.second_opinion.sold_as_it_is", nothing)
    scenario = long_haul(1, places=places, grades=10)
    found = search(build(scenario), 0.0)
    assert not drives(found)
    assert found.doubts == ("no-time-to-drive",)
    assert not found.optimal
    report = plan(scenario, Limits(seconds=0.0))
    assert doubts.LONG["no-time-to-drive"] in report.notes
    assert report.status == "gap"


def test_a_plan_that_stays_at_home_for_other_reasons_does_not() -> None:
    scenario = long_haul(1, places=14, grades=10)
    assert search(build(with_trips(scenario, 0, 7.0)), 0.0).doubts == ()
    short = search(build(with_trips(scenario, 2, 0.1)), LONG)
    assert not drives(short)
    assert short.optimal and short.doubts == ()


# --- many stops --------------------------------------------------------------------------------------


def in_a_row(count: int, pays: int, away: float = 24.0) -> Scenario:
    """Yards one km apart on one road that starts at home, each wanting 10 kg of its own for 10, the first `pays`.

    The others pay a cent. All of it is invented.
    """
    names = [f"grade-{i}" for i in range(count)]
    north = 180.0 / (np.pi * 6371.0088)  # degrees of latitude to a km
    price = [Estimate.exact(1.0 if i < pays else 0.001) for i in range(count)]
    base = long_haul(1, places=1, grades=5)
    return dataclasses.replace(
        base,
        hours=Hours(1.0, away, 0.0, 1),
        vehicle=Vehicle(10_000.0, cost_per_km=0.1, kmh=60.0, road_factor=1.0),
        buyers=tuple(
            Buyer(f"yard-{i}", "yard", at=(30.0 + north * (i + 1), -40.5), quotes=(Quote(name, price[i], base.on),))
            for i, name in enumerate(names)
        ),
        stock=dict.fromkeys(names, 10.0),
        grades={name: Grade(name, name, "copper", Estimate.exact(0.5)) for name in names},
        home=(30.0, -40.5),
        keep_factor=0.0,
    )


@pytest.mark.parametrize("count", [14, 19, 30])
def test_a_trip_may_stop_at_all_that_pay_and_is_proven(count: int) -> None:
    scenario = in_a_row(count, pays=count)
    instance = build(scenario)
    found = search(instance, LONG)
    # By hand: each brings 10.00, and the way to the last and back is two km for each, at 0.10.
    assert found.objective == pytest.approx(count * (10.0 - 0.2), abs=1e-5)
    assert found.optimal and not found.doubts
    checked = verify(instance, found.decision)
    (tour,) = checked.decision.tours
    assert tour is not None and len(tour.stops) == count
    report = plan(scenario, Limits(seconds=LONG))
    assert report.status == "optimal" and not any("12" in note for note in report.notes)


def test_the_check_notices_what_is_wrong_with_a_long_trip() -> None:
    """A stop passed by, kilometres left out, a leap over a place and back: each is refused."""
    instance = build(in_a_row(14, pays=14))
    decision = search(instance, LONG).decision
    (tour,) = decision.tours
    assert tour is not None
    verify(instance, decision)
    for wrong in (
        dataclasses.replace(tour, stops=tour.stops[:-1]),
        dataclasses.replace(tour, km=tour.km - 0.5),
        dataclasses.replace(tour, hours=tour.hours - 0.01),
        dataclasses.replace(tour, way=tour.way[:-1]),
        dataclasses.replace(tour, way=(0, *tour.way[2:])),
    ):
        with pytest.raises(PlanUnsound):
            verify(instance, dataclasses.replace(decision, tours=(wrong,)))


@pytest.mark.parametrize(
    "scenario",
    [in_a_row(14, pays=12), in_a_row(14, pays=5), in_a_row(14, pays=14, away=0.3)],
    ids=["twelve pay", "five pay", "no time for thirteen"],
)
def test_where_more_stops_could_not_pay_the_best_is_called_so(scenario: Scenario) -> None:
    found = search(build(scenario), LONG)
    assert found.doubts == ()
    assert found.optimal
    stops = sum(len(tour.stops) for tour in found.decision.tours if tour)
    paying = sum(quote.price.mean > 0.5 for buyer in scenario.buyers for quote in buyer.quotes)
    # Eighteen minutes at 60 km/h are nine km out and nine back.
    assert stops == min(paying, 9 if scenario.hours.away < 1.0 else paying)


def test_each_trip_keeps_to_its_own_hours_beyond_twelve_places() -> None:
    """The longest trip without a limit takes longer than the limit; with it none does, and no plan is worth more."""
    scenario = long_haul(1, places=13, grades=10)
    free = search(build(scenario), LONG, steps=2)
    longest = max(_hours(build(scenario), free.decision))
    hours = dataclasses.replace(scenario.hours, trip=0.8 * longest)
    instance = build(dataclasses.replace(scenario, hours=hours))
    found = search(instance, LONG, steps=2)
    assert drives(found) and max(_hours(instance, found.decision)) <= 0.8 * longest + 1e-6
    assert free.bound >= found.objective - 1e-6 and found.bound >= found.objective - 1e-6
    verify(instance, found.decision)


def _hours(instance: Instance, decision: Decision) -> list[float]:
    """Hours of each trip that is made, on the way and on site."""
    return [
        tour.hours + sum(instance.on_site_hours(instance.buyer_at[stop]) for stop in tour.stops)
        for tour in decision.tours
        if tour
    ]


def test_beyond_twelve_places_who_is_not_open_all_the_time_is_left_out_and_named() -> None:
    scenario = long_haul(1, places=13, grades=10)
    free = search(build(scenario), LONG, steps=1)
    (visited, *_) = [build(scenario).buyer_at[s] for tour in free.decision.tours if tour for s in tour.stops]
    short = dataclasses.replace(scenario.buyers[visited], open=("mon-sun 8:00-8:30",))
    buyers = (*scenario.buyers[:visited], short, *scenario.buyers[visited + 1 :])
    instance = build(dataclasses.replace(scenario, buyers=buyers))
    assert any("left out" in note and short.id in note for note in instance.notes)
    found = search(instance, LONG, steps=1)
    assert all(visited != instance.lots[i].buyer for i, _, _ in found.decision.lots)
    verify(instance, found.decision)


@pytest.mark.parametrize("trips", [1, 2])
def test_stops_put_in_and_left_out_one_by_one_keep_to_the_hours_and_never_bring_less(trips: int) -> None:
    for seed in range(3):
        instance = build(with_trips(long_haul(seed, places=13, grades=8), trips, away=2.0))
        model = formulate(instance)
        cuts = TourCuts(model)
        near = Neighbours(model, cuts)
        home: Toured = dict.fromkeys(range(trips))
        found = near.climbed(home, LONG)
        hours = [tour.hours + sum(map(instance.on_site_hours, cuts.buyers(tour))) for tour in found.values() if tour]
        assert hours and sum(hours) <= 2.0 + 1e-6
        stops = [tuple(map(cuts.buyers, toured.values())) for toured in (home, found)]
        at_home, driven = (
            FixedTours(model, cuts.fixed(where, toured)).guess(LONG).objective
            for where, toured in zip(stops, (home, found), strict=True)
        )
        assert driven > at_home
        # A stop more or less than those found is in nobody's way: there is no better one near them.
        again = near.climbed(found, LONG)
        assert again == found
