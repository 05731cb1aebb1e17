"""The best round trip through every set of stops, exact for up to twelve places besides home.

Dynamic programme over subsets: Held and Karp, "A dynamic programming approach to sequencing
problems", J. SIAM 10, 1962. All subsets of one size are extended at once as arrays.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partway.planning.roads import Roads

MOST_EXACT = 12
Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Tour:
    """Stops in driving order (place numbers, home left out), with kilometres and hours at the wheel."""

    stops: tuple[int, ...]
    km: float
    hours: float


def shortest_paths(cost: Matrix) -> Matrix:
    """Least cost from place 0 through a set of others to one of them.

    `cost` has shape (n + 1, n + 1), any unit; the result has shape (2**n, n), infinite where the last
    place is not in the set. O(2**n n**2).
    """
    n = len(cost) - 1
    best = np.full((1 << n, n), np.inf)
    masks = np.arange(1 << n)
    sizes = np.array([int(m).bit_count() for m in masks])
    for last in range(n):
        best[1 << last, last] = cost[0, last + 1]
    for size in range(2, n + 1):
        layer = masks[sizes == size]
        for last in range(n):
            sets = layer[(layer >> last) & 1 == 1]
            best[sets, last] = (best[sets ^ (1 << last)] + cost[1:, last + 1]).min(axis=1)
    return best


def shortest_tour(cost: Matrix) -> tuple[float, tuple[int, ...]]:
    """Least cost of visiting every place once from place 0 and back, and the order of the others."""
    best = shortest_paths(cost)
    everything = len(best) - 1
    total = float((best[everything] + cost[1:, 0]).min()) if everything else 0.0
    return total, _order(best, cost, everything)


def _order(best: Matrix, cost: Matrix, stops: int) -> tuple[int, ...]:
    """Walk the table back from home: each step takes a predecessor that attains the minimum."""
    order: list[int] = []
    after = 0
    while stops:
        last = int(np.argmin(best[stops] + cost[1:, after]))
        order.append(last + 1)
        stops ^= 1 << last
        after = last + 1
    return tuple(reversed(order))


def tours(roads: Roads, money_per_km: float, money_per_hour: float, on_site: Matrix, most_hours: float) -> list[Tour]:
    """The tours worth considering for every set of stops that fits the hours.

    One per set where hours follow kilometres; else every tour that no other beats in both money and
    hours. `on_site` is hours per place (home 0), shape (places,). Refuses more than twelve places by
    ValueError.
    """
    if len(roads.places) - 1 > MOST_EXACT:
        raise ValueError(f"{len(roads.places) - 1} places; exact tours reach {MOST_EXACT}")
    # The small share of hours settles ties where neither kilometres nor hours cost anything.
    cost = money_per_km * roads.km + money_per_hour * roads.hours + 1e-9 * (roads.hours + roads.km)
    found = _one_each(roads, cost) if roads.uniform else _undominated(roads, cost)
    return [t for t in found if t.hours + sum(on_site[s] for s in t.stops) <= most_hours + 1e-9]


def best_order(roads: Roads, cost: Matrix, stops: list[int]) -> Tour:
    """The cheapest tour of just these places (at most twelve), by the same programme."""
    chosen = [0, *stops]
    order = shortest_tour(cost[np.ix_(chosen, chosen)])[1]
    return _driven(roads, tuple(chosen[i] for i in order))


def _one_each(roads: Roads, cost: Matrix) -> list[Tour]:
    best = shortest_paths(cost)
    return [_driven(roads, _order(best, cost, stops)) for stops in range(1, len(best))]


def _driven(roads: Roads, stops: tuple[int, ...]) -> Tour:
    way = (0, *stops, 0)
    legs = list(itertools.pairwise(way))
    return Tour(stops, float(sum(roads.km[a, b] for a, b in legs)), float(sum(roads.hours[a, b] for a, b in legs)))


def _undominated(roads: Roads, cost: Matrix) -> list[Tour]:
    """Labels of (money, hours, order) per set and last stop, kept while no other is at least as good in both."""
    n = len(cost) - 1
    labels: dict[tuple[int, int], list[tuple[float, float, tuple[int, ...]]]] = {
        (1 << j, j): [(cost[0, j + 1], roads.hours[0, j + 1], (j + 1,))] for j in range(n)
    }
    for stops in range(1, 1 << n):
        for last in range(n):
            for money, hours, order in labels.get((stops, last), ()):
                for nxt in (j for j in range(n) if not stops >> j & 1):
                    leg = (order[-1], nxt + 1)
                    new = (money + cost[leg], hours + roads.hours[leg], (*order, nxt + 1))
                    key = (stops | 1 << nxt, nxt)
                    labels[key] = _front([*labels.get(key, ()), new])
    closed: dict[int, list[tuple[float, float, tuple[int, ...]]]] = {}
    for (stops, last), found in labels.items():
        back = (last + 1, 0)
        home = [(m + cost[back], h + roads.hours[back], o) for m, h, o in found]
        closed[stops] = _front([*closed.get(stops, ()), *home])
    return [_driven(roads, order) for stops in sorted(closed) for _, _, order in closed[stops]]


def _front(labels: list[tuple[float, float, tuple[int, ...]]]) -> list[tuple[float, float, tuple[int, ...]]]:
    """Those that no other beats; sorted by money, so hours must fall strictly."""
    kept: list[tuple[float, float, tuple[int, ...]]] = []
    for label in sorted(labels):
        if not kept or label[1] < kept[-1][1] - 1e-12:
            kept.append(label)
    return kept
