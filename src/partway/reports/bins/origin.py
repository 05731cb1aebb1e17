"""Where what is in bins came from, for a yard that asks: what, when and where from, so far as the ledger knows."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from partway.catalogue import shipped
from partway.catalogue.cards import CautionCard, cards_of_grades
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.events.effects import LOSS, OUTSIDE
from partway.ledger.events.meaning import REGRADED
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.reports.books.conflicts import mark_of
from partway.reports.called import Called
from partway.valuing.bin_age import by_bin
from partway.valuing.origins import CameFrom, origins
from partway.valuing.trips.rounds import rounds_made

HOW = {  # what comes from no find, bin or buyer, by where the ledger has it from
    OUTSIDE: "In the bin before this ledger began",
    LOSS: "More by the scale than was written down",
    REGRADED: "From a bin of another grade",
}


@dataclass(frozen=True, slots=True)
class OriginLine:
    """Milligrams of a bin and what they came from: `what`, with its `model`; `found` on a day, "" where that is not
    known; `places` are what was said of where; `binned` the days on which it went into the bin.
    """

    what: str
    model: str
    found: str
    places: tuple[str, ...]
    binned: tuple[str, str]
    mg: int


@dataclass(frozen=True, slots=True)
class BinOrigin:
    """A bin, `mg` of a grade, with its lines; of `untold_mg` the ledger has no movement. `doubt`: why it is so."""

    bin: str
    name: str
    grade_name: str
    mg: int
    lines: tuple[OriginLine, ...]
    untold_mg: int
    doubt: str


@dataclass(frozen=True, slots=True)
class OriginSheet:
    """The bins asked for, and what can hurt about what is in them."""

    on: str
    cautions: tuple[CautionCard, ...]
    bins: tuple[BinOrigin, ...]

    @property
    def mg(self) -> int:
        """All of them together."""
        return sum(one.mg for one in self.bins)


def report_origins(book: Book, only: Collection[str], now: dt.datetime) -> OriginSheet:
    """The sheet of the bins `only`, or of all with something in them. Raises Refused where nothing is in any."""
    bins = [one for one in standing.bins(book).values() if one.mg > 0 and (not only or one.id in only)]
    if not bins:
        raise Refused("no bin with anything in it", "a bin that holds something", "bin")
    teller = _Teller(book, now)
    return OriginSheet(
        on=now.date().isoformat(),
        cautions=cards_of_grades(one.grade for one in bins),
        bins=tuple(teller.bin(one) for one in bins),
    )


class _Teller:
    """Asks the ledger once for all bins."""

    def __init__(self, book: Book, now: dt.datetime) -> None:
        self.zone = now.tzinfo
        self.called = Called(book, now.date(), self.zone)
        self.flows = by_bin(book.flows("bin:"))
        self.finds: dict[str, dict[str, str]] = defaultdict(dict)
        for (subject, name), value in book.facts("find:").items():
            self.finds[subject[5:]][name] = value
        self.round_of = {find: made.where for made in rounds_made(book) for find in made.finds}

    def bin(self, one: BinNow) -> BinOrigin:
        found, untold = origins(self.flows.get(one.id, []), one.id, one.mg, self.zone)
        grade = shipped().grades.get(one.grade)
        return BinOrigin(
            bin=one.id,
            name=self.called.bin(one.id),
            grade_name=grade.name if grade else one.grade,
            mg=one.mg,
            lines=tuple(map(self._line, found)),
            untold_mg=untold,
            doubt=mark_of(one.conflict),
        )

    def _line(self, origin: CameFrom) -> OriginLine:
        sort, _, name = origin.source.partition(":")
        days = (origin.first.isoformat(), origin.last.isoformat())
        if sort == "find" and name in self.finds:
            of = self.finds[name]
            places = dict.fromkeys(text for text in (of.get("source", ""), self.round_of.get(name, "")) if text)
            return OriginLine(self._find(of), of.get("model", ""), self._day(of), tuple(places), days, origin.mg)
        from_bin = "the bin " if sort == "bin" else ""
        what = (
            f"From {from_bin}{self.called.place(origin.source)}" if name else HOW.get(origin.source, "Not written down")
        )
        return OriginLine(what, "", "", (), days, origin.mg)

    def _find(self, of: Mapping[str, str]) -> str:
        name, count = self.called.kind(of.get("kind", "")), of.get("count", "1")
        return name[:1].upper() + name[1:] + (f", {count} of them" if count != "1" else "")

    def _day(self, of: Mapping[str, str]) -> str:
        return day_of(dt.datetime.fromisoformat(of["found"]), self.zone).isoformat() if "found" in of else ""
