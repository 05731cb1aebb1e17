"""Tours where buyers have opening hours: for a set of stops, all that no other beats in both money and time of the day.

The dynamic programme over subsets of `fronts`, but a label has the time of the day: who comes too early waits, and
leaving later never makes anything earlier. So of two drives through the same stops to the same last one,
the one that is no dearer by the kilometre and no later is never worse (dominance of labels: Desrochers and Soumis, "A
generalized permanent labelling algorithm for the shortest path problem with time windows", INFOR 26, 1988).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from partway.planning.tours.roads import Roads
from partway.planning.tours.tours import Matrix, Tour, driven
from partway.planning.tours.ways import Way, drive_cost
from partway.things.limits.opening import Windows

SLACK = 1e-9  # hours
HOME = 0
Label = tuple[float, float, int, int, int]  # money by the kilometre, time, the place before, its label, the way from it


def served(windows: Windows | None, arrival: float, on_site: float) -> float | None:
    """When a stop is over for who comes at a time, waiting where it is not open yet; None where it is too late."""
    if windows is None:
        return arrival + on_site
    ends = (max(arrival, start) + on_site for start, end in windows if max(arrival, start) + on_site <= end + SLACK)
    return min(ends, default=None)


def timed_tours(
    roads: Roads, money_per_km: float, on_site: Matrix, most: float, leave: float, open_: Mapping[int, Windows]
) -> list[Tour]:
    """The tours of every set of stops that leave home at `leave` and take at most so many hours, stops and waiting too.

    `open_` are the hours of each place (by number) that has some; the others are open always.
    """
    return _Timed(roads, money_per_km, on_site, most, leave, open_).tours()


class _Timed:
    def __init__(
        self, roads: Roads, per_km: float, on_site: Matrix, most: float, leave: float, open_: Mapping[int, Windows]
    ) -> None:
        self.roads, self.on_site, self.leave, self.open = roads, on_site, leave, open_
        self.until = leave + most + SLACK
        self.n = len(roads.places) - 1
        places = range(self.n + 1)
        self.legs = {(a, b): self._leg(a, b, per_km) for a in places for b in places if a != b}
        self.home = [min((hours for _, hours in self.legs[p, HOME]), default=0.0) if p else 0.0 for p in places]
        self.labels: dict[tuple[int, int], list[Label]] = {(0, HOME): [(0.0, leave, HOME, 0, 0)]}
        self.lasts: list[list[int]] = [[HOME]]
        for stops in range(1, 1 << self.n):
            self.lasts.append([p for p in range(1, self.n + 1) if stops >> (p - 1) & 1 and self._reached(stops, p)])

    def _leg(self, a: int, b: int, per_km: float) -> list[tuple[float, float]]:
        ways = self.roads.between(a, b)
        km, hours = np.array([w.km for w in ways]), np.array([w.hours for w in ways])
        return list(zip(drive_cost(km, hours, per_km, 0.0).tolist(), hours.tolist(), strict=True))

    def _reached(self, stops: int, last: int) -> bool:
        found = self._extended(stops ^ 1 << last - 1, last)
        if found:
            self.labels[stops, last] = found
        return bool(found)

    def _extended(self, stops: int, after: int) -> list[Label]:
        """The drives through `stops` that go on to `after`, those that no other beats."""
        found: list[Label] = []
        on_site, windows = (float(self.on_site[after]), self.open.get(after)) if after else (0.0, None)
        for last in self.lasts[stops]:
            for i, (money, time, *_) in enumerate(self.labels[stops, last]):
                for way, (leg_money, hours) in enumerate(self.legs[last, after]):
                    over = served(windows, time + hours, on_site)
                    if over is not None and over + self.home[after] <= self.until:
                        found.append((money + leg_money, over, last, i, way))
        found.sort()
        kept: list[Label] = []
        for label in found:
            if not kept or label[1] < kept[-1][1] - SLACK:
                kept.append(label)
        return kept

    def tours(self) -> list[Tour]:
        """All of them, those of each set the cheapest by the kilometre first."""
        sets = range(1, 1 << self.n)
        return [self._tour(stops, label) for stops in sets for label in self._extended(stops, HOME)]

    def _tour(self, stops: int, label: Label) -> Tour:
        """Walk the labels back from home to the first stop."""
        order: list[int] = []
        legs: list[Way] = []
        after, back = HOME, label[1]
        while True:
            _, _, before, i, way = label
            legs.append(self.roads.between(before, after)[way])
            if before == HOME:
                break
            order.append(before)
            label = self.labels[stops, before][i]
            stops, after = stops ^ 1 << before - 1, before
        tour = driven(tuple(reversed(order)), legs[::-1], self.roads.last)
        spent = tour.hours + sum(float(self.on_site[stop]) for stop in tour.stops)
        return replace(tour, wait=max(0.0, back - self.leave - spent))
