"""Stops of one trip valued by arithmetic, and steps to better ones, against a linear programme and every choice tried.

The linear programme is scipy's, written here from the instance; choices are tried by permutations.
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from long_haul import DAY, exact, long_haul
from scipy.optimize import linprog

from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.near.near_stops import NearStops, _stretches
from partway.planning.near.stops_worth import StopsWorth
from partway.planning.tours.between import BetweenTrips
from partway.planning.tours.orders import exchanged, length
from partway.things.scenario import Hours, Quote, Vehicle

PLACES = 6


def instance(seed: int) -> Instance:
    """Six yards that each take some kilograms of some grades at one price, and a vehicle that may be too small."""
    rng, it = random.Random(seed), long_haul(seed, places=PLACES, grades=5)

    def quotes() -> tuple[Quote, ...]:
        return tuple(
            Quote(g, exact(rng.uniform(0.2, 6)), DAY, most_kg=rng.uniform(5, 60)) for g in rng.sample(list(it.stock), 3)
        )

    buyers = tuple(replace(buyer, quotes=quotes()) for buyer in it.buyers)
    vehicle = Vehicle(rng.choice((60.0, 120.0, 1000.0)), None, 0.4)
    return build(replace(it, buyers=buyers, vehicle=vehicle, hours=Hours(5.0, 30.0, 12.0, 1)))


def by_programme(here: Instance, stops: set[int]) -> float:
    """What these places pay over keeping everything at the most."""
    lots = [lot for lot in here.lots if here.stops[lot.buyer] in stops]
    vehicle = here.scenario.vehicle
    if not lots or vehicle is None:
        return 0.0
    gain = [lot.tiers[0].price - here.kept_price[lot.grade] for lot in lots]
    of_grade = [[float(lot.grade == g) for lot in lots] for g in range(len(here.grades))]
    found = linprog(
        [-one for one in gain],
        [*of_grade, [1.0] * len(lots)],
        [*here.supply, vehicle.payload_kg],
        bounds=[(0.0, lot.tiers[0].high) for lot in lots],
    )
    return -float(found.fun or 0.0)


@pytest.mark.parametrize("seed", range(25))
def test_stops_pay_what_a_programme_says(seed: int) -> None:
    here = instance(seed)
    worth = StopsWorth(here, here.supply)
    for size in (1, 2, 4, 6):
        for stops in itertools.islice(itertools.combinations(range(1, PLACES + 1), size), 4):
            assert worth.of(stops) == pytest.approx(by_programme(here, set(stops)), abs=1e-6)


def near(here: Instance, most_hours: float) -> NearStops:
    assert here.roads is not None and here.scenario.vehicle is not None
    way = here.scenario.vehicle.cost_per_km * here.roads.km
    return NearStops(StopsWorth(here, here.supply), way.tolist(), here.roads.hours.tolist(), most_hours)


@pytest.mark.parametrize("most_hours", [math.inf, 2.0])
def test_steps_lead_to_the_best_stops_or_close(most_hours: float) -> None:
    """Of 25 drawn at least 22 to the best of all orders. Where only two more stops together pay, no step leads on."""
    best_of_all = 0
    for seed in range(25):
        steps = near(instance(seed), most_hours)
        found = steps.value(steps.climbed((), 10))
        orders = (o for n in range(PLACES + 1) for o in itertools.permutations(steps.worth.places, n))
        best = max(map(steps.value, orders))
        assert steps.value(()) - 1e-6 <= found <= best + 1e-6
        best_of_all += found > best - 1e-6
    assert best_of_all >= 22


def test_a_trip_that_takes_too_long_is_worth_nothing() -> None:
    here = instance(1)
    steps, order = near(here, math.inf), (1, 2, 3)
    long = length(steps.hours, order) + sum(steps.worth.site[p] for p in order)
    assert near(here, long + 1e-6).value(order) == steps.value(order)
    assert near(here, long - 1e-6).value(order) == -math.inf


# --- single moves, on drawn ways that differ there and back ---------------------------------------------


def among(seed: int) -> NearStops:
    """Seven places that each pay something by themselves, less where there are more; no limit of hours."""
    rng = np.random.default_rng(seed)
    pays = rng.uniform(2.0, 14.0, 8)
    worth: Any = SimpleNamespace(
        places=list(range(1, 8)), site=dict.fromkeys(range(1, 8), 0.0),
        of=lambda order: math.sqrt(sum(pays[p] ** 2 for p in order)),
    )  # fmt: skip
    way = rng.uniform(0.5, 4.0, (8, 8)).tolist()
    return NearStops(worth, way, way, math.inf)


@pytest.mark.parametrize("seed", range(10))
def test_a_stop_is_put_in_where_the_round_is_shortest(seed: int) -> None:
    some = among(seed)
    for n in range(4):
        order = tuple(range(1, n + 1))
        every = [(*order[:at], 7, *order[at:]) for at in range(n + 1)]
        assert length(some.way, some._with(order, 7)) == pytest.approx(min(length(some.way, o) for o in every))
        assert some._with(order, 7) in every


def test_the_moves_are_one_less_one_more_and_one_for_another() -> None:
    some, order = among(0), (2, 5, 6)
    stops, others = set(order), {1, 3, 4, 7}
    less, more = [stops - {p} for p in order], [stops | {p} for p in others]

    def sets(moves: Iterable[tuple[int, ...]]) -> list[list[int]]:
        return sorted(sorted(one) for one in moves)

    assert sets(some._one_other(order, frozenset())) == sets([*map(tuple, less), *map(tuple, more)])
    assert sets(some._one_other(order, frozenset({3}))) == sets(
        map(tuple, [*less, *(one for one in more if 3 not in one)])
    )
    assert sets(some._exchanged(order)) == sets(tuple(stops - {p} | {q}) for p in order for q in others)


@pytest.mark.parametrize("seed", range(10))
def test_no_single_move_from_where_a_climb_ends_brings_anything(seed: int) -> None:
    """Every stop out, every place in at every position, and both."""
    some = among(seed)
    for start in ((), (1, 2, 3), (7, 1, 6, 2, 5, 3, 4)):
        end = some.climbed(start, 0)
        best = some.value(end)
        assert best >= some.value(start) and len(set(end)) == len(end)
        for left in [end, *(end[:i] + end[i + 1 :] for i in range(len(end)))]:
            near = [
                left,
                *((*left[:at], p, *left[at:]) for at in range(len(left) + 1) for p in {*range(1, 8)} - {*end}),
            ]
            assert max(map(some.value, near)) <= best + 1e-6
        assert not {2, 6} & set(some._climb(tuple(p for p in start if p not in {2, 6}), frozenset({2, 6})))
        if set(end) != set(start):
            assert length(some.way, exchanged(some.way, [*end])) >= length(some.way, end) - 1e-8


@pytest.mark.parametrize("seed", range(10))
def test_neither_turning_a_stretch_nor_moving_one_of_up_to_three_makes_a_round_shorter(seed: int) -> None:
    way, first = among(seed).way, [3, 1, 7, 5, 2, 6, 4]
    found = exchanged(way, [*first])
    assert sorted(found) == sorted(first) and length(way, found) <= length(way, first)
    for i, j in itertools.combinations(range(8), 2):
        stretch, rest = found[i:j], found[:i] + found[j:]
        assert length(way, found[:i] + stretch[::-1] + found[j:]) >= length(way, found) - 1e-8
        for at in range(len(rest) + 1) if j - i <= 3 else ():
            for put in (stretch, stretch[::-1]):
                assert length(way, rest[:at] + put + rest[at:]) >= length(way, found) - 1e-8


def test_stretches_go_on_along_the_trip_and_grow_to_half_of_it() -> None:
    assert [*itertools.islice(_stretches(6), 7)] == [(0, 2), (2, 2), (4, 2), (0, 3), (3, 3), (0, 2), (2, 2)]
    assert [*itertools.islice(_stretches(8), 9)][4:] == [(0, 3), (3, 3), (6, 3), (0, 4), (4, 4)]
    assert [*itertools.islice(_stretches(0), 2)] == [(0, 2), (0, 2)]


def told(pays: dict[str, float], way: Any = None, hours: Any = None, most_hours: float = math.inf) -> NearStops:
    """Places 1 to 6 and what sets of them pay, as "12": 10.0; sets that are not named pay nothing. Driving is free."""
    by_set = {frozenset(map(int, stops)): worth for stops, worth in pays.items()}
    worth: Any = SimpleNamespace(
        places=[*range(1, 7)], site=dict.fromkeys(range(7), 0.0), of=lambda order: by_set.get(frozenset(order), 0.0)
    )
    free = [[0.0] * 7 for _ in range(7)]
    return NearStops(worth, way or free, hours or free, most_hours)


def test_two_stops_left_out_together_lead_on_where_no_single_move_does() -> None:
    """From 1 and 2 every single move loses. Without both, 3 is best alone, 4 beside it, and then 1 once more."""
    some = told({"1": 6.0, "2": 6.0, "12": 10.0, "3": 8.0, "4": 8.0, "34": 15.0, "134": 20.0})
    assert set(some.climbed((1, 2), 0)) == {1, 2}
    assert set(some.climbed((1, 2), 1)) == {1, 3, 4}


def test_what_comes_of_leaving_stops_out_is_taken_only_where_it_pays_more() -> None:
    """3 and 4 together pay 8, 1 and 2 pay 10."""
    some = told({"1": 6.0, "2": 6.0, "12": 10.0, "3": 7.0, "4": 7.0, "34": 8.0})
    assert set(some.climbed((1, 2), 1)) == {1, 2}


def test_the_next_stretch_is_left_out_of_what_the_last_one_led_to() -> None:
    """Without 1 and 2 the way leads to 3 and 4; only without these to 5 and 6, as 3 pays more alone."""
    pays = {"1": 6.0, "2": 6.0, "12": 10.0, "3": 8.0, "4": 8.0, "34": 15.0, "5": 7.0, "6": 7.0, "56": 20.0}
    assert set(told(pays).climbed((1, 2), 1)) == {3, 4}
    assert set(told(pays).climbed((1, 2), 2)) == {5, 6}


@pytest.mark.parametrize(("most_hours", "expected"), [(math.inf, {(1, 2, 3), (3, 2, 1)}), (6.0, {(2, 1, 3)})])
def test_a_round_is_not_made_shorter_where_that_takes_too_long(
    most_hours: float, expected: set[tuple[int, ...]]
) -> None:
    """By way of 1, 2, 3 it is 4 km and 12 hours, by way of 2, 1, 3 it is 12 km and 4 hours."""

    def ways(*short: int) -> list[list[float]]:
        near = {frozenset(leg) for leg in itertools.pairwise((0, *short, 0))}
        return [[1.0 if frozenset((a, b)) in near else 5.0 for b in range(7)] for a in range(7)]

    some = told({"123": 50.0}, ways(1, 2, 3), ways(2, 1, 3), most_hours)
    assert some._shorter((2, 1, 3)) in expected


# --- what lots with steps pay -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("there", "expected"),
    [
        (5.0, 5.0 * (2.0 - 0.5)),  # too little for the first step: guessed at its price
        (10.0, 10.0 * (2.0 - 0.5)),
        (50.0, 50.0 * (3.0 - 0.5)),  # just the second step
        (80.0, 80.0 * (3.0 - 0.5)),
        (200.0, 100.0 * (3.0 - 0.5)),  # the buyer takes 100 kg
    ],
)
def test_a_lot_with_steps_pays_the_price_of_the_step_that_all_of_it_reaches(there: float, expected: float) -> None:
    """From 10 kg at 2.00, from 50 to 100 kg at 3.00; kept a kilogram is worth 0.50."""
    steps = [SimpleNamespace(low=10.0, high=50.0, price=2.0), SimpleNamespace(low=50.0, high=100.0, price=3.0)]
    assert lots([(0, 1, steps)], [there]).of([1]) == pytest.approx(expected)


def lots(of: list[tuple[int, int | None, list[Any]]], there: list[float], payload: float | None = 1e6) -> StopsWorth:
    """Lots by grade, place (None for the post) and steps; kept any kilogram is worth 0.50."""
    here: Any = SimpleNamespace(
        scenario=SimpleNamespace(vehicle=None if payload is None else SimpleNamespace(payload_kg=payload)),
        lots=[SimpleNamespace(grade=grade, buyer=i, tiers=steps) for i, (grade, _, steps) in enumerate(of)],
        stops=[place for _, place, _ in of],
        buyer_at={place: i for i, (_, place, _) in enumerate(of) if place is not None},
        kept_price=[0.5] * len(there),
        on_site_hours=lambda _: 0.25,
    )
    return StopsWorth(here, there)


def test_who_pays_no_more_than_keeping_who_is_posted_to_and_of_what_there_is_none_is_no_stop() -> None:
    """One place each for grade 0 at 2.00, grade 1 at 0.50, grade 2 of which there is none; grade 0 by post at 9.00."""
    some = [
        (grade, place, [SimpleNamespace(low=0.0, high=100.0, price=price)])
        for grade, place, price in ((0, 1, 2.0), (1, 2, 0.5), (2, 3, 4.0), (0, None, 9.0))
    ]
    worth = lots(some, [10.0, 10.0, 0.0])
    assert worth.places == [1]
    assert worth.of([1, 2, 3]) == pytest.approx(10.0 * 1.5)
    assert worth.of([]) == worth.of([2, 3]) == 0.0
    assert worth.site == {1: 0.25, 2: 0.25, 3: 0.25}
    assert lots(some, [10.0, 10.0, 0.0], payload=None).of([1]) == 0.0, "without a vehicle nothing is driven"


# --- steps between trips ------------------------------------------------------------------------------


def drawn(seed: int) -> tuple[BetweenTrips, list[list[int]]]:
    """Two trips of three stops among eight points, home in the middle."""
    rng = np.random.default_rng(seed)
    at = np.vstack([[[0.5, 0.5]], rng.random((8, 2))])
    way = np.hypot(*(at[:, None] - at[None]).T)
    pays = {p: float(rng.integers(1, 9)) for p in range(1, 9)}
    return BetweenTrips(pays, dict.fromkeys(pays, 0.1), way.tolist(), (0.2 * way).tolist()), [[1, 2, 3], [4, 5, 6]]


def long(between: BetweenTrips, trip: list[int]) -> float:
    return length(between.hours, trip) + 0.1 * len(trip) if trip else 0.0


@pytest.mark.parametrize("seed", range(25))
def test_a_step_between_trips_makes_them_shorter_and_keeps_their_stops(seed: int) -> None:
    between, trips = drawn(seed)
    took, most = [long(between, trip) for trip in trips], max(long(between, trip) for trip in trips)
    moved = between.shorter(trips, lambda trip: long(between, list(trip)), most)
    now = [long(between, trip) for trip in trips]
    assert sorted(p for trip in trips for p in trip) == [1, 2, 3, 4, 5, 6]
    assert moved == (sum(now) < sum(took) - 1e-9) and max(now) <= most + 1e-9


@pytest.mark.parametrize("seed", range(25))
def test_a_stop_is_replaced_by_what_gains_most(seed: int) -> None:
    """Every stop out and every place in, at each position that takes least time: tried here by whole trips."""
    between, trips = drawn(seed)
    room, tried = [0.15, 0.15], [list(trip) for trip in trips]

    def value(trip: list[int]) -> float:
        return sum(between.worth[p] for p in trip) - length(between.cost, trip)

    best = 0.0
    for k, trip in enumerate(tried):
        for i, place in itertools.product(range(3), (7, 8)):
            left = trip[:i] + trip[i + 1 :]
            new = min(([*left[:j], place, *left[j:]] for j in range(3)), key=lambda t: long(between, t))
            if long(between, new) - long(between, trip) <= room[k]:
                best = max(best, value(new) - value(trip))
    gained = sum(map(value, tried))
    assert between.replaced(trips, [7, 8], room) == (best > 1e-9)
    assert sum(map(value, trips)) - gained == pytest.approx(best, abs=1e-9)
