"""Ways worth driving against every simple path that networkx lists."""

from __future__ import annotations

import itertools

import networkx as nx
import numpy as np
import pytest
from numpy.typing import NDArray

from partway.planning.tours import ways as planning_ways
from partway.planning.tours.ways import drive_cost, shortest_ways, undominated_ways

Matrix = NDArray[np.float64]
PER_KM, WAGE = 0.3, 4.0


def drawn(seed: int, places: int, share: float) -> tuple[Matrix, Matrix]:
    """Km and hours of roads between some places, infinite where there is none; the same both ways."""
    rng = np.random.default_rng(seed)
    km, hours = (np.full((places, places), np.inf) for _ in range(2))
    for a, b in itertools.combinations(range(places), 2):
        if rng.random() < share:
            km[a, b] = km[b, a] = rng.uniform(2.0, 20.0)
            hours[a, b] = hours[b, a] = rng.uniform(0.05, 0.8)
    np.fill_diagonal(km, 0.0)
    np.fill_diagonal(hours, 0.0)
    return km, hours


def cost_of(km: Matrix, hours: Matrix) -> Matrix:
    """Cost of each road."""
    cost = np.full_like(km, np.inf)
    known = np.isfinite(km)
    cost[known] = drive_cost(km[known], hours[known], PER_KM, WAGE)
    return cost


def by_every_path(km: Matrix, hours: Matrix, a: int, b: int) -> set[tuple[float, float, tuple[int, ...]]]:
    """(km, hours, places passed) of all simple paths that no other beats in cost and hours."""
    graph = nx.Graph((i, j) for i, j in np.argwhere(np.isfinite(km)).tolist() if i < j)
    graph.add_nodes_from(range(len(km)))
    found = []
    for path in nx.all_simple_paths(graph, a, b):
        legs = list(itertools.pairwise(path))
        far, long = sum(km[leg] for leg in legs), sum(hours[leg] for leg in legs)
        found.append((PER_KM * far + WAGE * long, long, far, tuple(path[1:-1])))
    return {
        (round(far, 9), round(long, 9), via)
        for cost, long, far, via in found
        if not any(c <= cost and h <= long and (c, h) != (cost, long) for c, h, _, _ in found)
    }


@pytest.mark.parametrize("seed", range(24))
def test_the_ways_are_all_paths_that_no_other_beats(seed: int) -> None:
    places = 4 + seed % 4
    km, hours = drawn(seed, places, share=0.45 + 0.1 * (seed % 5))
    ways, complete = undominated_ways(cost_of(km, hours), km, hours)
    assert complete
    for a, b in itertools.permutations(range(places), 2):
        ours = {(round(w.km, 9), round(w.hours, 9), w.via) for w in ways.get((a, b), ())}
        assert ours == by_every_path(km, hours, a, b)
        costs = [PER_KM * w.km + WAGE * w.hours for w in ways.get((a, b), ())]
        assert costs == sorted(costs)


def test_many_of_the_drawn_pairs_have_several_ways() -> None:
    counts = []
    for seed in range(24):
        km, hours = drawn(seed, 4 + seed % 4, share=0.45 + 0.1 * (seed % 5))
        counts += [len(found) for found in undominated_ways(cost_of(km, hours), km, hours)[0].values()]
    assert sum(count > 1 for count in counts) >= 100


@pytest.mark.parametrize("seed", range(8))
def test_the_shortest_way_is_the_first_of_them(seed: int) -> None:
    km, hours = drawn(seed, 7, share=0.5)
    cost = cost_of(km, hours)
    first = {pair: found[:1] for pair, found in undominated_ways(cost, km, hours)[0].items()}
    shortest = shortest_ways(cost, km, hours)
    assert {pair: way.via for pair, (way,) in shortest.items()} == {pair: way.via for pair, (way,) in first.items()}


def test_of_equally_dear_ways_the_quicker_and_of_equally_quick_ones_the_shorter() -> None:
    # Home 0 to 2: 10 km in 30 minutes, or past 1 in 12 + 5 minutes; nothing costs anything.
    km = np.array([[0.0, 12.0, 10.0], [12.0, 0.0, 4.0], [10.0, 4.0, 0.0]])
    hours = np.array([[0.0, 12.0, 30.0], [12.0, 0.0, 5.0], [30.0, 5.0, 0.0]]) / 60.0
    free = drive_cost(km, hours, 0.0, 0.0)
    ways, _ = undominated_ways(free, km, hours)
    assert [(w.km, round(w.hours * 60.0, 9), w.via) for w in ways[0, 2]] == [(16.0, 17.0, (1,))]
    assert shortest_ways(free, km, hours)[0, 2][0].via == (1,)
    level = np.array([[0.0, 12.0, 17.0], [12.0, 0.0, 5.0], [17.0, 5.0, 0.0]]) / 60.0
    ways, _ = undominated_ways(drive_cost(km, level, 0.0, 0.0), km, level)
    assert [way.via for way in ways[0, 2]] == [()]


def test_too_many_ways_are_cut_to_the_cheapest_and_the_quickest(monkeypatch: pytest.MonkeyPatch) -> None:
    km, hours = drawn(3, 9, share=0.9)
    cost = cost_of(km, hours)
    every, complete = undominated_ways(cost, km, hours)
    assert complete
    assert max(map(len, every.values())) > 3
    monkeypatch.setattr(planning_ways, "MOST_WAYS", 2)
    some, complete = undominated_ways(cost, km, hours)
    assert not complete
    for pair, found in every.items():
        cut = found if len(found) <= 2 else (*found[:2], found[-1])
        assert [way.via for way in some[pair]] == [way.via for way in cut]


def test_between_two_places_thirty_two_ways_are_kept_and_the_quickest() -> None:
    """Forty ways over a place each, every one dearer and quicker than the last; the count is a rule of ours."""
    ends, ways = (0, 1), 40
    km, hours = (np.full((2 + ways, 2 + ways), np.inf) for _ in range(2))
    for via in range(ways):
        for end in ends:
            km[end, 2 + via] = km[2 + via, end] = 100.0 + 10.0 * via
            hours[end, 2 + via] = hours[2 + via, end] = 5.0 - 0.1 * via
    found, complete = undominated_ways(cost_of(km, hours), km, hours)
    assert not complete
    assert [way.via for way in found[ends]] == [*((2 + via,) for via in range(32)), (2 + ways - 1,)]
