"""Tours where hours do not follow kilometres: for a set of stops, all that no other beats in both money and hours.

The dynamic programme over subsets of `tours` with a set of labels (money, hours) for each subset and last stop in
place of one cost. A leg is driven by any of the ways worth driving between its ends.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from partway.planning.tours.roads import Roads
from partway.planning.tours.tours import MOST_EXACT, Matrix, Tour, driven, one_each
from partway.planning.tours.ways import Way, drive_cost

SAME = 1e-12  # hours
SLACK = 1e-9  # hours
HOME = -1  # as a stop before the first and after the last, which then is where trips end
Label = tuple[float, float, int, int, int]  # money, hours, the stop before, its label, the way from it


def tours(roads: Roads, money_per_km: float, money_per_hour: float, on_site: Matrix, most_hours: float) -> list[Tour]:
    """The tours worth considering for every set of stops that fits the hours.

    One per set where hours follow kilometres; else every tour that no other beats in both money and
    hours. `on_site` is hours per place (home 0), shape (places,). Refuses more than twelve places by
    ValueError.
    """
    if len(roads.places) - 1 > MOST_EXACT:
        raise ValueError(f"{len(roads.places) - 1} places; exact tours reach {MOST_EXACT}")
    if roads.uniform:
        found = one_each(roads, money_per_km, money_per_hour)
        return [t for t in found if t.hours + sum(on_site[s] for s in t.stops) <= most_hours + SLACK]
    every = range(1, len(roads.places))
    fronts = Fronts(roads, (money_per_km, money_per_hour), every, on_site, most_hours)
    return [tour for stops in range(1, 1 << len(every)) for tour in fronts.tours(stops)]


def front(roads: Roads, money_per_km: float, money_per_hour: float, stops: Sequence[int]) -> list[Tour]:
    """The tours of just these stops that no other beats in both money and hours, the cheapest first."""
    fronts = Fronts(roads, (money_per_km, money_per_hour), stops, np.zeros(len(roads.places)), np.inf)
    return fronts.tours((1 << len(stops)) - 1)


class Fronts:
    """Labels of every subset of `chosen` (place numbers) and each last stop in it; a subset is a bit mask."""

    def __init__(
        self, roads: Roads, prices: tuple[float, float], chosen: Sequence[int], on_site: Matrix, most_hours: float
    ) -> None:
        """`prices` are of a kilometre and of an hour. No drive is kept that cannot be home within the hours."""
        self.roads, self.prices, self.chosen = roads, prices, list(chosen)
        self.most = most_hours + SLACK
        n = len(self.chosen)
        self.legs = {(a, b): self._leg(a, b) for a in range(-1, n) for b in range(-1, n) if a != b}
        self.home = [min(hours for _, hours in self.legs[j, HOME]) for j in range(n)]
        self.site = [0.0] * (1 << n)
        self.labels: dict[tuple[int, int], list[Label]] = {(0, HOME): [(0.0, 0.0, HOME, 0, 0)]}
        self.lasts: list[list[int]] = [[HOME]]  # last stops that a subset can be driven with
        for stops in range(1, 1 << n):
            first = stops & -stops
            self.site[stops] = self.site[stops ^ first] + float(on_site[self.chosen[first.bit_length() - 1]])
            self.lasts.append([j for j in range(n) if stops >> j & 1 and self._reached(stops, j)])

    def _ways(self, a: int, b: int) -> tuple[Way, ...]:
        return self.roads.between(*(0 if j == HOME else self.chosen[j] for j in (a, b)))

    def _leg(self, a: int, b: int) -> list[tuple[float, float]]:
        ways = self._ways(a, b)
        km, hours = np.array([w.km for w in ways]), np.array([w.hours for w in ways])
        return list(zip(drive_cost(km, hours, *self.prices).tolist(), hours.tolist(), strict=True))

    def _reached(self, stops: int, last: int) -> bool:
        """Whether any drive through these stops that ends at `last` can be home in time; its labels are kept."""
        found = self._extended(stops ^ 1 << last, last, self.most - self.site[stops] - self.home[last])
        if found:
            self.labels[stops, last] = found
        return bool(found)

    def _extended(self, stops: int, after: int, most: float) -> list[Label]:
        """Extend the drives through `stops` to `after`; those that no other beats, the cheapest first."""
        found = [
            (money + leg_money, hours + leg_hours, last, i, way)
            for last in self.lasts[stops]
            for i, (money, hours, *_) in enumerate(self.labels[stops, last])
            for way, (leg_money, leg_hours) in enumerate(self.legs[last, after])
            if hours + leg_hours <= most
        ]
        found.sort()
        kept: list[Label] = []
        for label in found:
            if not kept or label[1] < kept[-1][1] - SAME:
                kept.append(label)
        return kept

    def tours(self, stops: int) -> list[Tour]:
        """The tours of a subset, the cheapest first."""
        return [self._tour(stops, label) for label in self._extended(stops, HOME, self.most - self.site[stops])]

    def _tour(self, stops: int, label: Label) -> Tour:
        """Walk the labels back from home to the first stop."""
        order: list[int] = []
        legs: list[Way] = []
        after = HOME
        while True:
            _, _, before, i, way = label
            legs.append(self._ways(before, after)[way])
            if before == HOME:
                return driven(tuple(reversed(order)), legs[::-1], self.roads.last)
            order.append(self.chosen[before])
            label = self.labels[stops, before][i]
            stops, after = stops ^ 1 << before, before
