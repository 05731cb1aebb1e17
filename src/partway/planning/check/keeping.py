"""What a kilogram is worth kept, worked out again from the scenario's own quotes and roads, for the check of a plan."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from partway.planning.check.direct import cheapest_trips
from partway.planning.instance.allowed import allowed_on_all
from partway.planning.instance.parcels import full_parcel_per_kg
from partway.things.anatomy import Anatomy, SaleAs
from partway.things.buyers import takes
from partway.things.defaults import FULL_LOAD, KEPT_SHARE, LOAD_DENSITY
from partway.things.scenario import Scenario

HALF, TWENTIETHS, STEEP = 0.5, 20, 6.0


@dataclass(frozen=True)
class Keeping:
    """Keep prices of one scenario."""

    scenario: Scenario

    def price(self, grade: str) -> float:
        """The best of what the grade, or one it may be sold as, is worth kept."""
        if grade not in self._known:
            self._known[grade] = max(self._own(g) for g in self._becomes(grade))
        return self._known[grade]

    @cached_property
    def _known(self) -> dict[str, float]:
        return {}

    def allowed(self, anatomy: Anatomy) -> Mapping[str, tuple[SaleAs, ...]]:
        """What each piece may be sold by as it is; the same anatomy is asked about for each of its pieces."""
        if id(anatomy) not in self._allowed:
            self._allowed[id(anatomy)] = anatomy, allowed_on_all(self.scenario, anatomy)
        return self._allowed[id(anatomy)][1]

    @cached_property
    def _allowed(self) -> dict[int, tuple[Anatomy, Mapping[str, tuple[SaleAs, ...]]]]:
        return {}  # the anatomy beside what is known of it, so that no other one can have its id

    def _own(self, grade: str) -> float:
        factor, prices = self.scenario.keep_factor, self._quoted.get(grade, ())
        if factor is not None:
            return factor * max((price for _, price in prices), default=0.0)
        if not prices:
            return -min((self._room(buyer, grade) for buyer in self._trips), default=0.0)
        return max(price * (KEPT_SHARE if price > 0.0 else 1.0) - self._room(buyer, grade) for buyer, price in prices)

    @cached_property
    def _quoted(self) -> dict[str, list[tuple[str, float]]]:
        """By grade, who takes it and the price per kg, less its share of the ticket and postage of a full parcel."""
        found: dict[str, list[tuple[str, float]]] = defaultdict(list)
        for buyer in self.scenario.buyers:
            for quote in buyer.quotes:
                if takes(buyer, self.scenario.grades[quote.grade]):
                    price = quote.price.mean * (1.0 if quote.price.mean < 0.0 else 1.0 - buyer.ticket_share)
                    price -= full_parcel_per_kg(buyer.shipping)
                    found[quote.grade].append((buyer.id, price))
        return found

    def _becomes(self, grade: str) -> set[str]:
        """The grade, and those it may be sold as that somebody quotes or that lead on to one."""
        found, hazards = {grade}, set(self.scenario.grades[grade].hazards)
        for lower in self.scenario.grades[grade].downgrades:
            if hazards <= set(self.scenario.grades[lower].hazards):
                further = self._becomes(lower)
                found |= further if further & self._quoted.keys() else set()
        return found

    @cached_property
    def _trips(self) -> dict[str, float]:
        """What the cheapest round trip costs, with the flat fee of a ticket, by buyer; none where nothing drives."""
        flat = {buyer.id: buyer.ticket_fee for buyer in self.scenario.buyers}
        return {buyer: cost + flat[buyer] for buyer, cost in cheapest_trips(self.scenario).items()}

    def _room(self, buyer: str, grade: str) -> float:
        """Per kg: a share of the trip to this buyer, more where the shed is more than half full; nothing by mail."""
        vehicle, trip = self.scenario.vehicle, self._trips.get(buyer, 0.0)
        if vehicle is None:
            return 0.0
        density = self.scenario.grades[grade].density.mean
        by_volume = math.inf if vehicle.volume_l is None else vehicle.volume_l * density
        litres = vehicle.payload_kg / LOAD_DENSITY if vehicle.volume_l is None else vehicle.volume_l
        share = 1.0 / (FULL_LOAD * min(vehicle.payload_kg, by_volume))
        return trip * (share + self._crowding / (litres * density))

    @cached_property
    def _crowding(self) -> float:
        scenario = self.scenario
        if scenario.storage_l is None:
            return 0.0
        masses: list[tuple[str | None, float]] = list(scenario.stock.items())
        for find in scenario.finds:
            anatomy = scenario.anatomies[find.kind]
            kg = find.mass_kg or anatomy.whole.mass.mean
            masses.append((_as_it_rides(anatomy, [anatomy.whole.id]), find.count * kg))
        litres = sum(kg / scenario.grades[grade].density.mean for grade, kg in masses if grade is not None)
        return STEEP * max(0.0, round(litres / scenario.storage_l * TWENTIETHS) / TWENTIETHS - HALF)


def _as_it_rides(anatomy: Anatomy, path: list[str]) -> str | None:
    """The grade of the last piece on the path, or else of the heaviest that comes out of it."""
    sells = anatomy.piece(path[-1]).sells
    if sells:
        return sells[0].grade
    inside: Iterable[str] = (give.piece for op in anatomy.operations_on(path[-1]) for give in op.gives)
    heaviest = max(set(inside) - set(path), key=lambda id_: anatomy.piece(id_).mass.mean, default=None)
    return None if heaviest is None else _as_it_rides(anatomy, [*path, heaviest])
