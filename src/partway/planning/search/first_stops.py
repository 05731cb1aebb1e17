"""Which stops to try first where tours are not listed: one short round, cut into trips that fit vehicle and hours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from partway.planning.model.highs import Values
from partway.planning.model.pooled import Pooled, load_of
from partway.planning.search.tour_bounds import Stops, TourCuts
from partway.planning.tours.tours import MOST_EXACT, Matrix

WORTH_A_STOP = 0.2  # of a visit in the relaxation
LOADED = 1e-6  # kg or litres
SLACK = 1e-9  # hours


class FirstStops:
    """Proposes how to split the buyers that the pooled relaxation visits at `x` into trips."""

    def __init__(self, cuts: TourCuts, pooled: Pooled, x: Values) -> None:
        self.cuts, self.trips = cuts, pooled.trips
        self.away = cuts.instance.scenario.hours.away
        self.one_trip = cuts.instance.scenario.hours.one_trip
        visits = [b for b, c in pooled.visits.items() if x[c] > WORTH_A_STOP]
        loads = {b: load_of(pooled, x, b) for b in visits}
        self.loads = {b: load for b, load in loads.items() if max(load) > LOADED}
        self.worth = _worth(pooled, x)
        self.known: dict[frozenset[int], float] = {frozenset(): 0.0}

    def proposals(self) -> Iterator[Stops]:
        """Split the round trip over all trips, then over fewer; then the same from every other first stop, in both
        directions.
        """
        places = {self.cuts.place(b): b for b in self.loads}
        order = [places[p] for p in round_trip(self.cuts.cost, sorted(places))]
        turned = [order[start:] + order[:start] for start in range(max(1, len(order)))]
        rounds = [way for around in turned for way in (around, around[::-1])]
        for rest in (rounds[:1], rounds[1:]):
            for trips in range(self.trips, 0, -1):
                for way in rest:
                    yield self._shared(way, trips)

    def _shared(self, way: list[int], trips: int) -> Stops:
        """Trips are alike: one order of them is enough, those that stay at home last."""
        made = self.fitting(shared_out(way, self.loads, self.cuts.room, trips))
        used = sorted((stops for stops in made if stops), key=sorted)
        return (*used, *[frozenset[int]()] * (self.trips - len(used)))

    def fitting(self, stops: Stops) -> Stops:
        """Drop the stops that earn least per hour until the trips fit the hours away."""
        left = [self._one_trip(made) for made in stops]
        while sum(map(self.hours, left)) > self.away + SLACK:
            k, b = min(
                ((k, b) for k, made in enumerate(left) for b in sorted(made)),
                key=lambda stop: self._per_hour(left[stop[0]], stop[1]),
            )
            left[k] = left[k] - {b}
        return tuple(left)

    def _one_trip(self, made: frozenset[int]) -> frozenset[int]:
        """The same within the hours of one trip."""
        while made and self.hours(made) > self.one_trip + SLACK:
            made -= {min(sorted(made), key=lambda b: self._per_hour(made, b))}
        return made

    def _per_hour(self, made: frozenset[int], b: int) -> float:
        saved = self.hours(made) - self.hours(made - {b})
        return self.worth.get(b, 0.0) / max(saved, SLACK)

    def hours(self, buyers: frozenset[int]) -> float:
        """Hours of the quickest tour of these buyers, with the time on site."""
        if buyers not in self.known:
            site = sum(map(self.cuts.instance.on_site_hours, buyers))
            self.known[buyers] = self.cuts.quickest(buyers).hours + site
        return self.known[buyers]


def _worth(pooled: Pooled, x: Values) -> Mapping[int, float]:
    """What selling to each buyer at x gains over keeping, in currency units."""
    instance = pooled.model.instance
    worth: dict[int, float] = {}
    for (i, t, k), c in pooled.model.columns.lots.items():
        if k == 0:
            lot = instance.lots[i]
            gain = (lot.tiers[t].price - instance.kept_price[lot.grade]) * float(x[pooled.column[c]])
            worth[lot.buyer] = worth.get(lot.buyer, 0.0) + gain
    return worth


def round_trip(way: Matrix, places: list[int]) -> list[int]:
    """A short order of any number of places: nearest next, then 2-opt (Croes, Operations Research 6, 1958).

    What is turned round is driven the other way, which counts where ways are not as long both ways.
    """
    alike = np.allclose(way, way.T)
    order, left = [0], set(places)
    while left:
        order.append(min(left, key=lambda p: (way[order[-1], p], p)))
        left.remove(order[-1])
    better = True
    while better:
        better = False
        for i in range(1, len(order) - 1):
            for j in range(i + 1, len(order)):
                after = order[(j + 1) % len(order)]
                old = way[order[i - 1], order[i]] + way[order[j], after]
                new = way[order[i - 1], order[j]] + way[order[i], after]
                if not alike:
                    new += _along(way, order[i : j + 1][::-1]) - _along(way, order[i : j + 1])
                if new < old - 1e-9:
                    order[i : j + 1] = order[i : j + 1][::-1]
                    better = True
    return order[1:]


def _along(way: Matrix, order: list[int]) -> float:
    return float(way[order[:-1], order[1:]].sum())


def shared_out(order: list[int], loads: dict[int, tuple[float, float]], room: tuple[float, float], trips: int) -> Stops:
    """Split buyers into trips in this order, filling each trip before the next; a buyer at the edge may be in two
    trips.

    `loads` is (kg, litres) to each buyer, `room` (kg, litres) of the vehicle.
    """
    found: list[set[int]] = [set() for _ in range(trips)]
    k, free = 0, 1.0
    for b in order:
        left = max(kg / most for kg, most in zip(loads[b], room, strict=True))
        while left > 1e-3 and k < trips:
            if free <= 0.02 or len(found[k]) == MOST_EXACT:
                k, free = k + 1, 1.0
                continue
            found[k].add(b)
            free, left = free - min(free, left), left - min(free, left)
    return tuple(frozenset(s) for s in found)
