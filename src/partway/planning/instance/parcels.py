"""What it costs to post one lot: the cheapest parcels that hold it, and the mass from which posting pays.

A lot is taken to be posted alone. In a plan several lots to one buyer share parcels, which the plan itself counts; a
lot that does not pay for its own parcel may still pay in the room another leaves.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass

from partway.things.scenario import Postage

MG_PER_KG = 1e6


@dataclass(frozen=True, slots=True)
class Parcels:
    """Some parcels: what they cost together and the most they hold."""

    cost: float
    holds_kg: float


NONE = Parcels(0.0, 0.0)


def full_parcel_per_kg(shipping: Sequence[Postage]) -> float:
    """The least a kilogram can cost to post: that of the cheapest full parcel. Zero where the buyer pays."""
    return min((step.cost / step.up_to_kg for step in shipping), default=0.0)


def cheapest(shipping: Sequence[Postage], kg: float) -> Parcels:
    """The cheapest parcels that hold `kg` together, any number of each step; of equally cheap ones the roomiest found.

    An A* search over the parcels taken so far: what is left costs at least the cheapest full parcel's price per kg.
    Masses are compared in whole milligrams, the ledger's own.
    """
    wanted = _mg(kg)
    if not shipping or wanted <= 0:
        return NONE
    steps = sorted({(_mg(step.up_to_kg), step.cost) for step in shipping}, key=lambda step: (step[1] / step[0], step))
    size, price = steps[0]
    rate = price / size
    surely = max(0, math.ceil((wanted - _most_in_others(steps)) / size))  # parcels of the best step in any case
    roomiest: dict[tuple[int, float], int] = {}
    waiting = [(0.0, -surely * size, surely * price, 0)]
    while True:
        _, held, cost, last = heapq.heappop(waiting)
        if -held >= wanted:
            return Parcels(cost, -held / MG_PER_KG)
        for i in range(last, len(steps)):  # each choice in one order only
            holds, paid = steps[i][0] - held, cost + steps[i][1]
            if holds > roomiest.get(key := (i, round(paid, 9)), 0):
                roomiest[key] = holds
                heapq.heappush(waiting, (paid + rate * max(0, wanted - holds), -holds, paid, i))


def _mg(kg: float) -> int:
    return round(kg * MG_PER_KG)


def _most_in_others(steps: Sequence[tuple[int, float]]) -> float:
    """The most mg that the cheapest choice puts into parcels of other steps than the first, the cheapest per mg.

    Of as many others as the first holds units, some together hold a multiple of what the first holds (pigeonhole on
    their running sums) and may as well be those. And each mg in another costs more than in the first, which may not
    add up to more than one whole parcel of the first.
    """
    size, price = steps[0]
    if len(steps) == 1:
        return 0.0
    unit = math.gcd(*(holds for holds, _ in steps))
    by_count = (size // unit - 1) * max(holds for holds, _ in steps[1:])
    dearer = steps[1][1] / steps[1][0] - price / size
    by_cost = price / dearer + size if dearer * size > 1e-9 * price else math.inf
    return min(float(by_count), by_cost)


def net_per_kg(price: float, shipping: Sequence[Postage], kg: float) -> float:
    """What a kilogram brings after postage: that of the parcels for `kg`, or of a full parcel if `kg` is not known."""
    if _mg(kg) <= 0:
        return price - full_parcel_per_kg(shipping)
    return price - cheapest(shipping, kg).cost / kg


def pays_from(price: float, shipping: Sequence[Postage], kg: float) -> float | None:
    """The least mass, at least `kg`, that brings more than its parcels cost; None if there is none.

    A slightly larger mass may need one more parcel and not pay again.
    """
    if price < 0.0 or full_parcel_per_kg(shipping) > price:
        return None
    if not shipping:
        return kg
    while True:
        parcels = cheapest(shipping, kg)
        enough = max(kg, parcels.cost / price if price > 0.0 else 0.0)
        if _mg(enough) <= _mg(parcels.holds_kg):
            return enough
        kg = (_mg(parcels.holds_kg) + 1) / MG_PER_KG


@dataclass(frozen=True, slots=True)
class ForLot:
    """What a quote pays for a lot: the net price per kg, and the least mass that is taken and pays for its parcels.

    If the lot is smaller than `from_kg`, the net price is that of a larger one: of the least lot taken, or, if postage
    makes the lot too small, of full parcels.
    """

    net_per_kg: float
    from_kg: float
    by_post: bool

    def reached(self, kg: float) -> bool:
        """Whether a lot of `kg` is large enough."""
        return _mg(self.from_kg) <= _mg(kg)


def for_lot(price: float, shipping: Sequence[Postage], least_kg: float, kg: float) -> ForLot:
    """What a price for lots of at least `least_kg` pays for a lot of `kg` posted alone; `by_post`: postage sets the
    least mass.

    A price below its postage at every mass still counts: somebody may want to be rid of the lot.
    """
    at = max(least_kg, kg)
    pays = pays_from(price, shipping, at)
    if pays is None or _mg(pays) <= _mg(at):
        return ForLot(net_per_kg(price, shipping, at), least_kg, by_post=False)
    return ForLot(price - full_parcel_per_kg(shipping), pays, by_post=True)
