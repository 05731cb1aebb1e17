"""Plans that need no solver: keep everything, or sell everything as it is to one buyer.

They are seldom good, but whatever is called the best plan must be worth at least as much as each of them. Only plain
arithmetic on the instance is used here; `verify` decides which of them are feasible at all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from partway.planning.decision import Decision, LotKey
from partway.planning.instance import Instance, Lot
from partway.planning.milp import MAIL
from partway.planning.tours import Tour

DUST = 1e-9  # kg


def simple_plans(instance: Instance) -> Iterator[tuple[str, Decision]]:
    """Each plan with what it does, for people to read."""
    yield "keep everything", _Selling(instance, -1).decision()
    for b, buyer in enumerate(instance.buyers):
        selling = _Selling(instance, b)
        if selling.fill():
            yield f"sell as it is to {buyer.id}", selling.decision()


@dataclass(frozen=True, slots=True)
class _Load:
    """What could go to the buyer: kg of one grade from stock, or one find sold as that grade."""

    grade: int
    lot: int
    kg: float
    gain: float  # per kg over keeping it
    sale: int | None = None  # the grade sale of a find; None for stock


@dataclass
class _Selling:
    """One load for one buyer (-1: nobody), filled with what gains most over keeping."""

    instance: Instance
    buyer: int
    sold: dict[int, int] = field(default_factory=dict)
    lots: dict[int, float] = field(default_factory=dict)
    downgraded: dict[int, float] = field(default_factory=dict)

    def fill(self) -> bool:
        """Load until the vehicle is full; whether anything goes at all."""
        room_kg, room_l = self._room()
        loads = [load for load in (*self._stock(), *self._finds()) if load.gain > 0.0]
        for load in sorted(loads, key=lambda it: -it.gain):
            litres = self.instance.litres_per_kg[self.instance.lots[load.lot].grade]
            fits = min(room_kg, room_l / litres if litres else math.inf)
            kg = min(load.kg, fits) if load.sale is None else load.kg
            if kg <= DUST or kg > fits:
                continue
            self._take(load, kg)
            room_kg, room_l = room_kg - kg, room_l - kg * litres
        return bool(self.lots)

    def _room(self) -> tuple[float, float]:
        vehicle = self.instance.scenario.vehicle
        if not self._driven or vehicle is None:
            return math.inf, math.inf
        return vehicle.payload_kg, math.inf if vehicle.volume_l is None else vehicle.volume_l

    @property
    def _driven(self) -> bool:
        return self.buyer >= 0 and self.instance.stops[self.buyer] is not None

    def _take(self, load: _Load, kg: float) -> None:
        self.lots[load.lot] = self.lots.get(load.lot, 0.0) + kg
        if load.sale is not None:
            self.sold[load.sale] = self.sold.get(load.sale, 0) + 1
        lower = self.instance.lots[load.lot].grade
        if lower != load.grade:
            arc = self.instance.downgrades.index((load.grade, lower))
            self.downgraded[arc] = self.downgraded.get(arc, 0.0) + kg

    def _stock(self) -> Iterator[_Load]:
        for g, kg in enumerate(self.instance.stock):
            best = self._best_lot(g)
            if kg > DUST and best is not None:
                yield _Load(g, best[0], kg, best[1] - self.instance.kept_price[g])

    def _finds(self) -> Iterator[_Load]:
        instance = self.instance
        for n, node in enumerate(instance.nodes):
            choices = []
            for s in instance.sales_of[n]:
                sale, best = instance.grade_sales[s], self._best_lot(instance.grade_sales[s].grade)
                if node.found and sale.kg > DUST and best is not None:
                    rest = sale.residue_kg * instance.kept_price[instance.residue] if instance.residue is not None else 0
                    gain = (best[1] * sale.kg + rest - node.kept_value) / sale.kg
                    choices.append(_Load(sale.grade, best[0], sale.kg, gain, s))
            yield from [max(choices, key=lambda it: it.gain * it.kg)] * node.found if choices else ()

    def _best_lot(self, grade: int) -> tuple[int, float] | None:
        """The lot that pays most for a grade, sold as itself or one step down, and its price."""
        grades = {grade, *(low for high, low in self.instance.downgrades if high == grade)}
        lots = [(i, lot) for i, lot in enumerate(self.instance.lots) if lot.buyer == self.buyer and lot.grade in grades]
        prices = [(max(tier.price for tier in lot.tiers), -i) for i, lot in lots]
        price, i = max(prices, default=(0.0, 1))
        return (-i, price) if i <= 0 else None

    def decision(self) -> Decision:
        """The whole plan; lots of no size that is paid for are left to `verify` to turn away."""
        instance = self.instance
        sold = [self.sold.get(s, 0) for s in range(len(instance.grade_sales))]
        kept = [node.found - sum(sold[s] for s in instance.sales_of[n]) for n, node in enumerate(instance.nodes)]
        k = 0 if self._driven else MAIL
        lots: dict[LotKey, float] = {(i, _tier(instance.lots[i], kg), k): kg for i, kg in self.lots.items()}
        tours: list[Tour | None] = [None] * instance.scenario.hours.trips
        if self.lots and self._driven and tours:
            tours[0] = self._tour()
        return Decision(
            opened=(0,) * len(instance.openings),
            sold=tuple(sold),
            parts=(0,) * len(instance.part_sales),
            kept=tuple(kept),
            lots=lots,
            downgraded=self.downgraded,
            kept_kg={g: kg for g, kg in enumerate(self._left(sold)) if kg > DUST},
            tours=tuple(tours),
            parcels=self._parcels(),
        )

    def _left(self, sold: list[int]) -> list[float]:
        """Kilograms of each grade that stay."""
        instance, left = self.instance, list(self.instance.stock)
        for sale, times in zip(instance.grade_sales, sold, strict=True):
            for g, kg in instance.flows(sale):
                left[g] += kg * times
        for d, kg in self.downgraded.items():
            upper, lower = instance.downgrades[d]
            left[upper] -= kg
            left[lower] += kg
        for i, kg in self.lots.items():
            left[instance.lots[i].grade] -= kg
        return left

    def _tour(self) -> Tour | None:
        """There and back by the way that costs least."""
        stop, roads = self.instance.stops[self.buyer], self.instance.roads
        if stop is None or roads is None:
            return None
        km, hours = (float(way[0, stop] + way[stop, 0]) for way in (roads.km, roads.hours))
        return Tour((stop,), km, hours)

    def _parcels(self) -> dict[tuple[int, int], int]:
        """Parcels of the one size that posts all of it for least."""
        shipping = self.instance.buyers[self.buyer].shipping if self.lots and not self._driven else ()
        kg = sum(self.lots.values())
        counts = [(math.ceil(kg / step.up_to_kg - DUST), i) for i, step in enumerate(shipping)]
        if not counts:
            return {}
        number, i = min(counts, key=lambda it: it[0] * shipping[it[1]].cost)
        return {(self.buyer, i): number}


def _tier(lot: Lot, kg: float) -> int:
    """The tier that a lot of this size is paid."""
    fitting = [t for t, tier in enumerate(lot.tiers) if tier.low <= kg <= tier.high]
    return fitting[-1] if fitting else 0
