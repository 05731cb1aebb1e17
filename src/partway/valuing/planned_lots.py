"""What a haul set out to hand over, kept in its note in words that a person reads as well.

The ledger has no form for a plan, and a plan is not something that happened; that somebody set out to hand over
these lots at these prices is. In the note it is copied, exported and merged with the haul. A note that
was written by hand, or changed, is read as far as it can be, and never guessed at.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from partway.distances import format_km_in, km_per
from partway.quantities import MG_PER_KG, kg_per, plain_text
from partway.things.units import ShownUnits

START = "Planned: "
LONGEST = 1900  # of the 2000 characters that a note may have
ROAD = re.compile(r"(?P<way>[0-9]{1,5}(?:\.[0-9]{1,2})?) (?P<unit>km|mi) in (?P<minutes>[0-9]{1,5}) min")
LOT = re.compile(
    r"(?P<buyer>[a-z0-9][a-z0-9-]*) (?P<grade>[a-z0-9][a-z0-9-]*) (?P<mass>[0-9]{1,7}(?:\.[0-9]{1,3})?) (?P<unit>kg|lb)"
    r" at (?P<price>-?[0-9]{1,7}(?:\.[0-9]{1,4})?)"
)


@dataclass(frozen=True, slots=True)
class PlannedLot:
    """A lot as it was planned; `price` is per one `unit`."""

    buyer: str
    grade: str
    mass_mg: int
    price: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Drive:
    """Kilometres and minutes home to home; None for what nobody said."""

    km: Decimal | None = None
    minutes: int | None = None


class Sale(Protocol):
    """A sale that was decided, as a plan has it."""

    @property
    def buyer(self) -> str:
        """The buyer's id."""
        ...

    @property
    def grade(self) -> str:
        """The grade it is sold as."""
        ...

    @property
    def mass_kg(self) -> float:
        """How much."""
        ...

    @property
    def price_per_kg(self) -> float:
        """At what price."""
        ...

    @property
    def amount(self) -> float:
        """What it comes to."""
        ...


def planned_note(sales: Iterable[Sale], units: ShownUnits, road: Drive | None = None) -> str:
    """Lots of a trip and its drive as a note: "Planned: harbour-yard copper-2 10.2 lb at 4.1; ...; 38 mi in 130 min";
    the largest where not all fit.
    """
    lots = list(sales)
    said = [_said(sale, units.mass) for sale in lots]
    kept: set[int] = set()
    room = LONGEST
    for i in sorted(range(len(lots)), key=lambda i: -abs(lots[i].amount)):
        room -= len(said[i]) + 2
        if room >= 0:
            kept.add(i)
    more = [f"{len(lots) - len(kept)} smaller ones"] if len(kept) < len(lots) else []
    if road is not None and road.km is not None and road.minutes is not None:
        more.append(f"{format_km_in(road.km, units.distance)} in {road.minutes} min")
    return START + "; ".join([*(said[i] for i in sorted(kept)), *more]) if lots else ""


def _said(sale: Sale, unit: str) -> str:
    per = kg_per(unit)
    mass = plain_text(round(Decimal(sale.mass_kg) / per, 3))
    # by the piece, the kilograms of these very pieces come to what the lot does
    per_kg = sale.amount / sale.mass_kg if sale.mass_kg else sale.price_per_kg
    price = plain_text(round(Decimal(per_kg) * per, 4))
    return f"{sale.buyer} {sale.grade} {mass} {unit} at {price}"


def planned_in(note: str) -> tuple[PlannedLot, ...]:
    """The lots that a haul's note names; none where it is not such a note."""
    if not note.startswith(START):
        return ()
    matches = [LOT.fullmatch(text.strip()) for text in note.removeprefix(START).split(";")]
    return tuple(_lot(match) for match in matches if match is not None)


def drive_in(note: str) -> Drive | None:
    """The drive that a haul's note names; None where it names none."""
    if not note.startswith(START):
        return None
    found = [match for text in note.removeprefix(START).split(";") if (match := ROAD.fullmatch(text.strip()))]
    if not found:
        return None
    return Drive(Decimal(found[0]["way"]) * km_per(found[0]["unit"]), int(found[0]["minutes"]))


def _lot(match: re.Match[str]) -> PlannedLot:
    unit = match["unit"]
    mass = round(Decimal(match["mass"]) * kg_per(unit) * MG_PER_KG)
    return PlannedLot(match["buyer"], match["grade"], mass, Decimal(match["price"]), unit)


def lots_for(lots: Sequence[PlannedLot], buyer: str) -> tuple[PlannedLot, ...]:
    """Those of one buyer."""
    return tuple(lot for lot in lots if lot.buyer == buyer)
