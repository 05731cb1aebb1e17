"""One situation to plan for: buyers and their quotes, finds, stock, hours and the vehicle."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, Protocol

from partway.things.anatomy import Anatomy
from partway.things.defaults import KMH, ROAD_FACTOR, TRIPS, WHOLE_ABOVE_KG
from partway.things.estimate import Estimate
from partway.things.limits.room import Room
from partway.things.material import Caution, Grade
from partway.things.units import ShownUnits

BuyerKind = Literal["yard", "mail-in", "drop-off", "tip"]
Works = Literal["yes", "no", "unknown"]
MassUnit = Literal["kg", "lb"]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Quote:
    """A price heard on a day, per kg; negative means the seller pays.

    A lot below `minimum_kg` is not taken. `from_kg` opens a tier whose price applies to the whole lot. `most_kg` is the
    most of the grade that the buyer takes at one visit, or by mail in one plan; said with one price it holds for all.
    With `piece_kg`, what one piece weighs, pieces are counted: `each` says that the price is one by the piece, so that
    one brings price x piece_kg whatever it weighs itself, and `most_pieces` is how many are taken at most. `ends` are
    lowest and highest where the buyer said a range; the plan counts at its middle.
    """

    grade: str
    price: Estimate
    on: dt.date
    minimum_kg: float = 0.0
    from_kg: float = 0.0
    most_kg: float | None = None
    piece_kg: float | None = None
    each: bool = False
    most_pieces: int | None = None
    ends: tuple[float, float] | None = None

    @property
    def counted(self) -> bool:
        """Whether pieces are counted at the window, not only weighed."""
        return self.piece_kg is not None and (self.each or self.most_pieces is not None)

    @property
    def one_brings(self) -> float | None:
        """What one piece brings by the piece; None for a price by mass."""
        return self.price.mean * self.piece_kg if self.each and self.piece_kg is not None else None

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

    `refuses` names grades, families or hazards that this buyer turns away. `open` are its opening hours, such as
    "mon-fri 08:00-16:30"; none where nobody said. Of each ticket on which it pays for something it keeps back the
    flat `ticket_fee` and `ticket_share` of what its lines pay (`formulas.ticket_fees`).
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
    open: tuple[str, ...] = ()
    ticket_fee: float = 0.0
    ticket_share: float = 0.0

    @property
    def is_visited(self) -> bool:
        """Whether it takes a drive to sell there."""
        return self.kind != "mail-in"

    def most_of(self, grade: str) -> float:
        """The most kg of a grade that it takes at one visit, or by mail in one plan; infinite where none was said."""
        return min((q.most_kg for q in self.quotes if q.grade == grade and q.most_kg is not None), default=math.inf)


HOME, END = "home", "end"  # what roads call where trips start, and where they end if not there


@dataclass(frozen=True, slots=True)
class Road:
    """A way between two places, both directions unless `one_way`; `minutes` overrides km / kmh."""

    start: str
    end: str
    km: float
    minutes: float | None = None
    one_way: bool = False

    @property
    def ways(self) -> tuple[tuple[str, str], ...]:
        """From where to where it leads."""
        there = self.start, self.end
        return (there,) if self.one_way else (there, there[::-1])


@dataclass(frozen=True, slots=True)
class TripEnd:
    """Where a trip ends that does not end at home, as people call it; without `at`, roads to `end` lead there."""

    name: str
    at: Point | None = None


@dataclass(frozen=True, slots=True)
class Hours:
    """The most hours at the bench and away, summed over all trips; what an hour is worth at least.

    `trip` is the most hours of one trip, driving and on site. `helpers` are people who lift with you. `leave` is when
    the first trip leaves, in hours of the day; the others follow one after the other.
    """

    bench: float
    away: float
    wage: float
    trips: int = TRIPS
    trip: float | None = None
    helpers: int = 0
    leave: float | None = None

    @property
    def one_trip(self) -> float:
        """The most hours one trip may take."""
        return self.away if self.trip is None else min(self.trip, self.away)


@dataclass(frozen=True, slots=True)
class Vehicle:
    """What one trip can carry and what it costs; `road_factor` turns straight lines into road km.

    Finds not opened, and pieces above `whole_above_kg`, are loaded whole: never cut to fill a load or a lot. `lift_kg`
    is the most that one person lifts alone.
    """

    payload_kg: float
    volume_l: float | None = None
    cost_per_km: float = 0.0
    kmh: float = KMH
    road_factor: float = ROAD_FACTOR
    whole_above_kg: float = WHOLE_ABOVE_KG
    lift_kg: float | None = None


@dataclass(frozen=True, slots=True)
class Find:
    """`count` things collected of one kind; `mass_kg` each scales the anatomy when known.

    `chance` is how likely each is to work where nobody tested it; None: as its kind usually is. `listed` of them are on
    offer whole already: opening one means taking it down.
    """

    kind: str
    count: int = 1
    works: Works = "unknown"
    mass_kg: float | None = None
    chance: float | None = None
    listed: int = 0


@dataclass(frozen=True, slots=True)
class InConflict:
    """A find or bin whose mass is in doubt, by the codes of ledger.balance.conflicts; `of` is its kind or grade."""

    place: str
    of: str
    conflict: tuple[str, ...]


class KnownKinds(Protocol):
    """The kinds that can be looked up: `kinds` are the ids of those that have a name."""

    @property
    def kinds(self) -> tuple[str, ...]: ...  # noqa: D102

    def knows(self, kind: str) -> bool: ...  # noqa: D102

    def anatomy(self, kind: str) -> Anatomy: ...  # noqa: D102

    def all_anatomies(self) -> tuple[Anatomy, ...]: ...  # noqa: D102

    def with_own(self, own: Mapping[str, Anatomy]) -> KnownKinds: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class Scenario:
    """Everything a plan is computed from. `notes` names each default that was used, `conflict` what of the finds and
    the stock is in doubt.

    Everything is in kg, litres, hours and currency units; `unit` and `distance` are only what people are shown
    masses and distances in. `known` are the kinds as the ledger has learned them, for what is asked about a kind
    that is not among `anatomies`; None where the scenario is of no ledger: those that ship.

    `keep_factor` is the flat share of its price that what is kept counts for, None: by the price of room. `storage_l`
    is what the shed holds, `inflow_kg_week` what comes in each week and `inflow` the same by grade; None and empty
    where nobody knows. `room` has the figures behind the price of room where the vehicle is left out.

    `end` is where the one trip of the plan ends, None: at home, as every trip of several does.

    `listed` is how many of a part (kind, piece, name of the part) are on offer already, besides finds that are: the
    next one sells only if one buyer more comes. A part it does not name sells as if none were, one unit like another.

    `copper` is what a person said a yard pays per kg of No. 2 copper; only estimates at the curb use it
    (`valuing.finds.estimated`), where nobody quotes.
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
    end: TripEnd | None = None
    keep_factor: float | None = None
    storage_l: float | None = None
    inflow_kg_week: float | None = None
    inflow: Mapping[str, float] = field(default_factory=dict)
    room: Room | None = None
    unit: MassUnit = "kg"
    distance: str = "km"
    notes: tuple[str, ...] = ()
    conflict: tuple[InConflict, ...] = ()
    known: KnownKinds | None = field(default=None, repr=False, compare=False)
    listed: Mapping[tuple[str, str, str], int] = field(default_factory=dict)
    copper: float | None = None

    @property
    def units(self) -> ShownUnits:
        """What people are shown masses and distances in."""
        return ShownUnits(self.unit, self.distance)

    @property
    def whole_above_kg(self) -> float:
        """Pieces above this mass are loaded whole, by mail too where there is no vehicle."""
        return WHOLE_ABOVE_KG if self.vehicle is None else self.vehicle.whole_above_kg

    @property
    def lifted_kg(self) -> float:
        """The heaviest piece that can be loaded by the people there are; infinite where nobody said."""
        alone = self.vehicle is not None and self.vehicle.lift_kg is not None and not self.hours.helpers
        return self.vehicle.lift_kg if alone else math.inf  # type: ignore[union-attr,return-value]
