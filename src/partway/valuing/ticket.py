"""One ticket held against one's own scale, the plan and the quote in force: the only place that does so."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, cast

from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.days import day_of
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Hauled, Paid, Ticketed, TicketLine, Traded
from partway.ledger.fold import standing
from partway.quantities import MG_PER_KG, kg_per, parse_mass
from partway.things.buyers import takes
from partway.things.currencies import smallest
from partway.things.material import Grade
from partway.valuing.planned_lots import PlannedLot, lots_for, planned_in
from partway.valuing.price_book import quote_for

TINY = Decimal("0.0005")  # of a price: planned ones are kept to four decimals

What = Literal["short", "below-quote", "below-plan", "amount", "not-planned", "refused"]


@dataclass(frozen=True, slots=True)
class Doubt:
    """What a line has against it, and the money it is about, where that is known."""

    what: What
    money: Decimal | None


@dataclass(frozen=True, slots=True)
class LineSeen:
    """A line as printed, against one's own scale, the plan and the quote (both per `unit`).

    `short_mg` is by how much the yard's net is below one's own mass.
    """

    grade: str
    name: str
    bin: str
    mass_mg: int
    own_mg: int
    short_mg: int
    planned_mg: int | None
    price: Decimal
    unit: str
    quoted: Decimal | None
    amount: Decimal
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class TicketSeen:
    """A ticket; `gap` is by how much its total differs from its lines less deductions."""

    ticket: str
    number: str
    lines: tuple[LineSeen, ...]
    deductions: tuple[tuple[str, Decimal], ...]
    total: Decimal
    gap: Decimal
    paid: Decimal
    open: Decimal


def audit(book: Book, event: Event, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> TicketSeen:
    """The ticket of an event, held against what was known when it was printed; days are those of the zone."""
    ticket = cast(Ticketed, event.what)
    reader = _Reader.of(book, event, grades, zone)
    came = [e.what for e in counting(book, book.events(("paid",), f"ticket:{ticket.ticket}"))]
    paid = sum((p.amount for p in came if isinstance(p, Paid)), Decimal(0))
    return TicketSeen(
        ticket=ticket.ticket,
        number=ticket.number,
        lines=tuple(reader.line(line) for line in ticket.lines),
        deductions=tuple((d.what, d.amount) for d in ticket.deductions),
        total=ticket.total,
        gap=gap_of(ticket),
        paid=paid,
        open=ticket.total - paid,
    )


def counting(book: Book, events: Iterable[Event]) -> list[Event]:
    """Those of some events that count."""
    voided = book.voided()
    return [event for event in events if event.id not in voided]


def gap_of(ticket: Ticketed) -> Decimal:
    """By how much a total differs from its lines less deductions."""
    taken = sum((d.amount for d in ticket.deductions), Decimal(0))
    return ticket.total - (sum((line.amount for line in ticket.lines), Decimal(0)) - taken)


def amount_off(line: TicketLine, currency: str) -> Decimal | None:
    """By how much an amount differs from mass times price; None within the coin that rounding explains."""
    off = line.amount - worked_out(line.mass_mg, line.price, line.unit, currency)
    return off if abs(off) > smallest(currency) else None


def worked_out(mass_mg: int, price: Decimal, unit: str, currency: str) -> Decimal:
    """What a mass makes at a price per unit, in whole coins, halves up as tickets round."""
    amount = Decimal(mass_mg) / MG_PER_KG / kg_per(unit) * price
    return amount.quantize(smallest(currency), rounding="ROUND_HALF_UP")


@dataclass(frozen=True)
class _Reader:
    """Holds lines against the plan, the quotes and the terms of one buyer as they were."""

    book: Book
    event: Event
    grades: Mapping[str, Grade]
    zone: dt.tzinfo | None
    lots: tuple[PlannedLot, ...]
    terms: Traded | None
    currency: str
    division_mg: int

    @classmethod
    def of(cls, book: Book, event: Event, grades: Mapping[str, Grade], zone: dt.tzinfo | None) -> _Reader:
        ticket, settings = cast(Ticketed, event.what), standing.settings(book)
        division = settings.get("division")
        division_mg = 0 if division is None else round(parse_mass(division, "division") * MG_PER_KG)
        lots = tuple(lots_for(_planned(book, ticket.haul), ticket.buyer))
        terms = trading.terms_on(book, ticket.buyer, event)
        return cls(book, event, grades, zone, lots, terms, settings.get("currency", "XXX"), division_mg)

    def line(self, line: TicketLine) -> LineSeen:
        """One line with what is doubtful about it."""
        buyer = cast(Ticketed, self.event.what).buyer
        planned = next((lot for lot in self.lots if lot.grade == line.grade), None)
        day = day_of(self.event.happened, self.zone)
        quote = quote_for(self.book, buyer, line.grade, line.mass_mg, day, self.event)
        known = self.grades.get(line.grade)
        quoted = None if quote is None or quote.price is None else _per(quote.price, quote.unit, line.unit)
        return LineSeen(
            grade=line.grade,
            name=known.name if known else line.grade,
            bin=line.bin,
            mass_mg=line.mass_mg,
            own_mg=line.own_mg,
            short_mg=line.own_mg - line.mass_mg,
            planned_mg=planned.mass_mg if planned else None,
            price=line.price,
            unit=line.unit,
            quoted=quoted,
            amount=line.amount,
            doubts=tuple(self._doubts(line, planned, quoted)),
        )

    def _doubts(self, line: TicketLine, planned: PlannedLot | None, quoted: Decimal | None) -> Iterable[Doubt]:
        short = line.own_mg - line.mass_mg
        if short > self.division_mg:
            yield Doubt("short", worked_out(short, line.price, line.unit, self.currency))
        wanted = None if planned is None else _per(planned.price, planned.unit, line.unit)
        promised: tuple[tuple[What, Decimal | None], ...] = (("below-quote", quoted), ("below-plan", wanted))
        for what, price in promised:
            if price is not None and price - line.price > TINY:
                yield Doubt(what, worked_out(line.mass_mg, price - line.price, line.unit, self.currency))
        off = amount_off(line, self.currency)
        if off is not None:
            yield Doubt("amount", off)
        if planned is None and self.lots:
            yield Doubt("not-planned", None)
        grade = self.grades.get(line.grade)
        if grade and self.terms and not takes(self.terms, grade):
            yield Doubt("refused", None)


def _planned(book: Book, haul: str | None) -> tuple[PlannedLot, ...]:
    """The lots that a haul set out with."""
    told = counting(book, book.events(("hauled",), f"haul:{haul}")) if haul else []
    notes = [event.what.note for event in told if isinstance(event.what, Hauled)]
    return tuple(planned_in(notes[0])) if notes else ()


def _per(price: Decimal, unit: str, wanted: str) -> Decimal:
    """A price per one unit as it is per another."""
    return price / kg_per(unit) * kg_per(wanted)
