"""Ways from place to place over the roads given: all that no other way beats in both cost and hours.

A way may pass other places without stopping there. The cheapest is not always of use: where the hours away are
short, a dearer way that is quicker may be the only one that fits.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]
MOST_WAYS = 32  # between two places; beyond that the cheapest of them and the quickest
TIE_HOURS, TIE_KM = 1e-9, 1e-12  # currency units: of equal ways the quicker one, of equally quick ones the shorter
SAME = 1e-12  # hours


@dataclass(frozen=True, slots=True)
class Way:
    """One way between two places: `via` are the places it passes, in order, without stopping."""

    km: float
    hours: float
    via: tuple[int, ...] = ()


Between = dict[tuple[int, int], tuple[Way, ...]]


def drive_cost(km: Matrix, hours: Matrix, cost_per_km: float, wage: float) -> Matrix:
    """What driving costs, time included, in currency units, with ties settled for the quicker and the shorter."""
    return cost_per_km * km + wage * hours + TIE_HOURS * hours + TIE_KM * km


def least_both_ways(way: Matrix) -> Matrix:
    """The same both ways, and summed over the legs of any trip from place 0 to place 0 no more than `way` is.

    A trip leaves every place as often as it comes there, so what is put on each way out of a place and taken off each
    way in changes no trip. With half the mean difference put on, both directions are near one another, and the lesser
    counts.
    """
    if _same_both_ways(way):
        return way
    lean = (way.T - way).mean(axis=1) / 2.0
    even = way + lean[:, None] - lean[None, :]
    least: Matrix = np.minimum(even, even.T)
    return least


def turned_at_home(*ways: Matrix) -> bool:
    """Whether it matters which way the legs of home are driven, and of no other leg: as where trips end elsewhere."""
    return not all(map(_same_both_ways, ways)) and all(_same_both_ways(way[1:, 1:]) for way in ways)


def _same_both_ways(way: Matrix) -> bool:
    return bool(np.allclose(way, way.T, rtol=1e-12, atol=1e-12))


def shortest_ways(weight: Matrix, km: Matrix, hours: Matrix) -> Between:
    """One way for each pair, the one of least `weight` (Floyd and Warshall); a pair that nothing joins has none.

    All three are of the roads given, infinite where there is none, shape (places, places).
    """
    best, step = weight.copy(), np.tile(np.arange(len(weight)), (len(weight), 1))
    for via in range(len(best)):
        through = best[:, via, None] + best[None, via, :]
        better = through < best
        step[better] = np.broadcast_to(step[:, via, None], step.shape)[better]
        best[better] = through[better]
    pairs = [(int(a), int(b)) for a, b in np.argwhere(np.isfinite(best)) if a != b]
    return {(a, b): (_followed(a, b, step, km, hours),) for a, b in pairs}


def _followed(a: int, b: int, step: NDArray[np.intp], km: Matrix, hours: Matrix) -> Way:
    at, via, far, long = a, [], 0.0, 0.0
    while at != b:
        after = int(step[at, b])
        far, long = far + float(km[at, after]), long + float(hours[at, after])
        via.append(after)
        at = after
    return Way(far, long, tuple(via[:-1]))


def undominated_ways(weight: Matrix, km: Matrix, hours: Matrix) -> tuple[Between, bool]:
    """For each pair the ways that no other beats in both weight and hours, the cheapest first, and whether all are
    listed.

    Label setting (Hansen, "Bicriterion path problems", Lecture Notes in Economics and Mathematical Systems 177, 1980):
    labels come off the heap by weight, so one is worth keeping if it is quicker than the last one kept at its place.
    """
    ways: Between = {}
    complete = True
    for start in range(len(weight)):
        for end, found in _from(start, weight, km, hours).items():
            complete = complete and len(found) <= MOST_WAYS
            ways[start, end] = tuple(found[:MOST_WAYS])
    if not complete:
        for pair, (quickest,) in shortest_ways(hours + TIE_HOURS * weight, km, hours).items():
            if quickest.hours < ways[pair][-1].hours - SAME:
                ways[pair] = (*ways[pair], quickest)
    return ways, complete


def _from(start: int, weight: Matrix, km: Matrix, hours: Matrix) -> dict[int, list[Way]]:
    """The ways from one place to each other, at most one more than are kept."""
    found: dict[int, list[Way]] = {}
    heap: list[tuple[float, float, float, tuple[int, ...]]] = [(0.0, 0.0, 0.0, (start,))]
    while heap:
        cost, long, far, path = heapq.heappop(heap)
        here = path[-1]
        if here != start:
            known = found.setdefault(here, [])
            if len(known) > MOST_WAYS or (known and long >= known[-1].hours - SAME):
                continue
            known.append(Way(far, long, path[1:-1]))
        for after, leg in _roads_from(here, weight):
            new = long + float(hours[here, after])
            if after not in path and (after not in found or new < found[after][-1].hours - SAME):
                heapq.heappush(heap, (cost + leg, new, far + float(km[here, after]), (*path, after)))
    return found


def _roads_from(here: int, weight: Matrix) -> Iterator[tuple[int, float]]:
    for after in np.flatnonzero(np.isfinite(weight[here])):
        if after != here:
            yield int(after), float(weight[here, after])
