"""Tours against trying every order, which needs no outside source: a permutation list is the definition."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from partway.planning.tours.fronts import front, tours
from partway.planning.tours.roads import Roads
from partway.planning.tours.tours import MOST_EXACT, best_order, shortest_paths, shortest_tour
from partway.planning.tours.ways import Way

Matrix = NDArray[np.float64]


def length(cost: Matrix, order: tuple[int, ...]) -> float:
    """A round trip from place 0."""
    return float(sum(cost[a, b] for a, b in itertools.pairwise((0, *order, 0))))


def random_cost(seed: int, places: int, symmetric: bool) -> Matrix:
    """Costs between places, not obeying the triangle inequality."""
    cost: Matrix = np.random.default_rng(seed).uniform(1.0, 20.0, (places, places))
    if symmetric:
        cost = (cost + cost.T) / 2.0
    np.fill_diagonal(cost, 0.0)
    return cost


def places(n: int) -> tuple[str, ...]:
    """Names of home and n stops."""
    return ("home", *(f"b{i}" for i in range(n)))


@pytest.mark.parametrize("stops", range(1, 8))
@pytest.mark.parametrize("symmetric", [True, False])
def test_the_shortest_tour_is_the_shortest_of_all_orders(stops: int, symmetric: bool) -> None:
    for seed in range(6):
        cost = random_cost(seed, stops + 1, symmetric)
        orders = list(itertools.permutations(range(1, stops + 1)))
        total, order = shortest_tour(cost)
        assert total == pytest.approx(min(length(cost, o) for o in orders), rel=1e-12)
        assert sorted(order) == list(range(1, stops + 1))
        assert length(cost, order) == pytest.approx(total, rel=1e-12)


def test_four_places_by_hand() -> None:
    # Corners of a 3 by 4 rectangle with its diagonals of 5: round the edge is 14.
    cost = np.array([[0.0, 3.0, 5.0, 4.0], [3.0, 0.0, 4.0, 5.0], [5.0, 4.0, 0.0, 3.0], [4.0, 5.0, 3.0, 0.0]])
    total, order = shortest_tour(cost)
    assert total == 14.0
    assert order in {(1, 2, 3), (3, 2, 1)}


def test_nowhere_to_go_costs_nothing() -> None:
    assert shortest_tour(np.zeros((1, 1))) == (0.0, ())


def test_one_stop_is_there_and_back() -> None:
    assert shortest_tour(np.array([[0.0, 7.0], [6.0, 0.0]])) == (13.0, (1,))


def test_paths_through_every_set_end_where_they_say() -> None:
    cost = random_cost(3, 6, symmetric=False)
    table = shortest_paths(cost)
    assert table.shape == (32, 5)
    for stops in range(1, 32):
        members = [j + 1 for j in range(5) if stops >> j & 1]
        for last in range(1, 6):
            ways = [o for o in itertools.permutations(members) if o[-1] == last]
            lengths = [sum(cost[a, b] for a, b in itertools.pairwise((0, *o))) for o in ways]
            assert table[stops, last - 1] == pytest.approx(min(lengths, default=np.inf), rel=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_one_tour_for_every_set_where_hours_follow_kilometres(seed: int) -> None:
    km = random_cost(seed, 6, symmetric=True)
    found = tours(Roads(places(5), km, km / 45.0, True), 0.3, 12.0, np.zeros(6), np.inf)
    assert sorted(sorted(t.stops) for t in found) == sorted(
        list(s) for n in range(1, 6) for s in itertools.combinations(range(1, 6), n)
    )
    for tour in found:
        shortest = min(length(km, o) for o in itertools.permutations(tour.stops))
        assert tour.km == pytest.approx(shortest, rel=1e-9)
        assert tour.hours == pytest.approx(shortest / 45.0, rel=1e-9)


def test_without_cost_or_wage_the_shortest_tour_is_still_the_one() -> None:
    km = random_cost(5, 5, symmetric=True)
    found = tours(Roads(places(4), km, km / 45.0, True), 0.0, 0.0, np.zeros(5), np.inf)
    for tour in found:
        shortest = min(length(km, o) for o in itertools.permutations(tour.stops))
        assert tour.km == pytest.approx(shortest, rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_every_tour_that_no_other_beats_where_roads_have_minutes(seed: int) -> None:
    km, hours = random_cost(seed, 6, symmetric=True), random_cost(seed + 100, 6, symmetric=True) / 20.0
    found = tours(Roads(places(5), km, hours, False), 0.3, 2.0, np.zeros(6), np.inf)
    several = 0
    for n in range(1, 6):
        for stops in itertools.combinations(range(1, 6), n):
            ways = [(length(km, o), length(hours, o)) for o in itertools.permutations(stops)]
            every = [(0.3 * d + 2.0 * h, h) for d, h in ways]
            front = {
                (round(m, 6), round(h, 6))
                for m, h in every
                if not any(other[0] < m - 1e-6 and other[1] < h - 1e-6 for other in every)
            }
            ours = [(0.3 * t.km + 2.0 * t.hours, t.hours) for t in found if set(t.stops) == set(stops)]
            assert sorted((round(m, 6), round(h, 6)) for m, h in ours) == sorted(front)
            several += len(front) > 1
    assert several > 0, "no set has two tours worth keeping, so the test shows nothing"


def test_tours_that_take_too_long_with_their_time_on_site_are_left_out() -> None:
    km = np.array([[0.0, 45.0, 90.0], [45.0, 0.0, 45.0], [90.0, 45.0, 0.0]])
    roads = Roads(places(2), km, km / 45.0, True)
    on_site = np.array([0.0, 0.5, 0.25])
    hours = {t.stops: t.hours for t in tours(roads, 0.3, 12.0, on_site, 10.0)}
    assert {frozenset(s): h for s, h in hours.items()} == {
        frozenset({1}): 2.0,
        frozenset({2}): 4.0,
        frozenset({1, 2}): 4.0,
    }
    within = tours(roads, 0.3, 12.0, on_site, 4.5)
    assert {frozenset(t.stops) for t in within} == {frozenset({1}), frozenset({2})}
    assert {t.stops for t in tours(roads, 0.3, 12.0, on_site, 2.5)} == {(1,)}
    assert tours(roads, 0.3, 12.0, on_site, 2.4) == []


def unbeaten(km: Matrix, hours: Matrix, stops: tuple[int, ...], most: float) -> list[tuple[float, float]]:
    """Money and hours of the orders within the hours that no other beats, the cheapest first: all are tried."""
    every = {
        (round(0.3 * length(km, o) + 2.0 * h, 6), round(h, 6))
        for o in itertools.permutations(stops)
        if (h := length(hours, o)) <= most
    }
    return sorted(d for d in every if not any(o != d and o[0] <= d[0] and o[1] <= d[1] for o in every))


@pytest.mark.parametrize("seed", range(6))
def test_every_tour_within_the_hours_that_no_other_beats_and_as_long_as_its_own_order(seed: int) -> None:
    """Some sets have fewer tours for the hours, some none. As on any roads, no stop on the way makes a way quicker."""
    km, hours = random_cost(seed, 6, symmetric=False), random_cost(seed + 100, 6, symmetric=False) / 20.0
    for k in range(6):
        hours = np.minimum(hours, hours[:, k : k + 1] + hours[k : k + 1, :])  # Floyd and Warshall, 1962
    roads, site, most = Roads(places(5), km, hours, False), np.array([0.0, 0.1, 0.2, 0.3, 0.4, 0.5]), 2.6
    found, fewer, none = tours(roads, 0.3, 2.0, site, most), 0, 0
    for tour in found:
        assert (tour.km, tour.hours) == pytest.approx((length(km, tour.stops), length(hours, tour.stops)), rel=1e-12)
    for n in range(1, 6):
        for stops in itertools.combinations(range(1, 6), n):
            expected = unbeaten(km, hours, stops, most - float(site[[*stops]].sum()))
            ours = [(0.3 * t.km + 2.0 * t.hours, t.hours) for t in found if set(t.stops) == set(stops)]
            assert [(round(m, 6), round(h, 6)) for m, h in ours] == expected
            fewer += 0 < len(expected) < len(unbeaten(km, hours, stops, np.inf))
            none += not expected
    assert fewer and none


def by_two_ways(seed: int) -> Roads:
    """Four points, each two joined by a short slow way and a long quick one past a fifth; trips end at the sixth."""
    rng = np.random.default_rng(seed)
    at = rng.uniform(0.0, 1.0, (4, 2))
    far = np.hypot(*(at[:, None] - at[None]).T)
    slow = far * rng.uniform(1.2, 2.5, far.shape)
    ways = {
        (a, b): (Way(20.0 * far[a, b], slow[a, b]), Way(50.0 * far[a, b], far[a, b], (4,)))
        for a, b in itertools.permutations(range(4), 2)
    }
    return Roads(places(3), 20.0 * far, slow, False, ways=ways, last=5)


@pytest.mark.parametrize("seed", range(6))
def test_every_leg_is_driven_by_any_way_that_the_hours_leave(seed: int) -> None:
    """Every order of every set of stops by every choice of ways, for money of 0.30 a kilometre and 2.00 an hour."""
    roads, site, most = by_two_ways(seed), np.array([0.0, 0.1, 0.2, 0.3]), 3.0
    found, several = tours(roads, 0.3, 2.0, site, most), 0
    for stops in (o for n in (1, 2, 3) for o in itertools.combinations(range(1, 4), n)):
        legs = [
            chosen
            for order in itertools.permutations(stops)
            for chosen in itertools.product(*(roads.ways[leg] for leg in itertools.pairwise((0, *order, 0))))
        ]
        every = {
            (round(sum(0.3 * way.km + 2.0 * way.hours for way in drive), 6), round(hours, 6))
            for drive in legs
            if (hours := sum(way.hours for way in drive)) <= most - float(site[[*stops]].sum())
        }
        unbeaten = sorted(d for d in every if not any(o != d and o[0] <= d[0] and o[1] <= d[1] for o in every))
        ours = [t for t in found if set(t.stops) == set(stops)]
        assert [(round(0.3 * t.km + 2.0 * t.hours, 6), round(t.hours, 6)) for t in ours] == unbeaten
        assert all((t.way[0], t.way[-1]) == (0, 5) and [p for p in t.way[1:-1] if p != 4] == [*t.stops] for t in ours)
        several += len(ours) > 1
    assert several


@pytest.mark.parametrize("stops", [(4, 2, 5), (1, 3, 4, 5), (2,)])
def test_a_front_of_some_places_is_of_just_these(stops: tuple[int, ...]) -> None:
    km, hours = random_cost(3, 7, symmetric=False), random_cost(103, 7, symmetric=False) / 20.0
    found = front(Roads(places(6), km, hours, False), 0.3, 2.0, stops)
    assert all(sorted(t.stops) == sorted(stops) for t in found)
    ours = [(round(0.3 * t.km + 2.0 * t.hours, 6), round(t.hours, 6)) for t in found]
    assert ours == unbeaten(km, hours, stops, np.inf)


def test_a_tour_of_just_the_hours_that_there_are_is_among_them() -> None:
    """By hand: 1 h to a, 2 h to b, half an hour between them, a quarter of an hour at each."""
    hours = np.array([[0.0, 1.0, 2.0], [1.0, 0.0, 0.5], [2.0, 0.5, 0.0]])
    roads, site = Roads(places(2), 30.0 * hours, hours, False), np.array([0.0, 0.25, 0.25])
    assert [t.stops for t in tours(roads, 0.3, 2.0, site, 2.25)] == [(1,)]
    assert tours(roads, 0.3, 2.0, site, 2.249) == []
    assert [len(t.stops) for t in tours(roads, 0.3, 2.0, site, 3.999)] == [1]
    assert {frozenset(t.stops) for t in tours(roads, 0.3, 2.0, site, 4.0)} == {frozenset({1}), frozenset({1, 2})}


def test_the_best_order_of_some_places_leaves_the_others_out() -> None:
    km = random_cost(9, 8, symmetric=True)
    roads = Roads(places(7), km, km / 30.0, True)
    tour = best_order(roads, km, [2, 5, 7, 3])
    assert sorted(tour.stops) == [2, 3, 5, 7]
    shortest = min(length(km, o) for o in itertools.permutations([2, 3, 5, 7]))
    assert tour.km == pytest.approx(shortest, rel=1e-12)


def test_more_than_twelve_places_are_not_tried() -> None:
    n = MOST_EXACT + 2
    roads = Roads(places(n - 1), np.ones((n, n)), np.ones((n, n)), True)
    with pytest.raises(ValueError, match="13 places"):
        tours(roads, 1.0, 1.0, np.zeros(n), np.inf)
