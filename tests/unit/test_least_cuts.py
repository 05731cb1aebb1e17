"""Least cuts, shortest rounds and chosen stops against networkx, the programme over subsets and every choice tried."""

from __future__ import annotations

import itertools
import random

import networkx as nx
import numpy as np
import pytest

from partway.planning.edges.min_cut import Network, components
from partway.planning.edges.rounds import shortest_round
from partway.planning.tours.chosen import Chosen
from partway.planning.tours.orders import length, round_trip
from partway.planning.tours.tours import Matrix, shortest_tour


def drawn(seed: int, size: int) -> list[tuple[int, int, float]]:
    """Edges of a graph with thirds as capacities, so that sums meet."""
    rng = random.Random(seed)
    pairs = list(itertools.combinations(range(size), 2))
    rng.shuffle(pairs)
    return [(a, b, rng.randint(1, 9) / 3.0) for a, b in pairs if rng.random() < 0.4]


@pytest.mark.parametrize("seed", range(12))
def test_two_least_cuts_are_the_smallest_and_the_largest_of_all(seed: int) -> None:
    size = 4 + seed % 5
    edges = drawn(seed, size)
    flow, sides = Network(size, edges).nearest(1, 0)

    def across(side: frozenset[int]) -> float:
        return sum(most for a, b, most in edges if (a in side) != (b in side))

    every = [frozenset((1, *some)) for n in range(size - 1) for some in itertools.combinations(range(2, size), n)]
    least = [side for side in every if across(side) == pytest.approx(min(map(across, every)))]
    assert flow == pytest.approx(min(map(across, every)))
    assert sides[0] == frozenset.intersection(*least)
    assert sides[-1] == frozenset.union(*least)
    assert len(sides) == len(set(sides))


@pytest.mark.parametrize("seed", range(40))
def test_the_least_cut_is_that_of_another_library(seed: int) -> None:
    size = 4 + seed % 8
    edges = drawn(seed, size)
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(size))
    graph.add_edges_from((a, b, {"capacity": v}) for a, b, v in edges)
    network = Network(size, edges)
    for sink in range(1, size):
        flow, side = network.cut(0, sink)
        assert flow == pytest.approx(nx.minimum_cut_value(graph, 0, sink), abs=1e-6)
        assert 0 in side and sink not in side
        assert sum(v for a, b, v in edges if (a in side) != (b in side)) == pytest.approx(flow, abs=1e-6)


def test_a_flow_that_went_the_wrong_way_is_sent_back() -> None:
    """The shortest path, by the arc 1 to 2, leaves room for one of two units: the other needs that arc undone."""
    network = Network(6, [])
    for a, b in ((0, 1), (1, 2), (2, 5), (0, 3), (3, 2), (1, 4), (4, 5)):
        network.add(a, b, 1.0)
    assert network.cut(0, 5)[0] == 2.0


def test_a_flow_of_enough_ends_the_search_for_a_cut() -> None:
    network = Network(3, [(0, 1, 2.0), (1, 2, 2.0)])
    assert network.cut(0, 2, enough=1.5) == (2.0, frozenset())
    assert network.cut(0, 2, enough=2.0) == (2.0, frozenset())
    assert network.cut(0, 2, enough=2.5) == (2.0, frozenset({0}))


def test_components_are_those_of_another_library() -> None:
    for seed in range(20):
        edges = [(a, b) for a, b, _ in drawn(seed, 12) if (a * b + seed) % 3 == 0]
        ours = set(components(12, edges))
        assert ours == {frozenset(group) for group in nx.connected_components(nx.Graph(edges))}


def plane(seed: int, places: int, whole: bool = False) -> Matrix:
    """Distances of drawn points, home first; rounded ones have many ties."""
    at = np.random.default_rng(seed).random((places + 1, 2)) * 20.0
    way = np.hypot(*(at[:, None] - at[None]).transpose(2, 0, 1))
    return np.asarray(np.round(way) if whole else way, dtype=np.float64)


@pytest.mark.parametrize("seed", range(30))
def test_the_shortest_round_is_that_of_the_programme_over_subsets(seed: int) -> None:
    places = 1 + seed % 13
    way = plane(seed, places, whole=seed % 2 == 0)
    found = shortest_round(way, list(range(1, places + 1)))
    assert sorted(found.order) == list(range(1, places + 1))
    assert found.length == pytest.approx(length(way.tolist(), found.order))
    assert found.length == pytest.approx(shortest_tour(way)[0], abs=1e-6)
    assert found.proven and found.least <= found.length


@pytest.mark.parametrize("seed", range(12))
def test_the_shortest_round_is_proven_where_the_way_out_of_home_is_another_than_the_way_back(seed: int) -> None:
    """As where a trip ends elsewhere: against the same programme, which takes every direction as it is."""
    way = plane(seed, 3 + seed % 9)
    rng = np.random.default_rng(seed)
    way[1:, 0] = rng.random(len(way) - 1) * 20.0
    found = shortest_round(way, list(range(1, len(way))))
    assert found.length == pytest.approx(length(way.tolist(), found.order))
    assert found.proven and found.length == pytest.approx(shortest_tour(way)[0], abs=1e-6)


@pytest.mark.parametrize("seed", range(20))
def test_a_bad_order_to_begin_with_is_no_excuse(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("partway.planning.edges.rounds.round_trip", lambda _, places: list(places))
    way = plane(seed, 8 + seed % 5, whole=seed % 2 == 0)
    found = shortest_round(way, list(range(1, len(way))))
    assert found.proven and found.length == pytest.approx(shortest_tour(way)[0], abs=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_a_round_is_driven_the_way_round_that_is_shorter(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """From a bad order, where every way there is some longer or shorter than the way back."""
    monkeypatch.setattr("partway.planning.edges.rounds.round_trip", lambda _, places: list(places))
    way = plane(seed, 8) * np.random.default_rng(seed).uniform(0.8, 1.2, (9, 9))
    found = shortest_round(way, list(range(1, 9)))
    assert length(way.tolist(), found.order) == pytest.approx(found.length)
    assert found.length <= length(way.tolist(), found.order[::-1])


def test_exchanges_never_make_a_round_longer_than_nearest_next_and_seldom_miss_the_shortest() -> None:
    over = []
    for seed in range(30):
        way = plane(seed, 9)
        order = round_trip(way.tolist(), range(1, 10))
        assert sorted(order) == list(range(1, 10))
        over.append(length(way.tolist(), order) / shortest_tour(way)[0])
    assert min(over) >= 1.0 - 1e-9
    assert sum(over) / len(over) < 1.02


# --- stops chosen within the hours -------------------------------------------------------------------


def chosen(seed: int, places: int, trips: int) -> Chosen:
    """Points with worths, where only some can be reached in time."""
    rng = np.random.default_rng([seed, 5])
    way = plane(seed, places).tolist()
    worth = {p: float(rng.integers(1, 30)) for p in range(1, places + 1)}
    site = {p: float(rng.random()) for p in worth}
    per = 0.3 if seed % 2 else 0.0
    cost = (per * np.array(way)).tolist()
    return Chosen(worth, site, way, cost, away=50.0, one_trip=50.0 if trips == 1 else 30.0)


def best_of_all(it: Chosen, places: int) -> float:
    """The most that one trip can be worth: every set of stops in every order."""
    best = 0.0
    for size in range(1, places + 1):
        for order in itertools.permutations(range(1, places + 1), size):
            if order[0] <= order[-1] and it.long(order) <= it.one_trip + 1e-9:
                best = max(best, it.value([list(order)]))
    return best


@pytest.mark.parametrize("seed", range(30))
def test_stops_chosen_for_one_trip_fit_and_mostly_bring_the_most(seed: int) -> None:
    it = chosen(seed, 6, 1)
    found = it.best([list(range(1, 7))], 40)
    assert it.fits(found)
    most = best_of_all(it, 6)
    assert it.value(found) <= most + 1e-9
    assert it.value(found) >= 0.9 * most
    assert it.value(found) >= it.value(it.dropped([list(range(1, 7))])) - 1e-9


@pytest.mark.parametrize("seed", range(10))
def test_stops_chosen_for_several_trips_are_made_once_and_fit(seed: int) -> None:
    it = chosen(seed, 12, 3)
    found = it.best([list(range(1, 7)), list(range(7, 13)), []], 30)
    stops = [p for trip in found for p in trip]
    assert len(stops) == len(set(stops)) and set(stops) <= set(range(1, 13))
    assert it.fits(found) and max(map(it.long, found)) <= 30.0 + 1e-9
    assert sum(map(it.long, found)) <= 50.0 + 1e-9
