"""What each kind of event says. Masses are whole milligrams, money is exact decimals, never a float.

One frozen dataclass a kind; the field `kind` of an event names it. All of them can be written as JSON and read back
without loss (`ledger.events.codec`).
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal
from uuid import UUID

from partway.ledger.events.effects import RESIDUE

Works = Literal["yes", "no", "unknown"]
BuyerKind = Literal["yard", "mail-in", "drop-off", "tip"]
Activity = Literal["collect", "bench", "haul", "list", "other"]
ROUNDING = "rounding"  # the category of cents that cash was rounded by


@dataclass(frozen=True, slots=True)
class Found:
    """Something collected: `count` things alike; `mass_mg` of all of them, None where they were not weighed."""

    find: str
    kind: str
    count: int = 1
    works: Works = "unknown"
    mass_mg: int | None = None
    source: str = ""
    note: str = ""
    photo: str = ""


@dataclass(frozen=True, slots=True)
class Tested:
    """Whether a find works."""

    find: str
    works: Works


@dataclass(frozen=True, slots=True)
class Weighed:
    """A find on the scale: it holds `mass_mg` now; `was_mg` is what the ledger had until then (0 if unweighed)."""

    find: str
    mass_mg: int
    was_mg: int


@dataclass(frozen=True, slots=True)
class PieceOut:
    """Pieces of one sort put into a bin together."""

    piece: str
    count: int
    grade: str
    bin: str
    mass_mg: int


@dataclass(frozen=True, slots=True)
class Run:
    """An operation run so many times on a piece."""

    piece: str
    operation: str
    times: int = 1


@dataclass(frozen=True, slots=True)
class Opened:
    """A find opened, wholly or in part.

    `was_mg` is what the ledger had in the find before. What came out and was lost leaves it; an unweighed find is taken
    to have weighed what came out of it. `closes` says that nothing of the find is left.
    """

    find: str
    pieces: tuple[PieceOut, ...]
    was_mg: int
    runs: tuple[Run, ...] = ()
    minutes: int = 0
    residue_mg: int = 0
    loss_mg: int = 0
    closes: bool = True

    @property
    def gives_up(self) -> bool:
        """Whether nothing was taken apart: all of it went into a bin of residue, as somebody said who discarded it."""
        return self.closes and not self.runs and [piece.grade for piece in self.pieces] == [RESIDUE]


@dataclass(frozen=True, slots=True)
class Binned:
    """A bin: what it is called and holds. The latest word on a bin counts."""

    bin: str
    grade: str
    name: str = ""
    capacity_l: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Recounted:
    """A bin on the scale: it holds `mass_mg` now; `was_mg` is what the ledger had.

    The difference counts as loss, or, with `opening`, as what was there before the ledger began: it comes from outside.
    """

    bin: str
    grade: str
    mass_mg: int
    was_mg: int
    opening: bool = False


@dataclass(frozen=True, slots=True)
class Moved:
    """Material from one bin to another; `grade` is what the first bin holds, `to_grade` what it counts as after."""

    bin: str
    to_bin: str
    grade: str
    to_grade: str
    mass_mg: int


@dataclass(frozen=True, slots=True)
class Parted:
    """A part or a whole find sold by the unit, to somebody who is not in the buyers' list."""

    find: str
    what: str
    count: int
    mass_mg: int
    was_mg: int
    price: Decimal
    fee: Decimal = Decimal(0)
    postage: Decimal = Decimal(0)
    minutes: int = 0
    closes: bool = False


@dataclass(frozen=True, slots=True)
class Discarded:
    """What is left of a find given up as residue."""

    find: str
    mass_mg: int
    was_mg: int


@dataclass(frozen=True, slots=True)
class Postage:
    """One parcel of at most `up_to_mg` costs `cost`."""

    up_to_mg: int
    cost: Decimal


@dataclass(frozen=True, slots=True)
class Traded:
    """A buyer and its terms. The latest word counts as a whole. `km` one way from home; `at` is latitude, longitude."""

    buyer: str
    kind: BuyerKind
    name: str = ""
    km: Decimal | None = None
    at: tuple[Decimal, Decimal] | None = None
    minutes: int = 0
    refuses: tuple[str, ...] = ()
    shipping: tuple[Postage, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Quoted:
    """A price heard on a day, per `unit` as it was said; None: the buyer no longer takes the grade.

    `price` is money per one `unit` (lb, kg, short ton, long ton, tonne, oz, g). `from_mg` opens a tier, `minimum_mg` is
    the smallest lot.
    """

    buyer: str
    grade: str
    price: Decimal | None
    unit: str
    on: dt.date
    from_mg: int = 0
    minimum_mg: int = 0
    said: str = ""


@dataclass(frozen=True, slots=True)
class Set:
    """One setting of the workspace: currency, unit, wage, bench, away, trips, payload, volume, cost_per_km, kmh ..."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class Hauled:
    """A haul set out on or finished. `km` and `minutes` are of the whole trip, once it is over."""

    haul: str
    status: Literal["started", "finished"]
    stops: tuple[str, ...] = ()
    km: Decimal | None = None
    minutes: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class TicketLine:
    """One line of a ticket: `mass_mg` is the yard's net, `own_mg` one's own; the bin gives up its own mass.

    `price` is per one `unit`, `amount` as printed.
    """

    grade: str
    bin: str
    mass_mg: int
    own_mg: int
    price: Decimal
    unit: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Deduction:
    """Something taken off a ticket."""

    what: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class Ticketed:
    """What a yard printed."""

    ticket: str
    buyer: str
    lines: tuple[TicketLine, ...]
    total: Decimal
    deductions: tuple[Deduction, ...] = ()
    haul: str | None = None
    number: str = ""


@dataclass(frozen=True, slots=True)
class Paid:
    """Money that came in for a ticket."""

    buyer: str
    amount: Decimal
    ticket: str | None = None
    how: str = ""


@dataclass(frozen=True, slots=True)
class Spent:
    """Money that went out: fuel, blades, fees; below zero only where cash was rounded up."""

    what: str
    amount: Decimal
    category: str = "other"


@dataclass(frozen=True, slots=True)
class Worked:
    """Time, in whole minutes."""

    activity: Activity
    minutes: int
    find: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """One answer of the test key."""

    test: str
    answer: str


@dataclass(frozen=True, slots=True)
class Identified:
    """What `count` pieces alike turned out to be made of, where they came from and what the tests had said.

    `grade` is the bin they belong in, None where no grade takes them. It moves no mass: that is for `moved` to say.
    """

    material: str
    context: str
    count: int = 1
    grade: str | None = None
    answers: tuple[Said, ...] = ()
    mass_mg: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Ruled:
    """What a rule of this place says (`card` names the question), where that is written, and the day it was looked up.

    The latest word on a card counts.
    """

    card: str
    says: str
    source: str
    seen: dt.date


@dataclass(frozen=True, slots=True)
class Corrected:
    """One earlier event does not count; `instead`, where given, is the id of the event that does."""

    event: UUID
    why: str = ""
    instead: UUID | None = None


Payload = (
    Found | Tested | Weighed | Opened | Binned | Recounted | Moved | Parted | Discarded | Traded | Quoted | Set
    | Hauled | Ticketed | Paid | Spent | Worked | Identified | Ruled | Corrected
)  # fmt: skip
PAYLOADS: dict[str, type[Payload]] = {
    "found": Found,
    "tested": Tested,
    "weighed": Weighed,
    "opened": Opened,
    "binned": Binned,
    "recounted": Recounted,
    "moved": Moved,
    "sold": Parted,
    "discarded": Discarded,
    "traded": Traded,
    "quoted": Quoted,
    "set": Set,
    "hauled": Hauled,
    "ticketed": Ticketed,
    "paid": Paid,
    "spent": Spent,
    "worked": Worked,
    "identified": Identified,
    "ruled": Ruled,
    "corrected": Corrected,
}
KINDS = {payload: kind for kind, payload in PAYLOADS.items()}
