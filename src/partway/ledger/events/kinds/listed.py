"""A thing is put on offer by the unit, its price is cut, it is taken down, and one that was sold comes back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar
from uuid import UUID

from partway.ledger.events.effects import PEOPLE, Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.fields import Bad
from partway.ledger.events.meaning import EXACT, entries, moves
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import decimal_text
from partway.ledger.events.sorts import (
    BinId,
    Count,
    FindId,
    GradeId,
    Id,
    ListingId,
    Mass,
    Minutes,
    Outlay,
    Sort,
    Text,
)


def listing_facts(listing: str | None, **said: str) -> tuple[Fact, ...]:
    """Words on a listing; nothing where none is named."""
    return () if listing is None else tuple(Fact(f"listing:{listing}", name, value) for name, value in said.items())


@dataclass(frozen=True, slots=True)
class Listed(Payload):
    """Units of a find put on offer: the whole of it, or a piece (`what`), at `asking` each.

    `part` is by which name of the catalogue it is offered. It stays where it is: in the find or, taken out before, in
    `bin`. `minutes` went into writing the offer.
    """

    KIND: ClassVar[str] = "listed"
    WORDS: ClassVar[str] = (
        "{listing}: [{count} × ]{what} of {find}[, from {bin},] on offer at {asking}[, {where}][, {minutes}][ ({note})]"
    )
    MAKES: ClassVar[str] = "listing"

    listing: ListingId
    find: FindId
    what: Id
    count: Count
    asking: Outlay
    where: Text = ""
    part: Text = ""
    bin: BinId | None = None
    minutes: Minutes = 0
    note: Text = ""

    def effects(self, event: Event) -> Effects:
        """The words on what is asked; the minutes. No mass moves."""
        return Effects(
            facts=listing_facts(self.listing, asking=decimal_text(self.asking), count=str(self.count)),
            entries=entries(("minutes:list", Decimal(self.minutes), self.find)),
        )


@dataclass(frozen=True, slots=True)
class AskedAnew(Payload):
    """Another price is asked from now on, each."""

    KIND: ClassVar[str] = "repriced"
    WORDS: ClassVar[str] = "{listing} now at {asking}"
    RESTS: ClassVar[bool] = True

    listing: ListingId
    asking: Outlay

    def effects(self, event: Event) -> Effects:
        """The word on what is asked."""
        return Effects(facts=listing_facts(self.listing, asking=decimal_text(self.asking)))


@dataclass(frozen=True, slots=True)
class TakenDown(Payload):
    """Units that are on offer no longer, unsold."""

    KIND: ClassVar[str] = "taken-down"
    WORDS: ClassVar[str] = "{listing} taken down[: {count}][ ({note})]"
    RESTS: ClassVar[bool] = True

    listing: ListingId
    count: Count
    note: Text = ""

    def effects(self, event: Event) -> Effects:
        """The word that it is down."""
        return Effects(facts=listing_facts(self.listing, down="yes"))


@dataclass(frozen=True, slots=True)
class Returned(Payload):
    """Units sold before come back: `refund` is all the money that went back, `postage` what that cost.

    They lie in the find they were of, which is there again if nothing was left of it; or, where it is named, in a
    `bin` that holds `grade`. With a `listing` they are on offer again.
    """

    KIND: ClassVar[str] = "returned"
    WORDS: ClassVar[str] = (
        "[{count} × ]{what} of {find} came back[, {mass_mg}][ into {bin}], {refund} paid back[; on offer by {listing}]"
    )
    RESTS: ClassVar[bool] = True

    sale: Annotated[UUID, Sort(names="event")]
    find: FindId
    what: Text
    count: Count
    mass_mg: Mass
    refund: Outlay
    postage: Outlay = Decimal(0)
    bin: BinId | None = None
    grade: GradeId | None = None
    listing: ListingId | None = None

    def check(self) -> None:
        """A bin holds a grade, and a grade needs a bin."""
        if (self.bin is None) != (self.grade is None):
            raise Bad(self.grade, "a bin and the grade it holds, or neither", "grade")

    def effects(self, event: Event) -> Effects:
        """Its mass from people to where it lies; the money that went back."""
        find = f"find:{self.find}"
        place, grade = (find, "") if self.bin is None else (f"bin:{self.bin}", self.grade or "")
        there = (Fact(find, "closed", "no"),) if self.bin is None else ()
        return Effects(
            moves=moves((PEOPLE, place, grade, self.mass_mg)),
            facts=(*there, *listing_facts(self.listing, returned="yes")),
            entries=entries(
                ("parts", EXACT.minus(self.refund), self.find), ("parts-postage", EXACT.minus(self.postage), self.find)
            ),
        )
