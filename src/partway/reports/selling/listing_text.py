"""A listing's text for a find or a piece of it, to paste anywhere: what the ledger knows and not a word more.

What nobody recorded is said to be unknown ("not tested"), so that nobody is promised what is not known.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from partway.catalogue import Catalogue
from partway.catalogue.cards import CautionCard, cards_by_hazard
from partway.catalogue.named import hazards_of
from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.days import day_of
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Opened, Tested
from partway.ledger.fold.standing import FindNow
from partway.ledger.offers import on_offer_now
from partway.reports.called import date_said
from partway.things.signs import NOT
from partway.things.traits import said_kind, shown_name

CONDITION = {"yes": "It works", "no": "It does not work"}
OF_PIECE = {"yes": "Out of one that worked", "no": "Out of one that did not work"}


class AsWritten(Protocol):
    """Masses and money as a workspace writes them."""

    def mass(self, mg: int) -> str:
        """A mass in milligrams."""
        ...

    def money(self, amount: Decimal | float) -> str:
        """An amount."""
        ...


@dataclass(frozen=True, slots=True)
class Offered:
    """What is offered, and what somebody says who packed it: the packed mass in milligrams, and the postage."""

    find: FindNow
    piece: str = ""
    packed_mg: int | None = None
    postage: Decimal | None = None


@dataclass(frozen=True, slots=True)
class ListingText:
    """The text of a listing, and what can hurt whoever has the thing in hand: shown first, and not in the text."""

    find: str
    piece: str
    cautions: tuple[CautionCard, ...]
    text: str


def listing_text(
    book: Book, known: Catalogue, offered: Offered, units: AsWritten, today: dt.date, zone: dt.tzinfo | None
) -> ListingText:
    """The text for a find, whole or a piece."""
    find = offered.find
    anatomy = known.anatomy(find.kind) if known.knows(find.kind) else None
    hazards = hazards_of(anatomy, known.grades) if anatomy else ()
    cards = cards_by_hazard(known.cautions, [(find.kind, hazards)])
    lines = _Lines(book, known, offered, units, today, zone)
    return ListingText(find.id, offered.piece, cards, "\n".join(lines.all()) + "\n")


@dataclass(frozen=True, slots=True)
class _Lines:
    book: Book
    known: Catalogue
    offered: Offered
    units: AsWritten
    today: dt.date
    zone: dt.tzinfo | None

    def all(self) -> Iterator[str]:
        """Line by line."""
        find, offered = self.offered.find, self.offered
        yield self._name()
        if find.model:
            yield (
                f"Its plate says: {find.model}." if not offered.piece else f"The plate of the whole said: {find.model}."
            )
        yield self._tested()
        if signs := self._signs():
            yield f"Seen on it: {signs}."
        yield self._mass()
        if offered.packed_mg is None:
            yield "Packed: not weighed yet."
        else:
            yield f"Packed: {self.units.mass(offered.packed_mg)}."
        if offered.postage is None:
            yield "Postage: not worked out yet."
        else:
            yield f"Postage: {self.units.money(offered.postage)}."
        if (asking := self._asking()) is not None:
            yield f"Price: {self.units.money(asking)}."

    def _name(self) -> str:
        find, piece = self.offered.find, self.offered.piece
        anatomy = self.known.anatomy(find.kind) if self.known.knows(find.kind) else None
        whole = anatomy.name if anatomy else shown_name(said_kind(find.kind))
        if not piece or anatomy is None:
            return whole
        name = next((one.name for one in anatomy.pieces if one.id == piece), piece)
        return f"{name}, out of: {whole}"

    def _tested(self) -> str:
        """How it was tested: by a test of one's own on a day, by what was said when it was found, or not at all."""
        find, words = self.offered.find, OF_PIECE if self.offered.piece else CONDITION
        if find.works not in words:
            return "Not tested."
        tests = [event for event in self._counting("tested") if isinstance(event.what, Tested)]
        said = words[find.works]
        alone = " The piece by itself was not tested." if self.offered.piece else ""
        if tests and isinstance(last := tests[-1].what, Tested) and last.works == find.works:
            return f"{said}, tested on {self._day(tests[-1].happened)}.{alone}"
        return f"{said} by what was noted on {self._day(find.found)}; not tested since.{alone}"

    def _signs(self) -> str:
        named = self.known.signs.signs
        seen = [sign for sign in self.offered.find.signs.split() if not sign.startswith(NOT)]
        return "; ".join(named[sign].name if sign in named else sign.replace("-", " ") for sign in seen)

    def _mass(self) -> str:
        """What the scale said of it; of a piece that came out with others alike, what one is on average."""
        find, piece = self.offered.find, self.offered.piece
        if not piece:
            return f"Mass: {self.units.mass(find.mg // find.count)}." if find.mg else "Mass: not weighed."
        out = [
            one
            for event in self._counting("opened")
            if isinstance(event.what, Opened)
            for one in event.what.pieces
            if one.piece == piece and one.mass_mg
        ]
        mg, count = sum(one.mass_mg for one in out), sum(one.count for one in out)
        return f"Mass: {self.units.mass(mg // count)}." if count else "Mass: not weighed."

    def _asking(self) -> Decimal | None:
        """What is asked for it, where it is on offer."""
        find, piece = self.offered.find, self.offered.piece
        whole = self.known.anatomy(find.kind).whole.id if self.known.knows(find.kind) else ""
        there = [one for one in on_offer_now(self.book) if one.find == find.id]
        return next((one.asking for one in there if one.what == (piece or whole)), None)

    def _counting(self, kind: str) -> list[Event]:
        return list(counting(self.book, (kind,), f"find:{self.offered.find.id}"))

    def _day(self, when: dt.datetime) -> str:
        return date_said(day_of(when, self.zone), self.today)
