"""A find leaves by other ways than a yard: sold to somebody, whole or in parts, or given up."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar

from partway.ledger.events.effects import PEOPLE, RESIDUE, Effects
from partway.ledger.events.event import Event
from partway.ledger.events.fields import Bad
from partway.ledger.events.kinds.listed import listing_facts
from partway.ledger.events.meaning import EXACT, closed, entries, moves, top_up
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import (
    BinId,
    Count,
    FindId,
    GradeId,
    ListingId,
    Mass,
    MassBefore,
    Minutes,
    Outlay,
    Since,
    Text,
)


@dataclass(frozen=True, slots=True)
class Parted(Payload):
    """A part or a whole find sold by the unit, to somebody who is not in the buyers' list.

    `listing` is the offer it was sold by. What was taken out before lies in a `bin` that holds `grade`: `was_mg` is
    what the ledger had there, and the find gives up nothing.
    """

    KIND: ClassVar[str] = "sold"
    WORDS: ClassVar[str] = "[{count} × ]{what} of {find}[ in {bin}] sold at {price}[, by {listing}]"
    RESTS: ClassVar[bool] = True

    find: FindId
    what: Text
    count: Count
    mass_mg: Mass
    was_mg: MassBefore
    price: Outlay
    fee: Outlay = Decimal(0)
    postage: Outlay = Decimal(0)
    minutes: Minutes = 0
    closes: bool = False
    listing: Annotated[ListingId, Since(5)] | None = None
    bin: Annotated[BinId, Since(5)] | None = None
    grade: Annotated[GradeId, Since(5)] | None = None

    def check(self) -> None:
        """A bin holds a grade, and a grade needs a bin."""
        if (self.bin is None) != (self.grade is None):
            raise Bad(self.grade, "a bin and the grade it holds, or neither", "grade")

    def effects(self, event: Event) -> Effects:
        """Its mass to people; price, fee, postage and the minutes to list it."""
        find = f"find:{self.find}"
        out = [top_up(find, self.was_mg, self.mass_mg), (find, PEOPLE, "", self.mass_mg)]
        if self.bin is not None:
            out = [(f"bin:{self.bin}", PEOPLE, self.grade or "", self.mass_mg)]
        return Effects(
            moves=moves(*out),
            facts=(*closed(find, self.closes), *listing_facts(self.listing, sold="yes")),
            entries=entries(
                ("parts", EXACT.multiply(self.price, Decimal(self.count)), self.find),
                ("parts-fees", EXACT.minus(self.fee), self.find),
                ("parts-postage", EXACT.minus(self.postage), self.find),
                ("minutes:list", Decimal(self.minutes), self.find),
            ),
        )


@dataclass(frozen=True, slots=True)
class Discarded(Payload):
    """What is left of a find given up as residue."""

    KIND: ClassVar[str] = "discarded"
    WORDS: ClassVar[str] = "{find} given up, {mass_mg}"
    RESTS: ClassVar[bool] = True

    find: FindId
    mass_mg: Mass
    was_mg: MassBefore

    def effects(self, event: Event) -> Effects:
        """All of it to residue."""
        find = f"find:{self.find}"
        return Effects(
            moves=moves(top_up(find, self.was_mg, self.mass_mg), (find, RESIDUE, "", self.mass_mg)),
            facts=closed(find, True),
        )
