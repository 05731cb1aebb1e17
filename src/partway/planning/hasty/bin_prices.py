"""What a kilogram of each grade is worth before it is known who is driven to: the best price, less its place in a load.

Postage counts as that of the cheapest full parcel. What is driven takes a share of a load, by its mass or its volume,
whichever is more, and pays for it what the last thing that still finds room would gain (the fractional knapsack:
Dantzig, "Discrete-variable extremum problems", Operations Research 5, 1957).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from partway.planning.instance.frozen import Instance
from partway.planning.instance.parcels import full_parcel_per_kg
from partway.planning.model.highs import Values


class BinPrices:
    """Prices by grade: kept or sent by mail (`here`), driven somewhere (`driven`), and the `share` of a load."""

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.here = np.array(instance.kept_price)
        self.driven = np.full(len(instance.grades), -math.inf)
        for lot in instance.lots:
            price = max(tier.price for tier in lot.tiers)
            if instance.stops[lot.buyer] is None:
                price -= full_parcel_per_kg(instance.buyers[lot.buyer].shipping)
                self.here[lot.grade] = max(self.here[lot.grade], price)
            else:
                self.driven[lot.grade] = max(self.driven[lot.grade], price)
        self._downgrade(self.here)
        self._downgrade(self.driven)
        self.share = self._shares()

    def _downgrade(self, prices: Values) -> None:
        """What may be sold as something dearer is worth as much."""
        for _ in self.instance.downgrades:
            before = prices.copy()
            for upper, lower in self.instance.downgrades:
                prices[upper] = max(prices[upper], prices[lower])
            if np.array_equal(before, prices):
                return

    def _shares(self) -> Values:
        vehicle = self.instance.scenario.vehicle
        if vehicle is None:
            return np.zeros(len(self.driven))
        most = math.inf if vehicle.volume_l is None else vehicle.volume_l
        shares: Values = np.maximum(1.0 / vehicle.payload_kg, np.array(self.instance.litres_per_kg) / most)
        return shares

    def at(self, load: float) -> Values:
        """What a kilogram of each grade is worth where a full load costs so much."""
        worth: Values = np.maximum(self.here, self.driven - load * self.share)
        return worth

    def load(self, kg: Sequence[float]) -> float:
        """What the last place in the loads of all trips gains where there is so much of each grade."""
        masses, gain = np.array(kg), self.driven - self.here
        worth = [g for g in np.argsort(-gain / self.share).tolist() if gain[g] > 0.0 and masses[g] > 0.0]
        left = float(self.instance.scenario.hours.trips)
        for g in worth:
            left -= float(masses[g] * self.share[g])
            if left <= 0.0:
                return float(gain[g] / self.share[g])
        return 0.0
