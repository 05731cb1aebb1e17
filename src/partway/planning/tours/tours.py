"""The best trip from home through every set of stops and back, exact for up to twelve places besides home.

Where trips end elsewhere, "back" is there (`Roads`).

Dynamic programme over subsets: Held and Karp, "A dynamic programming approach to sequencing
problems", J. SIAM 10, 1962. All subsets of one size are extended at once as arrays. Where hours do not follow
kilometres `fronts` keeps several tours of a set.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partway.planning.tours.roads import Roads
from partway.planning.tours.ways import Way, drive_cost

MOST_EXACT = 12
Matrix = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Tour:
    """Stops in driving order (place numbers, home left out), with kilometres and hours at the wheel.

    `way` is every place in the order it is driven through, from home to home or to where trips end (`Roads.last`):
    some are passed without a stop. `wait` are hours until stops open.
    """

    stops: tuple[int, ...]
    km: float
    hours: float
    way: tuple[int, ...]
    wait: float = 0.0

    @property
    def spent(self) -> float:
        """Hours at the wheel and waiting."""
        return self.hours + self.wait


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


def driven(stops: tuple[int, ...], legs: Sequence[Way], last: int = 0) -> Tour:
    """The tour of these stops by these ways, one more than stops; `last` is the number of where it ends."""
    way = [0]
    for leg, stop in zip(legs, (*stops, last), strict=True):
        way += [*leg.via, stop]
    return Tour(stops, float(sum(leg.km for leg in legs)), float(sum(leg.hours for leg in legs)), tuple(way))


def driven_by(roads: Roads, stops: tuple[int, ...], number: int) -> Tour:
    """The tour of these stops in this order: way 0 of each leg is the cheapest, way -1 the quickest."""
    legs = [roads.between(a, b)[number] for a, b in itertools.pairwise((0, *stops, 0))]
    return driven(stops, legs, roads.last)


def best_order(roads: Roads, cost: Matrix, stops: list[int], quickest: bool = False) -> Tour:
    """The cheapest tour of just these places (at most twelve), by the same programme.

    `quickest` drives each leg by its quickest way in place of its cheapest; `cost` should then be hours.
    """
    chosen = [0, *stops]
    order = tuple(chosen[i] for i in shortest_tour(cost[np.ix_(chosen, chosen)])[1])
    return driven_by(roads, order, -1 if quickest else 0)


def one_each(roads: Roads, money_per_km: float, money_per_hour: float) -> list[Tour]:
    """The cheapest tour of every set of stops, ties to the quicker one."""
    cost = drive_cost(roads.km, roads.hours, money_per_km, money_per_hour)
    best = shortest_paths(cost)
    return [driven_by(roads, _order(best, cost, stops), 0) for stops in range(1, len(best))]
