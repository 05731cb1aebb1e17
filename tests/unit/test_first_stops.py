"""Which stops are tried first where tours are not listed: rounds and hours worked out by hand, orders by trying all.

The rules are ours (docs/model.md), the moves are Croes's (Operations Research 6, 1958) and Or's.
"""

from __future__ import annotations

import itertools
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.search.first_stops import FirstStops, shared_out, worth_of_stops
from partway.planning.tours.chosen import Chosen
from partway.planning.tours.orders import length, round_trip


def some(
    site: tuple[float, ...] = (0.25, 0.25, 0.25),
    worth: dict[int, float] | None = None,
    away: float = 99.0,
    one_trip: float = 99.0,
    **has: Any,
) -> FirstStops:
    """First stops of yards along one road, 1, 2, 3 ... hours from home, each a quarter of an hour on site."""
    it = object.__new__(FirstStops)
    road = np.abs(np.subtract.outer(np.arange(4.0), np.arange(4.0)))
    instance = SimpleNamespace(buyer_at={b + 1: b for b in range(3)})
    cuts = SimpleNamespace(instance=instance, place=lambda b: b + 1, room=(10.0, 100.0))
    chosen = Chosen(
        worth={b + 1: value for b, value in (worth or {}).items()},
        site={b + 1: hours for b, hours in enumerate(site)},
        hours=road.tolist(),
        cost=np.zeros((4, 4)).tolist(),
        away=away,
        one_trip=one_trip,
    )
    vars(it).update({"cuts": cuts, "known": set(), "chosen": chosen, "way": road.tolist(), **has})
    return it


def first_of(it: FirstStops, *trips: str) -> tuple[frozenset[int], ...]:
    """The first way to make trips fit."""
    return next(it.fitting(stops(*trips)))


def stops(*trips: str) -> tuple[frozenset[int], ...]:
    """Buyers by the digits of each trip."""
    return tuple(frozenset(map(int, trip)) for trip in trips)


# --- the round ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(40))
def test_a_round_is_one_that_turning_no_stretch_and_moving_no_stop_makes_shorter(seed: int) -> None:
    rng = np.random.default_rng(seed)
    at = rng.uniform(0.0, 10.0, (7, 2))
    way = np.linalg.norm(at[:, None] - at[None, :], axis=2).tolist()
    places = sorted(rng.choice(np.arange(1, 7), size=int(rng.integers(1, 7)), replace=False).tolist())
    order = round_trip(way, places)
    assert sorted(order) == places
    for i, j in itertools.combinations(range(len(order) + 1), 2):
        assert length(way, [*order[:i], *reversed(order[i:j]), *order[j:]]) >= length(way, order) - 1e-7
        moved = [p for p in order if p != order[i]]
        assert length(way, [*moved[:j], order[i], *moved[j:]]) >= length(way, order) - 1e-7


def test_of_places_as_near_the_first_is_next() -> None:
    way = (np.ones((4, 4)) - np.eye(4)).tolist()
    assert round_trip(way, [1, 2, 3]) == [1, 2, 3]
    assert round_trip(way, []) == []


# --- shared out --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("loads", "trips", "expected"),
    [
        ([(6.0, 0.0), (6.0, 0.0), (6.0, 0.0)], 2, ("01", "12")),  # 6 + 4, 2 + 6
        ([(6.0, 0.0), (6.0, 0.0), (6.0, 0.0)], 1, ("01",)),  # what is left has no trip
        ([(1.0, 80.0), (1.0, 40.0)], 2, ("01", "1")),  # litres fill it before kilograms do
        ([(9.85, 0.0), (1.0, 0.0)], 2, ("0", "1")),  # less than 2 % of room is none
        ([(9.7, 0.0), (1.0, 0.0)], 2, ("01", "1")),
        ([(1.0, 0.0), (0.005, 0.0)], 1, ("01",)),  # however little it gets, it is worth one stop
        ([(10.005, 0.0), (1.0, 0.0)], 2, ("0", "1")),  # a thousandth of a load or less is no reason for another
        ([(1.0, 0.0), (0.05, 0.0)], 1, ("01",)),
        ([(35.0, 0.0)], 3, ("0", "0", "0")),
        ([(5.0, 0.0), (5.0, 0.0), (3.0, 0.0)], 2, ("01", "2")),
    ],
)
def test_a_round_fills_each_trip_before_the_next(
    loads: list[tuple[float, float]], trips: int, expected: tuple[str, ...]
) -> None:
    """A vehicle of 10 kg and 100 litres."""
    assert shared_out([*range(len(loads))], dict(enumerate(loads)), (10.0, 100.0), trips) == stops(*expected)


def test_two_hundredths_of_the_room_are_none_either() -> None:
    """31 of 32 parts, and what leaves a fiftieth of the room."""
    loads = {0: (31.0 / 32.0, 0.0), 1: (1.0 / 32.0 - 0.02, 0.0), 2: (0.5, 0.0)}
    assert shared_out([0, 1, 2], loads, (1.0, np.inf), 2) == stops("01", "2")


def test_a_trip_may_have_any_number_of_stops() -> None:
    made = shared_out([*range(14)], dict.fromkeys(range(14), (0.1, 0.0)), (10.0, 100.0), 2)
    assert made == (frozenset(range(14)), frozenset())


def test_what_was_split_goes_on_where_it_was_split() -> None:
    """4 of a load in the first trip, the whole of the second, and 1 more in the third, which 5 then fills to 6."""
    loads = {0: (6.0, 0.0), 1: (15.0, 0.0), 2: (5.0, 0.0), 3: (5.0, 0.0)}
    assert shared_out([0, 1, 2, 3], loads, (10.0, np.inf), 4) == stops("01", "1", "123", "3")


# --- hours -------------------------------------------------------------------------------------------


def test_hours_of_a_trip_are_the_way_and_a_quarter_at_each_stop() -> None:
    it = some().chosen
    assert it.long([]) == 0.0
    assert it.long([1, 3]) == it.long([3, 1]) == 6.5


@pytest.mark.parametrize(
    ("away", "left"),
    [(6.75, "012"), (6.74, "01"), (4.5, "01"), (4.49, "0"), (2.25, "0"), (2.24, "")],
)
def test_the_stop_that_earns_least_per_hour_is_dropped_until_a_trip_fits(away: float, left: str) -> None:
    """All three take 6.75 hours. Without the farthest 4.5, so it earns 12 / 2.25; each other 10 or 30 in a quarter."""
    worth = {0: 10.0, 1: 30.0, 2: 12.0}
    assert first_of(some(worth=worth, away=away), "012") == stops(left)
    assert first_of(some(worth=worth, one_trip=away), "012") == stops(left)


def test_the_hours_away_are_of_all_trips_and_the_hours_of_a_trip_of_each() -> None:
    """2.25 and 4.25 hours; the one near by earns 1 in 2.25 and the other 9 in 4.25."""
    it: Any = {"worth": {0: 1.0, 1: 9.0}}
    assert first_of(some(**it, away=6.5), "0", "1") == stops("0", "1")
    assert first_of(some(**it, away=6.4), "0", "1") == stops("", "1")
    assert first_of(some(**it, one_trip=4.25), "0", "1") == stops("0", "1")
    assert first_of(some(**it, one_trip=4.2), "0", "1") == stops("0", "")
    assert first_of(some(**it, one_trip=4.2), "", "") == stops("", "")


def test_who_earns_nothing_goes_before_who_earns_little() -> None:
    """Buyer 0 saves a quarter of an hour and earns nothing, buyer 1 two and a quarter at 2 an hour."""
    assert first_of(some(worth={1: 4.5}, away=4.4), "01") == stops("1")


def test_a_stop_that_saves_no_time_is_dropped_last() -> None:
    it = some((0.0, 0.25), worth={0: 1.0, 1: 50.0}, away=4.1)
    assert first_of(it, "01") == stops("0")


# --- proposals ---------------------------------------------------------------------------------------


def proposing(trips: int, **has: Any) -> list[tuple[frozenset[int], ...]]:
    """Three yards along a road that each get six of the ten kilograms that a trip carries; each proposal once."""
    it = some(trips=trips, loads=dict.fromkeys(range(3), (6.0, 0.0)), **has)
    return list(dict.fromkeys(it.proposals()))


def test_one_trip_begins_at_every_stop_in_both_directions() -> None:
    """Six kilograms and the four that fit: 0 1, then 2 1; from 1: 1 2 and 0 2."""
    assert proposing(1) == [*map(stops, ("01", "12", "02"))]


def test_a_way_to_share_them_out_is_proposed_once() -> None:
    """Three yards begin three rounds in two directions: of six ways three are the same."""
    found = list(some(trips=1, loads=dict.fromkeys(range(3), (6.0, 0.0))).proposals())
    assert len(found) == len(set(found)) == 3


def test_more_trips_come_first_and_those_at_home_last() -> None:
    """6 + 4 and 2 + 6, all alike in order; then one trip, and only then from the other ends."""
    found = proposing(2)
    assert found[:2] == [stops("01", "12"), stops("01", "")]
    assert found[2:] == [stops(*s) for s in (("02", "12"), ("01", "02"), ("12", ""), ("02", ""))]


def test_what_is_proposed_fits_the_hours() -> None:
    """4.5 hours for 0 and 1; 2 is too far, and alone with what is nearer it leaves too little."""
    made = proposing(1, worth={0: 10.0, 1: 10.0, 2: 10.0}, away=4.5)
    assert made[0] == stops("01") and stops("1") in made
    assert all(2 not in trip for (trip,) in made)


def test_nobody_to_drive_to_is_one_proposal_for_each_number_of_trips() -> None:
    assert next(some(trips=2, loads={}).proposals()) == stops("", "")


# --- from the relaxation -----------------------------------------------------------------------------


def relaxed() -> tuple[Any, tuple[Any, Any]]:
    """Five buyers: one visited a fifth and no more, one that is brought nothing, one that pays 3 for what is worth 1
    kept, one that pays 2 and 5 for lots of two grades, and one hardly visited at all. A column is pooled as the one ten
    further on.
    """
    lots = [
        SimpleNamespace(buyer=b, grade=g, tiers=[SimpleNamespace(price=price, high=100.0) for price in prices])
        for b, g, *prices in ((0, 0, 9.0), (1, 0, 9.0), (2, 0, 0.0, 3.0), (3, 0, 2.0), (3, 1, 5.0))
    ]
    hours = SimpleNamespace(away=5.0, one_trip=4.0)
    instance = SimpleNamespace(
        lots=lots, kept_price=[1.0, 0.5], scenario=SimpleNamespace(hours=hours), on_site_hours=lambda _: 0.5
    )
    lot_columns = {(0, 0, 0): 0, (1, 0, 0): 1, (2, 1, 0): 2, (3, 0, 0): 3, (4, 0, 0): 4, (4, 0, 1): 5}
    columns = SimpleNamespace(lots=lot_columns, kept_kg={0: 1, 1: 1})  # nothing is kept: the column of a lot of nothing
    x = np.zeros(21)
    x[[10, 11, 12, 13, 14, 15]] = 1.0, 0.0, 4.0, 2.0, 3.0, 99.0
    x[[16, 17, 18, 19, 20]] = 0.2, 1.0, 0.25, 1.0, 0.1
    pooled = SimpleNamespace(
        model=SimpleNamespace(instance=instance, columns=columns),
        column=[*range(10, 21)],
        trips=2,
        visits={b: 16 + b for b in range(5)},
        loads={0: [(10, 2.0)], 1: [(11, 2.0)], 2: [(12, 2.0)], 3: [(13, 2.0), (14, 5.0)], 4: [(14, 5.0)]},
    )
    way = np.zeros((6, 6))
    return SimpleNamespace(instance=instance, cost=way, hours=way, place=lambda b: b + 1), (pooled, x)


def test_who_is_brought_something_on_more_than_a_fifth_of_a_visit_is_worth_a_stop() -> None:
    cuts, (pooled, x) = relaxed()
    it = FirstStops(cuts, pooled, x)
    assert it.loads == {2: (4.0, 8.0), 3: (5.0, 19.0)}
    assert (it.trips, it.chosen.away, it.chosen.one_trip, it.chosen.long([1])) == (2, 5.0, 4.0, 0.5)


def test_a_buyer_is_worth_what_it_pays_over_the_best_other_one_or_over_keeping_for_what_it_gets() -> None:
    """Of 7 kg and 3 kg: 6 x 7 over the next best, 3; nothing; 4 x 2 and 2 x 1 over keeping, and 3 x 4.5 nobody else
    takes. The second trip is in the first already.
    """
    _, (pooled, x) = relaxed()
    assert worth_of_stops(pooled, x) == {0: 42.0, 1: 0.0, 2: 8.0, 3: 15.5}


def test_a_stop_counts_at_its_best_step_for_all_that_is_sold_or_kept() -> None:
    """5 kg go at 2.00, 4 are kept at 0.50, and some step pays 3.00: 9 kg at 2.50 more than keeping."""
    lot = SimpleNamespace(buyer=0, grade=0, tiers=[SimpleNamespace(price=p, high=100.0) for p in (3.0, 2.0)])
    columns = SimpleNamespace(lots={(0, 0, 0): 0, (0, 1, 0): 1}, kept_kg={0: 2})
    model = SimpleNamespace(instance=SimpleNamespace(lots=[lot], kept_price=[0.5]), columns=columns)
    pooled: Any = SimpleNamespace(model=model, column=[0, 1, 2])
    assert worth_of_stops(pooled, np.array([0.0, 5.0, 4.0])) == {0: 22.5}
