"""Roads that lead one way and trips that end elsewhere: the plan against trying everything, and cases by hand.

Outside check: tests/brute.py tries every order of stops and every chain of roads and shares no code with planning.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from brute import tried
from brute_selling import Drive, Map
from tiny_elsewhere import by_the_clock, elsewhere, one_way
from tiny_ways import detours
from tried_and_planned import proven, same

from partway.errors import BadScenario, PlanUnsound
from partway.planning.check.direct import cheapest_trips
from partway.planning.check.verify import verify
from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import formulate
from partway.planning.search.search import search
from partway.planning.search.tour_bounds import TourCuts
from partway.planning.tours.orders import exchanged, length
from partway.planning.tours.roads import round_trips
from partway.planning.tours.ways import least_both_ways
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Road, Scenario, TripEnd, Vehicle

SEEDS: dict[Callable[[int], Scenario], range] = {one_way: range(30), elsewhere: range(40), by_the_clock: range(36)}


@pytest.mark.parametrize("drawn", SEEDS, ids=lambda drawn: drawn.__name__)
def test_the_plan_is_worth_what_trying_everything_is_worth(drawn: Callable[[int], Scenario]) -> None:
    done = 0
    for seed in SEEDS[drawn]:
        best, instance = tried(drawn(seed)), build(drawn(seed))
        if best is None:
            continue
        done += 1
        assert same(proven(instance), best), seed
        if not instance.opening.part:  # with hours of their own, tours have to be listed
            assert same(proven(replace(instance, tours=None)), best), f"{seed}, tours not listed"
    assert done >= 25


@pytest.mark.parametrize("drawn", [one_way, elsewhere], ids=lambda drawn: drawn.__name__)
def test_what_is_kept_waits_for_the_same_trip_by_both_ways_to_work_it_out(drawn: Callable[[int], Scenario]) -> None:
    for seed in SEEDS[drawn]:
        it = drawn(seed)
        if it.vehicle is not None:
            assert dict(round_trips(it, it.vehicle)) == pytest.approx(cheapest_trips(it)), seed


@pytest.mark.parametrize("drawn", [one_way, elsewhere], ids=lambda drawn: drawn.__name__)
def test_no_row_that_bounds_driving_forbids_a_drive_there_is(drawn: Callable[[int], Scenario]) -> None:
    """Every trip that trying everything knows, and none at all, against the rows of every set of stops."""
    held = 0
    for it in (replace(drawn(seed), hours=replace(drawn(seed).hours, trips=1)) for seed in SEEDS[drawn]):
        model = formulate(replace(build(it), tours=None), loose=True)
        columns, linear, vehicle = model.columns, model.linear, it.vehicle
        if vehicle is None or not columns.tour_money:
            continue
        places = [b for b, _ in columns.visits if b in model.instance.buyer_at.values()]
        sets = [frozenset(some) for n in range(len(places) + 1) for some in itertools.combinations(places, n)]
        cuts = TourCuts(model)
        cuts.add_legs()
        cuts.add_tours(tuple(sets))
        rows = [r for r, family in enumerate(linear.row_families) if family in ("legs", "tours")]
        for buyers in sets:
            stops = tuple(it.buyers[b].id for b in buyers)
            for drive in Map(it).tours(stops) if stops else [Drive(0.0, 0.0)]:
                x = {columns.visits[b, 0]: 1.0 for b in buyers}
                x |= {columns.tour_money[0]: drive.km * vehicle.cost_per_km, columns.tour_hours[0]: drive.hours}
                over = [sum(x.get(c, 0.0) * a for c, a in linear.rows[r]) - linear.row_lower[r] for r in rows]
                assert min(over) >= -1e-6, (it.name, stops)
                held += len(over)
    assert held >= 1000


def test_the_direction_of_roads_and_the_end_decide_many_plans() -> None:
    def both_ways(it: Scenario) -> Scenario:
        pairs = {frozenset((r.start, r.end)): r for r in it.roads}
        return replace(it, roads=tuple(replace(r, one_way=False) for r in pairs.values()))

    differ = [
        seed
        for seed in SEEDS[one_way]
        if not same(proven(build(one_way(seed))), proven(build(both_ways(one_way(seed)))))
    ]
    assert len(differ) >= 15
    differ = [
        seed for seed in SEEDS[elsewhere] if not same(proven(build(it := elsewhere(seed))), proven(build(_home(it))))
    ]
    assert len(differ) >= 15


@pytest.mark.parametrize("seed", range(20))
def test_legs_without_a_direction_add_up_to_no_more_than_any_trip(seed: int) -> None:
    """Against every order of up to five stops; and orders made by exchanges are orders, no longer than they were."""
    rng = random.Random(seed)
    way = np.array([[rng.uniform(1.0, 9.0) for _ in range(6)] for _ in range(6)])
    least = least_both_ways(way)
    assert (least == least.T).all()
    for order in (o for n in range(1, 6) for o in itertools.permutations(range(1, 6), n)):
        legs = list(itertools.pairwise((0, *order, 0)))
        assert sum(least[leg] for leg in legs) <= sum(way[leg] for leg in legs) + 1e-9
    given = [3, 1, 5, 2, 4]
    found = exchanged(way.tolist(), given)
    assert sorted(found) == sorted(given)
    assert length(way.tolist(), found) <= length(way.tolist(), given) + 1e-9


def _home(it: Scenario) -> Scenario:
    return replace(it, end=None)


def loop(*roads: Road, end: TripEnd | None = None, away: float = 5.0, **terms: object) -> Scenario:
    """One yard, 100 of iron to sell there; a kilometre costs 1, 60 km/h, hours are free. Invented."""
    yard = Buyer("yard", "yard", quotes=(Quote("iron", Estimate.exact(10.0), detours(0).on),), **terms)  # type: ignore[arg-type]
    return replace(
        detours(0),
        hours=Hours(0.0, away, 0.0),
        vehicle=Vehicle(100.0, cost_per_km=1.0, kmh=60.0),
        buyers=(yard,),
        roads=roads,
        end=end,
        grades={"iron": Grade("iron", "iron", "ferrous", Estimate.exact(1.0))},
        stock={"iron": 10.0},
        keep_factor=0.5,
    )


def planned(it: Scenario) -> tuple[Instance, Decision]:
    """The best plan, checked."""
    instance = build(it)
    decision = search(instance).decision
    verify(instance, decision)
    return instance, decision


END = TripEnd("the workshop")
THERE, BACK = Road("home", "yard", 4.0, one_way=True), Road("yard", "home", 7.0, one_way=True)


@pytest.mark.parametrize(
    ("it", "km", "way"),
    [
        (loop(THERE, BACK), 11.0, (0, 1, 0)),
        (loop(BACK, km=5.0), 12.0, (0, 1, 0)),  # there by the kilometres said, back by the road
        (loop(Road("home", "yard", 4.0), Road("yard", "end", 2.0), end=END), 6.0, (0, 1, 2)),
        (loop(Road("home", "end", 3.0), end=END, km=5.0), 13.0, (0, 1, 0, 2)),  # only home leads to the end
        (loop(Road("home", "end", 3.0), Road("end", "yard", 4.0), end=END), 11.0, (0, 2, 1, 2)),  # past the end
        (loop(THERE, BACK, Road("yard", "end", 2.0), end=END), 6.0, (0, 1, 2)),
    ],
    ids=["longer back", "km one way", "on to the end", "through home", "past the end", "not back"],
)
def test_ways_worked_out_by_hand(it: Scenario, km: float, way: tuple[int, ...]) -> None:
    instance, decision = planned(it)
    (tour,) = decision.tours
    assert tour is not None
    assert (tour.km, tour.way) == (km, way)
    assert tour.hours == pytest.approx(km / 60.0)
    assert verify(instance, decision).money.driving == pytest.approx(-km)


def test_who_closes_before_one_is_back_through_a_one_way_town_is_not_visited() -> None:
    """7 minutes there by the one-way road's other side, the road back is 4: open till 8:06 is too late, 8:08 is not."""
    turned = (Road("home", "yard", 7.0, one_way=True), Road("yard", "home", 4.0, one_way=True))
    late, open_ = (planned(loop(*turned, open=(f"sat 06:00-{t}",)))[1].tours for t in ("08:06", "08:08"))
    assert late == (None,)
    assert open_[0] is not None


@pytest.mark.parametrize(
    ("it", "way", "km"),
    [
        (loop(THERE, BACK), (0, 1, 0), 8.0),  # back by the way there
        (loop(THERE, BACK), (0, 1, 0), 14.0),  # there by the way back
        (loop(THERE, BACK, Road("yard", "end", 2.0), end=END), (0, 1, 0), 11.0),  # home in place of the end
        (loop(Road("home", "yard", 4.0), Road("yard", "end", 2.0, one_way=True), Road("end", "home", 1.0), end=END),
         (0, 2, 1, 2), 5.0),  # against a one-way road
    ],
    ids=["back as there", "there as back", "ends at home", "against one way"],
)  # fmt: skip
def test_a_trip_that_cannot_be_driven_so_fails_the_check(it: Scenario, way: tuple[int, ...], km: float) -> None:
    instance, decision = planned(it)
    (tour,) = decision.tours
    assert tour is not None
    wrong = replace(tour, way=way, km=km, hours=km / 60.0)
    with pytest.raises(PlanUnsound, match="not as long as said"):
        verify(instance, replace(decision, tours=(wrong,)))


@pytest.mark.parametrize(
    ("it", "said"),
    [
        (loop(THERE), r"buyer\[yard\].*no way back from it"),
        (loop(BACK), r"buyer\[yard\].*no way to it"),
        (loop(THERE, BACK, end=END), r"end: got no way to it"),
        (loop(THERE, BACK, Road("yard", "end", 2.0, one_way=True), end=END), r"end: got no way back from it"),
        (loop(km=5.0, end=TripEnd("the workshop", (47.0, 9.0))), r"end: got no way to it"),
        (replace(loop(THERE, BACK, Road("yard", "end", 2.0), end=END), hours=Hours(0.0, 5.0, 0.0, trips=2)),
         r"hours.trips.*2 trips, and an end elsewhere \(the workshop\)"),
    ],
)  # fmt: skip
def test_what_leads_nowhere_is_refused_with_where(it: Scenario, said: str) -> None:
    with pytest.raises(BadScenario, match=said):
        build(it)
