"""One situation to plan for: buyers and their quotes, finds, stock, hours and the vehicle."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from partway.things.anatomy import Anatomy
from partway.things.defaults import KMH, ROAD_FACTOR, TRIPS, WHOLE_ABOVE_KG
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade
from partway.things.room import Room

BuyerKind = Literal["yard", "mail-in", "drop-off", "tip"]
Works = Literal["yes", "no", "unknown"]
MassUnit = Literal["kg", "lb"]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Quote:
    """A price heard on a day, per kg; negative means the seller pays.

    A lot below `minimum_kg` is not taken. `from_kg` opens a tier whose price applies to the whole lot.
    """

    grade: str
    price: Estimate
    on: dt.date
    minimum_kg: float = 0.0
    from_kg: float = 0.0

    @property
    def least_kg(self) -> float:
        """The smallest lot that gets this price."""
        return max(self.minimum_kg, self.from_kg)


@dataclass(frozen=True, slots=True)
class Postage:
    """One parcel of at most `up_to_kg` costs `cost`."""

    up_to_kg: float
    cost: float


@dataclass(frozen=True, slots=True)
class Buyer:
    """Whoever takes material. `km` is one way from home; `minutes` is time on site per visit.

    `refuses` names grades, families or hazards that this buyer turns away.
    """

    id: str
    kind: BuyerKind
    name: str = ""
    km: float | None = None
    at: Point | None = None
    minutes: float = 0.0
    refuses: tuple[str, ...] = ()
    shipping: tuple[Postage, ...] = ()
    quotes: tuple[Quote, ...] = ()

    @property
    def is_visited(self) -> bool:
        """Whether it takes a drive to sell there."""
        return self.kind != "mail-in"


@dataclass(frozen=True, slots=True)
class Road:
    """A way between two places, both directions; `minutes` overrides km / kmh."""

    start: str
    end: str
    km: float
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class Hours:
    """The most hours at the bench and away, summed over all trips; what an hour is worth at least."""

    bench: float
    away: float
    wage: float
    trips: int = TRIPS


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What one trip can carry and what it costs; `road_factor` turns straight lines into road km.

    Finds not opened, and pieces above `whole_above_kg`, are loaded whole: never cut to fill a load or a lot.
    """

    payload_kg: float
    volume_l: float | None = None
    cost_per_km: float = 0.0
    kmh: float = KMH
    road_factor: float = ROAD_FACTOR
    whole_above_kg: float = WHOLE_ABOVE_KG


@dataclass(frozen=True, slots=True)
class Find:
    """`count` things collected of one kind; `mass_kg` each scales the anatomy when known."""

    kind: str
    count: int = 1
    works: Works = "unknown"
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True)
class InConflict:
    """A find or bin whose mass is in doubt, by the codes of ledger.balance.conflicts; `of` is its kind or grade."""

    place: str
    of: str
    conflict: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Scenario:
    """Everything a plan is computed from. `notes` names each default that was used, `conflict` what of the finds and
    the stock is in doubt.

    Everything is in kg, litres, hours and currency units; `unit` is only what people are shown masses in.

    `keep_factor` is the flat share of its price that what is kept counts for, None: by the price of room. `storage_l`
    is what the shed holds, `inflow_kg_week` what comes in each week and `inflow` the same by grade; None and empty
    where nobody knows. `room` has the figures behind the price of room where the vehicle is left out.
    """

    name: str
    currency: str
    on: dt.date
    hours: Hours
    vehicle: Vehicle | None
    buyers: tuple[Buyer, ...]
    finds: tuple[Find, ...]
    stock: Mapping[str, float]
    grades: Mapping[str, Grade]
    anatomies: Mapping[str, Anatomy]
    cautions: Mapping[str, Caution] = field(default_factory=dict)
    roads: tuple[Road, ...] = ()
    home: Point | None = None
    keep_factor: float | None = None
    storage_l: float | None = None
    inflow_kg_week: float | None = None
    inflow: Mapping[str, float] = field(default_factory=dict)
    room: Room | None = None
    unit: MassUnit = "kg"
    notes: tuple[str, ...] = ()
    conflict: tuple[InConflict, ...] = ()

    @property
    def whole_above_kg(self) -> float:
        """Pieces above this mass are loaded whole, by mail too where there is no vehicle."""
        return WHOLE_ABOVE_KG if self.vehicle is None else self.vehicle.whole_above_kg
