"""The loads of the hauls under way: the lots that a note names, else what was in the bins when a haul set out.

The same bin is promised once: of two hauls that are under way, the one that set out first has it.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import cast

from partway.formulas.ticket_fees import left_of
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Hauled, Quoted, Ticketed, Traded
from partway.ledger.fold import standing
from partway.quantities import kg_per
from partway.things.buyers import takes
from partway.things.material import Grade
from partway.valuing.planned_lots import PlannedLot, planned_in
from partway.valuing.price_book import quote_for

ROUNDED_MG = 1_000  # a note writes a lot to the gram, or to the thousandth of a pound


@dataclass(frozen=True, slots=True)
class TakenLot:
    """What is on board of a grade for one buyer; `price` is per one `unit`.

    The haul set out for `short_mg` more, which the hauls `held_by` had taken along before it. `whole`: it is all that
    was in the bins of that grade, as one's own scale had it.
    """

    buyer: str
    grade: str
    mass_mg: int
    price: Decimal
    unit: str
    short_mg: int = 0
    held_by: tuple[str, ...] = ()
    whole: bool = False


@dataclass(frozen=True, slots=True)
class HaulLoad:
    """A haul and its lots; `planned`: its note names them. `handed_mg` left its bins on its tickets, by grade."""

    haul: str
    planned: bool
    lots: tuple[TakenLot, ...]
    handed_mg: Mapping[str, int]

    def left_mg(self) -> Counter[str]:
        """What is still on board, by grade."""
        took: Counter[str] = Counter()
        for lot in self.lots:
            took[lot.grade] += lot.mass_mg
        return +(took - Counter(self.handed_mg))


def counting(book: Book, events: Iterable[Event]) -> list[Event]:
    """Those of some events that count."""
    voided = book.voided()
    return [event for event in events if event.id not in voided]


def loads(book: Book, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> dict[str, HaulLoad]:
    """The hauls that are under way, in the order in which they set out; days are those of the zone."""
    going = trading.started(book)
    starts = sorted(
        (counting(book, book.events(("hauled",), f"haul:{haul}"))[0] for haul in going), key=lambda e: e.position
    )
    found: dict[str, HaulLoad] = {}
    if starts:
        reader = _Reader(book, grades, zone, starts[0])
        for start in starts:
            load = reader.load(start, list(found.values()))
            found[load.haul] = load
    return found


def as_planned(lot: PlannedLot) -> TakenLot:
    """A lot of a note, all of it taken along."""
    return TakenLot(lot.buyer, lot.grade, lot.mass_mg, lot.price, lot.unit)


class _Reader:
    """Reads the loads of hauls, `first` being the one that set out before the others."""

    def __init__(self, book: Book, grades: Mapping[str, Grade], zone: dt.tzinfo | None, first: Event) -> None:
        self.book, self.grades, self.zone = book, grades, zone
        self.terms: dict[str, Traded] = trading.buyers(book)
        self.bin_grades = {now.id: now.grade for now in standing.bins(book).values()}
        self.flows = list(book.flows("bin:", first.happened))
        since = counting(book, book.events(("hauled",), since=first.happened))
        self.over = {e.what.haul: e for e in since if isinstance(e.what, Hauled) and e.what.status == "finished"}
        self.begun = {e.what.haul: e for e in since if isinstance(e.what, Hauled) and e.what.status == "started"}

    def load(self, start: Event, before: Sequence[HaulLoad]) -> HaulLoad:
        """One haul, those `before` it having set out earlier."""
        set_out = cast(Hauled, start.what)
        lots, held = planned_in(set_out.note), self._held(start, before)
        there = self._in_bins(start)
        found = self._of_plan(lots, there, held) if lots else self._of_bins(start, there, held)
        return HaulLoad(set_out.haul, bool(lots), tuple(found), self._handed(set_out.haul))

    def _handed(self, haul: str, since: Event | None = None) -> Counter[str]:
        """What left the bins on a haul's tickets, by the grade it was brought as."""
        handed: Counter[str] = Counter()
        for event in counting(self.book, self.book.events(("ticketed",), f"haul:{haul}")):
            if isinstance(event.what, Ticketed) and (since is None or event.position > since.position):
                for line in event.what.lines:
                    handed[self.bin_grades.get(line.bin, line.grade)] += line.own_mg
        return handed

    def _held(self, start: Event, before: Sequence[HaulLoad]) -> dict[str, dict[str, int]]:
        """What other hauls had on board when one set out, by grade and haul.

        Of a haul that is over by now it is what it handed over after that: then it is known what it had.
        """
        held: dict[str, dict[str, int]] = defaultdict(dict)
        for load in before:
            gone = Counter(load.handed_mg) - self._handed(load.haul, start)
            took: Counter[str] = Counter()
            for lot in load.lots:
                took[lot.grade] += lot.mass_mg
            for grade, mg in (took - gone).items():
                held[grade][load.haul] = mg
        for haul, end in self.over.items():
            begun = self.begun.get(haul)
            if end.position > start.position and (begun is None or begun.position < start.position):
                for grade, mg in self._handed(haul, start).items():
                    held[grade][haul] = mg
        return held

    def _in_bins(self, start: Event) -> Counter[str]:
        """What was in the bins when a haul set out, by grade: what is there now less all that moved since."""
        there: Counter[str] = Counter()
        for (_, grade), mg in self.book.balances("bin:").items():
            there[grade] += mg
        for flow in self.flows:
            if (flow.order, flow.event) > start.position:
                there[flow.move.grade] -= flow.move.mg * flow.move.target.startswith("bin:")
                there[flow.move.grade] += flow.move.mg * flow.move.source.startswith("bin:")
        return +there

    def _of_plan(
        self, lots: Sequence[PlannedLot], there: Counter[str], held: Mapping[str, Mapping[str, int]]
    ) -> Iterable[TakenLot]:
        """The lots of its note, less what a haul before it has of the same bins. What is in no bin is no haul's."""
        wanted: Counter[str] = Counter()
        for lot in lots:
            others = held.get(lot.grade, {})
            wanted[lot.grade] += lot.mass_mg
            over = wanted[lot.grade] - max(0, there[lot.grade] - sum(others.values()))
            short = min(over, lot.mass_mg, sum(others.values())) if over > ROUNDED_MG else 0
            taken = replace(as_planned(lot), whole=abs(there[lot.grade] - lot.mass_mg) <= ROUNDED_MG)
            if short > 0:
                taken = replace(taken, mass_mg=lot.mass_mg - short, short_mg=short, held_by=tuple(others))
                wanted[lot.grade] -= short
            yield taken

    def _of_bins(self, start: Event, there: Counter[str], held: Mapping[str, Mapping[str, int]]) -> Iterable[TakenLot]:
        """All that was in the bins of what its stops quote and no other haul had, each for the stop that pays most."""
        for grade, mg in sorted(there.items()):
            others = held.get(grade, {})
            free = max(0, mg - sum(others.values()))
            quoted = [(buyer, self._quote(start, buyer, grade, free or mg)) for buyer in cast(Hauled, start.what).stops]
            paying = [(buyer, quote) for buyer, quote in quoted if quote is not None and quote.price is not None]
            if paying:
                buyer, quote = max(paying, key=lambda one: self._left(*one))
                price = quote.price or Decimal(0)
                short, by = mg - free, tuple(others) if mg > free else ()
                yield TakenLot(buyer, grade, free, price, quote.unit, short, by, whole=not short)

    def _left(self, buyer: str, quote: Quoted) -> Decimal:
        """What a price leaves per kg once the buyer has kept back its share of the ticket."""
        return left_of((quote.price or Decimal(0)) / kg_per(quote.unit), self.terms[buyer].ticket_share)

    def _quote(self, start: Event, buyer: str, grade: str, mg: int) -> Quoted | None:
        known, terms = self.grades.get(grade), self.terms.get(buyer)
        if known is None or terms is None or not takes(terms, known):
            return None
        return quote_for(self.book, buyer, grade, mg, day_of(start.happened, self.zone), start)
