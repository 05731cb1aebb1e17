"""Plans that need no solver: keep everything, or sell everything as it is to one buyer.

They are seldom good, but whatever is called the best plan must be worth at least as much as each of them. Only plain
arithmetic on the instance is used here; `verify` decides which of them are feasible at all.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from partway.planning.decision import BlockKey, Decision, LotKey
from partway.planning.instance.frozen import Instance, Lot
from partway.planning.model.milp import MAIL
from partway.planning.tours.tours import Tour, driven

DUST = 1e-9  # kg


def simple_plans(instance: Instance) -> Iterator[tuple[str, Decision]]:
    """Each plan with what it does, for people to read."""
    yield keep_everything(instance)
    yield from sold_as_it_is(instance)


def keep_everything(instance: Instance) -> tuple[str, Decision]:
    """Stay at home."""
    return "keep everything", _Selling(instance, -1).decision()


def sold_as_it_is(instance: Instance, more: float = 0.0) -> Iterator[tuple[str, Decision]]:
    """One load to each buyer, but for those that cannot be worth so much `more` than keeping everything.

    What a load gains over keeping, at the best price of each lot and before anything is paid for, is the most that
    such a plan is worth more; where a buyer pays by the piece that is not known so simply.
    """
    for b, buyer in enumerate(instance.buyers):
        selling = _Selling(instance, b)
        if selling.fill() and (instance.counted or selling.gain > more):
            yield f"sell as it is to {buyer.id}", selling.decision()


@dataclass(frozen=True, slots=True)
class _Load:
    """What could go to the buyer: kg of one grade from stock, or one find sold as that grade."""

    grade: int
    lot: int
    kg: float
    gain: float  # per kg over keeping it
    sale: int | None = None  # the grade sale of a find; None for stock


class _Selling:
    """Fills one load for one buyer (-1: nobody) with what gains most over keeping."""

    def __init__(self, instance: Instance, buyer: int) -> None:
        self.instance, self.buyer = instance, buyer
        self.best = self._best_lots()
        self.found = [n for n, node in enumerate(instance.nodes) if node.found]
        self.taken: list[tuple[_Load, float]] = []

    def fill(self) -> bool:
        """Load until the vehicle is full, leaving out what is too little for a lot. Returns whether anything was
        loaded.
        """
        room_kg, room_l = self._room()
        wanted = [self._most(lot) for lot in self.instance.lots]
        loads = [load for load in (*self._stock(), *self._finds()) if load.gain > 0.0]
        for load in sorted(loads, key=lambda it: -it.gain):
            litres = self.instance.litres_per_kg[self.instance.lots[load.lot].grade]
            fits = min(room_kg, room_l / litres if litres else math.inf, wanted[load.lot])
            kg = min(load.kg, fits) if load.sale is None else load.kg
            if DUST < kg <= fits:
                self.taken.append((load, kg))
                room_kg, room_l = room_kg - kg, room_l - kg * litres
                wanted[load.lot] -= kg
        lots = self.lots
        self.taken = [(load, kg) for load, kg in self.taken if _tier(self.instance.lots[load.lot], lots[load.lot]) >= 0]
        return bool(self.taken)

    @property
    def gain(self) -> float:
        """What is loaded brings so much more than keeping it, before postage, fees and the drive."""
        return math.fsum(load.gain * kg for load, kg in self.taken)

    def _most(self, lot: Lot) -> float:
        """The most that the lot's buyer takes of its grade."""
        return self.instance.buyers[lot.buyer].most_of(self.instance.grades[lot.grade])

    @property
    def lots(self) -> dict[int, float]:
        """Kilograms in each lot."""
        return _summed((load.lot, kg) for load, kg in self.taken)

    @property
    def downgraded(self) -> dict[int, float]:
        """Loose kilograms sold as a lower grade, by downgrade: finds are loaded whole."""
        lots, arcs = self.instance.lots, self.instance.downgrades
        pairs = [((load.grade, lots[load.lot].grade), kg) for load, kg in self.taken if load.sale is None]
        return _summed((arcs.index(arc), kg) for arc, kg in pairs if arc[0] != arc[1])

    @property
    def blocks(self) -> dict[BlockKey, int]:
        """Finds in each lot."""
        k = 0 if self._driven else MAIL
        return dict(Counter((load.sale, load.lot, k) for load, _ in self.taken if load.sale is not None))

    def _room(self) -> tuple[float, float]:
        vehicle = self.instance.scenario.vehicle
        if not self._driven or vehicle is None:
            return math.inf, math.inf
        return vehicle.payload_kg, math.inf if vehicle.volume_l is None else vehicle.volume_l

    @property
    def _driven(self) -> bool:
        return self.buyer >= 0 and self.instance.stops[self.buyer] is not None

    def _stock(self) -> Iterator[_Load]:
        for g, kg in enumerate(self.instance.stock):
            best = self.best.get(g)
            if kg > DUST and best is not None:
                yield _Load(g, best[0], kg, best[1] - self.instance.kept_price[g])

    def _finds(self) -> Iterator[_Load]:
        instance = self.instance
        for n in self.found:
            node, choices = instance.nodes[n], []
            for s in instance.sales_of[n]:
                sale, best = instance.grade_sales[s], self.best.get(instance.grade_sales[s].grade)
                if sale.kg > DUST and best is not None:
                    rest = (
                        sale.residue_kg * instance.kept_price[instance.residue] if instance.residue is not None else 0
                    )
                    gain = (best[1] * sale.kg + rest - node.kept_value) / sale.kg
                    choices.append(_Load(sale.grade, best[0], sale.kg, gain, s))
            yield from [max(choices, key=lambda it: it.gain * it.kg)] * node.found if choices else ()

    def _best_lots(self) -> dict[int, tuple[int, float]]:
        """For each grade the lot that pays most for it, sold as itself or one step down, and the price."""
        best: dict[int, tuple[int, float]] = {}
        for i, lot in enumerate(self.instance.lots):
            if lot.buyer != self.buyer:
                continue
            price = max(tier.price for tier in lot.tiers)
            for g in (lot.grade, *(upper for upper, lower in self.instance.downgrades if lower == lot.grade)):
                if g not in best or price > best[g][1]:
                    best[g] = i, price
        return best

    def decision(self) -> Decision:
        """The whole plan."""
        instance = self.instance
        count = Counter(load.sale for load, _ in self.taken)
        sold = [count[s] for s in range(len(instance.grade_sales))]
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
            blocks=self.blocks,
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
        for load, kg in self.taken:
            left[load.grade if load.sale is not None else instance.lots[load.lot].grade] -= kg
        return left

    def _tour(self) -> Tour | None:
        """To the buyer and back by the cheapest way."""
        stop, roads = self.instance.stops[self.buyer], self.instance.roads
        if stop is None or roads is None:
            return None
        if self.buyer in self.instance.opening.part:
            return next((tour for tour in self.instance.tours or () if tour.stops == (stop,)), None)
        return driven((stop,), [roads.between(0, stop)[0], roads.between(stop, 0)[0]], roads.last)

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
    """The tier that a lot of this size is paid, -1 where it is too small."""
    return max((t for t, tier in enumerate(lot.tiers) if tier.low <= kg <= tier.high), default=-1)


def _summed(amounts: Iterable[tuple[int, float]]) -> dict[int, float]:
    total: dict[int, float] = {}
    for key, kg in amounts:
        total[key] = total.get(key, 0.0) + kg
    return total
