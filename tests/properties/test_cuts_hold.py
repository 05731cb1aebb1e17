"""Cuts of legs hold for every plan that drives real trips: drawn trips with drawn loads against the rows themselves.

The trips are made here, by lists of stops and kilograms, without the programme or a solver.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from long_haul import long_haul

from partway.planning.edges.cuts import Cuts
from partway.planning.edges.legs import Legs
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.highs import Solver, Values
from partway.planning.model.milp import formulate
from partway.planning.model.pooled import Pooled, pool
from partway.planning.search.edge_search import EdgeSearch
from partway.planning.search.tour_bounds import TourCuts
from partway.planning.tours.tours import shortest_tour
from partway.things.scenario import Hours, Vehicle

PLACES = 7
SLACK = 1e-6


def instance(seed: int, trips: int) -> Instance:
    """Stock for seven yards and a vehicle that holds part of it; tours are not listed."""
    scenario = long_haul(seed, places=PLACES, grades=8)
    vehicle = Vehicle(90.0 + 10.0 * (seed % 5), 190.0 + 20.0 * (seed % 3), 0.4)
    scenario = replace(scenario, vehicle=vehicle, hours=Hours(5.0, 9.0, 4.0, trips))
    return replace(build(scenario), tours=None)


def turned(here: Instance, seed: int) -> Instance:
    """The same with ways back home of other lengths than the ways there, as where trips end elsewhere."""
    assert here.roads is not None
    rng, hours = np.random.default_rng(seed), here.roads.hours.copy()
    hours[1:, 0] *= 1.0 + rng.random(PLACES)
    return replace(here, roads=replace(here.roads, hours=hours, ways={}))


def with_cuts(seed: int, trips: int, home: bool = True) -> tuple[Pooled, Legs]:
    """The pooled programme with the cuts that points of a few drawn objectives break."""
    model = formulate(instance(seed, trips) if home else turned(instance(seed, trips), seed))
    tours, rng = TourCuts(model), random.Random(seed)
    pooled = pool(model)
    legs = Legs(pooled, tours.cost, tours.hours)
    cuts, kept = Cuts(legs), list(pooled.linear.objective)
    for _ in range(4):
        pooled.linear.objective = [
            value + 30.0 * rng.random() * (c in legs.visits.values()) for c, value in enumerate(kept)
        ]
        for _ in range(8):
            answer = Solver(pooled.linear, relaxed=True).run()
            if answer.x is None or not cuts.add(answer.x):
                break
    return pooled, legs


def real_trips(pooled: Pooled, legs: Legs, seed: int) -> Iterator[Values]:
    """Legs, visits and loads of plans that drive up to all trips, each past some of the places."""
    here, rng, columns = pooled.model.instance, random.Random(seed), pooled.model.columns
    vehicle = here.scenario.vehicle
    assert vehicle is not None and vehicle.volume_l is not None
    for _ in range(60):
        x, left = np.zeros(len(pooled.linear.names)), list(here.supply)
        for _ in range(rng.randint(0, pooled.trips)):
            stops = rng.sample(range(1, PLACES + 1), rng.randint(1, PLACES))
            x[legs.made] += 1.0
            for a, b in itertools.pairwise((0, *stops, 0)):
                x[legs.column[(a, b) if (a, b) in legs.column else (b, a)]] += 1.0
            kg, litres = vehicle.payload_kg, vehicle.volume_l
            lots = [(i, t) for i, t, k in columns.lots if k == 0 and here.stops[here.lots[i].buyer] in stops]
            taken: set[int] = set()
            for i, t in rng.sample(lots, len(lots)):
                lot = here.lots[i]
                size = here.litres_per_kg[lot.grade]
                load = min(lot.tiers[t].high, left[lot.grade], kg, litres / size) * rng.choice((0.5, 1.0, 1.0))
                if i not in taken and load > 0.0:
                    taken.add(i)
                    x[pooled.column[columns.lots[i, t, 0]]] += load
                    left[lot.grade], kg, litres = left[lot.grade] - load, kg - load, litres - load * size
            for stop in stops:
                x[legs.visits[stop]] += 1.0
        yield x


@pytest.mark.parametrize("home", [True, False])
@pytest.mark.parametrize("trips", [1, 2, 3])
@pytest.mark.parametrize("seed", range(4))
def test_every_real_trip_keeps_to_the_cuts(seed: int, trips: int, home: bool) -> None:
    pooled, legs = with_cuts(seed, trips, home)
    assert legs.turned is not home
    linear = pooled.linear
    rows = [r for r, family in enumerate(linear.row_families) if family in ("joined", "loads", "ends", "made")]
    assert {"joined", "ends", "made"} <= {linear.row_families[r] for r in rows}
    for x in real_trips(pooled, legs, seed):
        for r in rows:
            value = sum(a * x[c] for c, a in linear.rows[r])
            assert linear.row_lower[r] - SLACK <= value <= linear.row_upper[r] + SLACK, linear.row_names[r]


@pytest.mark.parametrize("seed", range(4))
def test_legs_that_take_too_long_are_those_of_no_trip(seed: int) -> None:
    """Every trip of up to three stops that has the hours for it is made of legs and visits that are left."""
    here = turned(instance(seed, 2), seed)
    hours = replace(here.scenario.hours, trip=1.5)
    here = replace(here, scenario=replace(here.scenario, hours=hours))
    assert here.roads is not None
    way, pooled = here.roads.hours, pool(formulate(here))
    legs, upper = Legs(pooled, way, way), pooled.linear.upper
    left = {leg for leg, c in legs.column.items() if upper[c] > 0.0}
    stays = {p for p, c in legs.visits.items() if upper[c] > 0.0}
    made = 0
    for order in (o for n in (1, 2, 3) for o in itertools.permutations(range(1, PLACES + 1), n)):
        drive = list(itertools.pairwise((0, *order, 0)))
        site = sum(here.on_site_hours(here.buyer_at[p]) for p in order)
        if sum(way[leg] for leg in drive) + site <= 1.5:
            made += 1
            assert set(order) <= stays
            assert all((a, b) in left or (a and b and (b, a) in left) for a, b in drive)
    assert made and len(left) < len(legs.column)


# --- places that no trip has the hours to join ----------------------------------------------------------


def short_of_hours(seed: int, trips: int, home: bool) -> Instance:
    """Seven places, and hours that let a trip past about half of all pairs of them."""
    here = instance(seed, trips) if home else turned(instance(seed, trips), seed)
    assert here.roads is not None
    way = here.roads.hours
    pairs = sorted(
        _quickest(way, pair) + sum(here.on_site_hours(here.buyer_at[p]) for p in pair)
        for pair in itertools.combinations(range(1, PLACES + 1), 2)
    )
    return replace(here, scenario=replace(here.scenario, hours=Hours(5.0, 30.0, 4.0, trips, trip=pairs[11])))


def _quickest(way: np.ndarray, stops: tuple[int, ...]) -> float:
    """The quickest trip past these places, by trying every order."""
    return min(
        sum(float(way[leg]) for leg in itertools.pairwise((0, *order, 0))) for order in itertools.permutations(stops)
    )


def orders_in_time(here: Instance) -> list[tuple[int, ...]]:
    """Every order of places that a trip has the hours for; more stops never take less time."""
    assert here.roads is not None
    way, most, found = here.roads.hours, here.scenario.hours.one_trip, list[tuple[int, ...]]()
    for size in range(1, PLACES + 1):
        for order in itertools.permutations(range(1, PLACES + 1), size):
            site = sum(here.on_site_hours(here.buyer_at[p]) for p in order)
            if sum(float(way[leg]) for leg in itertools.pairwise((0, *order, 0))) + site <= most:
                found.append(order)
        if not found or len(found[-1]) < size:
            return found
    return found


@pytest.mark.parametrize("seed", range(13))
@pytest.mark.parametrize("home", [True, False])
def test_every_trip_in_time_keeps_to_the_rows_about_conflicts_and_they_cut_something_off(seed: int, home: bool) -> None:
    """A sum of trips keeps to them, too: their side is 0, so each trip on its own is enough."""
    here = short_of_hours(seed, 1 + seed % 3, home)
    pooled = pool(formulate(here))
    assert here.roads is not None
    way, rng = here.roads.hours, random.Random(seed)
    legs = Legs(pooled, way, way)
    cuts, linear = Cuts(legs), pooled.linear
    for c in legs.visits.values():
        linear.objective[c] += 200.0 * rng.random()
    lost = []
    for _ in range(12):
        answer = Solver(linear, relaxed=True).run()
        assert answer.x is not None
        before = len(linear.rows)
        if not cuts.add(answer.x):
            break
        lost += [
            linear.row_lower[r] - sum(a * answer.x[c] for c, a in linear.rows[r])
            for r in range(before, len(linear.rows))
            if linear.row_families[r] == "conflicts"
        ]
    assert lost and min(lost) > 1e-4
    for order in orders_in_time(here):
        x = np.zeros(len(linear.names))
        x[legs.made] = 1.0
        for a, b in itertools.pairwise((0, *order, 0)):
            x[legs.column[(a, b) if (a, b) in legs.column else (b, a)]] += 1.0
        for stop in order:
            x[legs.visits[stop]] += 1.0
        for r, family in enumerate(linear.row_families):
            if family == "conflicts":
                assert sum(a * x[c] for c, a in linear.rows[r]) >= linear.row_lower[r] - SLACK, order


def test_rows_about_loads_are_found_for_some() -> None:
    """Else the test above would say nothing of them."""
    found = [sum(f == "loads" for f in with_cuts(seed, 3)[0].linear.row_families) for seed in range(4)]
    assert min(found) > 0


def test_rounds_that_do_not_touch_home_are_cut_off() -> None:
    """Two rounds of three places, one of them without home."""
    pooled, legs = with_cuts(1, 1)
    x = np.zeros(len(pooled.linear.names))
    x[legs.made] = 1.0
    for a, b in ((0, 1), (1, 2), (0, 2), (3, 4), (4, 5), (3, 5)):
        x[legs.column[a, b]] = 1.0
    for place in range(1, 6):
        x[legs.visits[place]] = 1.0
    cuts, rows = Cuts(legs), len(pooled.linear.rows)
    assert cuts.add(x) == len(pooled.linear.rows) - rows > 0
    (new, *_) = pooled.linear.rows[rows:]
    assert sum(a * x[c] for c, a in new) < pooled.linear.row_lower[rows] - 0.5


# --- stops that are settled ----------------------------------------------------------------------------


def test_excluding_one_choice_of_stops_leaves_the_next_best() -> None:
    """One trip past points that pay for a visit: the choices in order of their worth, by trying all of them."""
    base = instance(3, 1)
    pays = {b: 2.0 + 3.0 * b for b in range(PLACES)}
    model = formulate(base)
    tours = TourCuts(model)
    pooled = pool(model)
    pooled.linear.objective = [0.0] * len(pooled.linear.names)
    money, hours = (pooled.column[c[0]] for c in (model.columns.tour_money, model.columns.tour_hours))
    pooled.linear.objective[money], pooled.linear.objective[hours] = -1.0, -tours.wage
    for b, c in pooled.visits.items():
        pooled.linear.objective[c] = pays[b]
    pooled.linear.constant = 0.0
    edges, worths = EdgeSearch(pooled, tours), []
    for _ in range(6):
        answer = edges.whole(600.0, 0.0, -math.inf)
        assert answer.x is not None
        worths.append(answer.objective)
        (stops,) = edges.trips(answer.x)
        edges.exclude(stops)
    every = []
    for size in range(PLACES + 1):
        for chosen in itertools.combinations(range(PLACES), size):
            at = [0, *(tours.place(b) for b in chosen)]
            long = shortest_tour(tours.hours[np.ix_(at, at)])[0] + sum(map(base.on_site_hours, chosen))
            if long <= base.scenario.hours.away:
                every.append(sum(pays[b] for b in chosen) - shortest_tour(tours.cost[np.ix_(at, at)])[0])
    assert worths == pytest.approx(sorted(every, reverse=True)[:6], abs=1e-5)


@pytest.mark.parametrize("seed", range(4))
def test_a_place_where_nothing_is_sold_is_in_no_row(seed: int) -> None:
    """Home and seven places have ways; of one of them the programme has no visit."""
    here = instance(seed, 1)
    yards = here.scenario.buyers
    buyers = (replace(yards[0], quotes=()), *yards[1:])
    here = replace(build(replace(here.scenario, buyers=buyers)), tours=None)
    edges = EdgeSearch(pool(formulate(here)), TourCuts(formulate(here)))
    assert len(edges.legs.visits) == PLACES - 1 and edges.legs.size == PLACES + 1
    x = np.zeros(len(edges.pooled.linear.names))
    apart, *joined = sorted(edges.legs.visits)
    x[edges.legs.visits[apart]] = 0.5  # a visit without a leg breaks a row
    for place in joined:
        x[edges.legs.visits[place]], x[edges.legs.column[0, place]] = 0.5, 1.0
    assert edges.cuts.add(x) == 1
