"""What a set of stops of one trip pays, by arithmetic alone: each kilogram goes where it is paid most.

With a price for each lot and a most that the buyer takes, as much of a grade as there is and one limit of kilograms for
all of them, taking the dearest kilograms first is best: the limits lie inside one another (a lot, its grade, the load),
so no other choice brings more (Edmonds, "Submodular functions, matroids, and certain polyhedra", 1970). Minimum lots,
prices that rise with the lot, litres, and what is opened for it are looked at only when the stops are planned: then it
is a guess.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

import numpy as np

from partway.planning.instance.frozen import Instance, Lot

Offer = tuple[float, int, float]  # what a kilogram pays over keeping it, the place, and the most kilograms


class StopsWorth:
    """Asked for many sets of places, one after another. `site`: hours at each place."""

    def __init__(self, instance: Instance, there: Sequence[float]) -> None:
        """`there`: kilograms of each grade."""
        vehicle = instance.scenario.vehicle
        self.payload = vehicle.payload_kg if vehicle is not None else 0.0
        offers = _offers(instance, there)
        self.places = sorted({place for of_one in offers.values() for _, place, _ in of_one})
        self.site = {p: instance.on_site_hours(b) for p, b in instance.buyer_at.items()}
        shape = (len(offers), max(map(len, offers.values()), default=0))
        self.gain, self.most, self.at = np.zeros(shape), np.zeros(shape), np.zeros(shape, dtype=np.intp)
        self.there = np.array([there[g] for g in offers], dtype=float)[:, None]
        for row, of_one in enumerate(offers.values()):
            for i, (gain, place, most) in enumerate(sorted(of_one, reverse=True)):
                self.gain[row, i], self.at[row, i], self.most[row, i] = gain, place, most
        self.stopped = np.zeros(max(self.site, default=0) + 1)
        self.known: dict[frozenset[int], float] = {}

    def of(self, places: Iterable[int]) -> float:
        """Currency units over keeping everything, before driving."""
        stops = frozenset(places)
        if stops not in self.known:
            self.known[stops] = self._sold(stops)
        return self.known[stops]

    def _sold(self, stops: frozenset[int]) -> float:
        self.stopped[:] = 0.0
        self.stopped[list(stops)] = 1.0
        most = self.most * self.stopped[self.at]
        before = np.cumsum(most, axis=1) - most
        kg = np.clip(self.there - before, 0.0, most)
        if float(kg.sum()) > self.payload:
            kg = self._loaded(kg)
        return float((kg * self.gain).sum())

    def _loaded(self, kg: np.ndarray) -> np.ndarray:
        """The dearest kilograms, as many as the vehicle takes."""
        dearest = np.argsort(-self.gain, axis=None, kind="stable")
        some = kg.ravel()[dearest]
        before = np.cumsum(some) - some
        loaded = np.empty_like(some)
        loaded[dearest] = np.clip(self.payload - before, 0.0, some)
        return loaded.reshape(kg.shape)


def _offers(instance: Instance, there: Sequence[float]) -> dict[int, list[Offer]]:
    """What places pay for each grade, where that is more than keeping it is worth."""
    found: dict[int, list[Offer]] = defaultdict(list)
    for lot in instance.lots:
        place = instance.stops[lot.buyer]
        most = min(there[lot.grade], lot.tiers[-1].high)
        gain = _price(lot, most) - instance.kept_price[lot.grade]
        if place is not None and gain > 0.0 and most > 0.0:
            found[lot.grade].append((gain, place, most))
    return found


def _price(lot: Lot, kg: float) -> float:
    """The price of a kilogram of so large a lot; where that is too small, of the smallest."""
    return next((tier.price for tier in reversed(lot.tiers) if kg >= tier.low), lot.tiers[0].price)
