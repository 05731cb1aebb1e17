"""Tours within opening hours against driving every order of every set of stops, by the clock and by hand.

Trying them all is the definition, so no outside source is needed.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from partway.planning.tours.roads import Roads
from partway.planning.tours.timed import timed_tours
from partway.planning.tours.tours import Tour
from partway.planning.tours.ways import undominated_ways
from partway.things.limits.opening import Windows

PER_KM = 0.5
PLACES = ("home", "a", "b", "c", "d")
Open = Mapping[int, Windows]


def driven(roads: Roads, order: tuple[int, ...], ways: tuple[int, ...], site: NDArray[np.float64], leave: float,
           open_: Open) -> tuple[float, float, float] | None:  # fmt: skip
    """Money, time of being back and hours waited of one order by some ways; None where somebody is not open."""
    money, now, waited = 0.0, leave, 0.0
    for (a, b), way in zip(itertools.pairwise((0, *order, 0)), ways, strict=True):
        leg = roads.between(a, b)[way]
        money, now = money + PER_KM * leg.km, now + leg.hours
        if b in open_:
            begins = [max(now, start) for start, end in open_[b] if max(now, start) + site[b] <= end + 1e-9]
            if not begins:
                return None
            waited += min(begins) - now
            now = min(begins)
        now += site[b]
    return money, now, waited


def every(roads: Roads, site: NDArray[np.float64], most: float, leave: float, open_: Open) -> dict[frozenset[int], set[
        tuple[float, float]]]:  # fmt: skip
    """By the set of stops, money and time of the drives that are back in time and that no other beats."""
    found: dict[frozenset[int], set[tuple[float, float]]] = {}
    count = len(roads.places)
    for n in range(1, count):
        for stops in itertools.combinations(range(1, count), n):
            drives = set()
            for order in itertools.permutations(stops):
                legs = [range(len(roads.between(a, b))) for a, b in itertools.pairwise((0, *order, 0))]
                for ways in itertools.product(*legs):
                    drive = driven(roads, order, ways, site, leave, open_)
                    if drive is not None and drive[1] <= leave + most + 1e-9:
                        drives.add((round(drive[0], 6), round(drive[1], 6)))
            best = {d for d in drives if not any(o != d and o[0] <= d[0] and o[1] <= d[1] for o in drives)}
            if best:
                found[frozenset(stops)] = best
    return found


def town(seed: int) -> tuple[Roads, NDArray[np.float64], Open]:
    """Four places joined by slow roads and quick ones, three of them open for some hours; every way worth driving."""
    rng = np.random.default_rng(seed)
    at = rng.uniform(-15.0, 15.0, (5, 2))
    km = np.linalg.norm(at[:, None] - at[None, :], axis=2)
    speed = np.where(rng.random((5, 5)) < 0.5, 25.0, 70.0)
    hours = km / np.minimum(speed, speed.T)
    ways, complete = undominated_ways(PER_KM * km, km, hours)
    assert complete
    site = np.array([0.0, 0.25, 0.5, 0.1, 0.0])
    open_: dict[int, Windows] = {
        1: ((9.0, 9.5), (10.5, 12.0)),
        2: ((8.0, float(rng.uniform(9.0, 11.0))),),
        3: ((float(rng.uniform(8.0, 10.5)), 17.0),),
    }
    return Roads(PLACES, km, hours, False, ways=ways), site, open_


@pytest.mark.parametrize("seed", range(10))
def test_the_tours_are_those_that_no_other_beats_in_money_and_time(seed: int) -> None:
    roads, site, open_ = town(seed)
    for most in (2.0, 4.0):
        expected = every(roads, site, most, 8.0, open_)
        found: dict[frozenset[int], list[tuple[float, float]]] = {}
        for tour in timed_tours(roads, PER_KM, site, most, 8.0, open_):
            spent = tour.spent + sum(site[stop] for stop in tour.stops)
            found.setdefault(frozenset(tour.stops), []).append((round(PER_KM * tour.km, 6), round(8.0 + spent, 6)))
        assert set(found) == set(expected)
        for stops, drives in found.items():
            assert set(drives) >= expected[stops]
            for money, time in set(drives) - expected[stops]:  # as dear as another to the last digit but some
                assert any(m == money and t <= time for m, t in expected[stops])
            assert [money for money, _ in drives] == sorted(money for money, _ in drives), "the cheapest first"
        assert most < 4.0 or any(len(drives) > 1 for drives in found.values())


@pytest.mark.parametrize("seed", range(10))
def test_each_tour_waits_as_long_as_its_own_order_by_the_clock(seed: int) -> None:
    roads, site, open_ = town(seed)
    waited = 0
    for tour in timed_tours(roads, PER_KM, site, 6.0, 8.0, open_):
        legs = list(itertools.pairwise((0, *tour.stops, 0)))
        choices = itertools.product(*(range(len(roads.between(a, b))) for a, b in legs))
        waits = [
            drive[2]
            for ways in choices
            if sum(roads.between(a, b)[way].km for (a, b), way in zip(legs, ways, strict=True))
            == pytest.approx(tour.km)
            and sum(roads.between(a, b)[w].hours for (a, b), w in zip(legs, ways, strict=True))
            == pytest.approx(tour.hours)
            and (drive := driven(roads, tour.stops, ways, site, 8.0, open_)) is not None
        ]
        assert any(tour.wait == pytest.approx(wait, abs=1e-9) for wait in waits)
        assert tour.way[0] == tour.way[-1] == 0
        waited += tour.wait > 0.01
    assert waited > 0


def one(most: float, leave: float = 8.0, **hours: Windows) -> list[Tour]:
    """Tours to a, an hour away, and b, half an hour further on the same road; a quarter of an hour on site each."""
    km = np.array([[0.0, 30.0, 45.0], [30.0, 0.0, 15.0], [45.0, 15.0, 0.0]])
    roads = Roads(("home", "a", "b"), km, km / 30.0, True)
    open_ = {PLACES.index(place): windows for place, windows in hours.items()}
    return timed_tours(roads, PER_KM, np.array([0.0, 0.25, 0.25]), most, leave, open_)


def test_a_tour_of_just_the_hours_that_there_are_is_driven() -> None:
    assert [tour.stops for tour in one(2.25)] == [(1,)]
    assert one(2.249) == []
    assert sorted(tour.stops for tour in one(3.25)) == [(1,), (2,)]
    assert {tour.stops for tour in one(3.5)} >= {(1,), (2,)} and len(one(3.5)) == 3


def test_waiting_counts_among_the_hours() -> None:
    """At a by nine, which opens at ten: back at a quarter past eleven."""
    (tour,) = one(3.25, a=((10.0, 11.0),), b=())
    assert (tour.stops, tour.wait, tour.hours) == ((1,), 1.0, 2.0)
    assert one(3.2, a=((10.0, 11.0),), b=()) == []
    assert one(9.0, a=((8.0, 9.2),), b=()) == [], "it closes while one is there"
    (tour,) = one(9.0, a=((8.0, 9.25),), b=())
    assert tour.wait == 0.0
    (tour,) = one(9.0, leave=7.0, a=((9.0, 9.25),), b=())
    assert tour.wait == 1.0


def test_the_order_follows_the_hours() -> None:
    """The farther one is open early, the nearer one late."""
    tours = one(9.0, a=((9.9, 12.0),), b=((8.0, 9.75),))
    (both,) = [tour for tour in tours if len(tour.stops) == 2]
    assert both.stops == (2, 1) and both.wait == 0.0
    assert both.km == 90.0 and both.way == (0, 2, 1, 0)
