"""A haul under way: at each stop what its ticket should say, and what the tickets that came did say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from partway.ledger import standing, trading
from partway.ledger.book import Book
from partway.ledger.events import Event
from partway.ledger.payloads import Hauled, Paid, Quoted, Ticketed, TicketLine, Traded
from partway.ledger.standing import BinNow
from partway.quantities import IN_THOUSANDTHS, MG_PER_KG, WHOLE_UNITS_ONLY, kg_per, parse_mass
from partway.reports.planned_lots import PlannedLot, lots_for, planned_in
from partway.things.material import Grade

LOOK_BACK = 4  # events for each haul that is listed: its start, its end, and some corrections
TINY = Decimal("0.0005")  # of a price: planned ones are kept to four decimals

What = Literal["short", "below-quote", "below-plan", "amount", "not-planned"]


@dataclass(frozen=True, slots=True)
class ExpectedLine:
    """A line that a ticket should have. `planned_mg` is None where no plan said so: then it is what is in the bin.

    `bin` is empty where several hold the grade, or none; `price` is None where nobody said one.
    """

    grade: str
    name: str
    bin: str
    in_bin_mg: int
    planned_mg: int | None
    price: Decimal | None
    unit: str
    amount: Decimal | None
    hazards: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Doubt:
    """What a line has against it, and the money it is about, where that is known."""

    what: What
    money: Decimal | None


@dataclass(frozen=True, slots=True)
class LineSeen:
    """A line as printed, against one's own scale, the plan and the quote (both per `unit`)."""

    grade: str
    name: str
    bin: str
    mass_mg: int
    own_mg: int
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


@dataclass(frozen=True, slots=True)
class StopNow:
    """One stop of the haul; `expected` sums what its ticket should come to, as far as prices are known."""

    turn: int
    buyer: str
    name: str
    lines: tuple[ExpectedLine, ...]
    expected: Decimal
    tickets: tuple[TicketSeen, ...]


@dataclass(frozen=True, slots=True)
class HaulSheet:
    """A haul; `planned` says that a plan's lots came with it. `printed` and `paid` are sums over its tickets."""

    haul: str
    status: str
    started: dt.datetime
    km: Decimal | None
    minutes: int | None
    planned: bool
    stops: tuple[StopNow, ...]
    expected: Decimal
    printed: Decimal
    paid: Decimal


@dataclass(frozen=True, slots=True)
class HaulLine:
    """A haul that is over."""

    haul: str
    finished: dt.datetime
    stops: tuple[str, ...]
    km: Decimal | None
    minutes: int | None


def haul_lines(book: Book, most: int) -> tuple[HaulLine, ...]:
    """The hauls finished last, newest first; looked for among the events typed last."""
    events = book.newest(LOOK_BACK * most, kinds=("hauled",))
    found: dict[str, HaulLine] = {}
    for event in _counting(book, events):
        what = event.what
        if isinstance(what, Hauled) and what.status == "finished":
            found.setdefault(what.haul, HaulLine(what.haul, event.happened, what.stops, what.km, what.minutes))
    return tuple(found.values())[:most]


def haul_sheet(book: Book, haul: str, grades: Mapping[str, Grade]) -> HaulSheet | None:
    """The haul as it stands; None where there is none of that id."""
    told = _counting(book, book.events(("hauled",), f"haul:{haul}"))
    hauled = [(event, event.what) for event in told if isinstance(event.what, Hauled)]
    if not hauled:
        return None
    (first, begun), (_, last) = hauled[0], hauled[-1]
    lots = planned_in(begun.note)
    reader = _Reader(book, grades, lots)
    printed = _counting(book, book.events(("ticketed",), f"haul:{haul}"))
    tickets = [(event.happened.date(), event.what) for event in printed if isinstance(event.what, Ticketed)]
    route = list(dict.fromkeys([*begun.stops, *(ticket.buyer for _, ticket in tickets)]))
    stops = tuple(reader.stop(n, b, [t for t in tickets if t[1].buyer == b]) for n, b in enumerate(route, start=1))
    return HaulSheet(
        haul=haul,
        status=last.status,
        started=first.happened,
        km=last.km,
        minutes=last.minutes,
        planned=bool(lots),
        stops=stops,
        expected=sum((stop.expected for stop in stops), Decimal(0)),
        printed=sum((ticket.total for _, ticket in tickets), Decimal(0)),
        paid=sum((t.paid for stop in stops for t in stop.tickets), Decimal(0)),
    )


def _counting(book: Book, events: Iterable[Event]) -> list[Event]:
    voided = book.voided()
    return [event for event in events if event.id not in voided]


def worked_out(mass_mg: int, price: Decimal, unit: str, currency: str) -> Decimal:
    """What a mass makes at a price per unit, in whole coins, halves up as tickets round."""
    amount = Decimal(mass_mg) / MG_PER_KG / kg_per(unit) * price
    return amount.quantize(_coin(currency), rounding="ROUND_HALF_UP")


def _coin(currency: str) -> Decimal:
    return Decimal(1).scaleb(-(0 if currency in WHOLE_UNITS_ONLY else 3 if currency in IN_THOUSANDTHS else 2))


class _Reader:
    """Reads stops and tickets against the bins, the quotes and the plan."""

    def __init__(self, book: Book, grades: Mapping[str, Grade], lots: Sequence[PlannedLot]) -> None:
        self.book, self.grades, self.lots = book, grades, lots
        settings = standing.settings(book)
        self.currency = settings.get("currency", "XXX")
        division = settings.get("division")
        self.division_mg = 0 if division is None else round(parse_mass(division, "division") * MG_PER_KG)
        self.bins, self.buyers = standing.bins(book), trading.buyers(book)

    def stop(self, turn: int, buyer: str, tickets: Sequence[tuple[dt.date, Ticketed]]) -> StopNow:
        """One stop with its tickets."""
        lines = self.expected(buyer)
        known = self.buyers.get(buyer)
        name = (known.name if known else "") or buyer.replace("-", " ")
        amounts = [line.amount for line in lines if line.amount is not None]
        seen = tuple(self._ticket(day, ticket) for day, ticket in tickets)
        return StopNow(turn, buyer, name, lines, sum(amounts, Decimal(0)), seen)

    def expected(self, buyer: str) -> tuple[ExpectedLine, ...]:
        """What was planned for a buyer, or else what is in the bins of what it quotes."""
        lots = lots_for(self.lots, buyer)
        if lots:
            return tuple(self._line(lot.grade, lot.mass_mg, lot.price, lot.unit) for lot in lots)
        found = []
        for grade in dict.fromkeys(b.grade for b in self.bins.values() if b.mg > 0):
            quote = self._quote(buyer, grade, sum(b.mg for b in self._holding(grade)))
            if quote is not None and quote.price is not None and not self._refused(self.buyers.get(buyer), grade):
                found.append(self._line(grade, None, quote.price, quote.unit))
        return tuple(found)

    def _refused(self, buyer: Traded | None, grade: str) -> bool:
        known = self.grades.get(grade)
        if buyer is None or known is None:
            return True
        return bool({known.id, known.family, *known.hazards} & set(buyer.refuses))

    def _holding(self, grade: str) -> list[BinNow]:
        return [b for b in self.bins.values() if b.grade == grade and b.mg > 0]

    def _line(self, grade: str, planned_mg: int | None, price: Decimal, unit: str) -> ExpectedLine:
        holding = self._holding(grade)
        there = sum(b.mg for b in holding)
        mass = there if planned_mg is None else planned_mg
        known = self.grades.get(grade)
        return ExpectedLine(
            grade=grade,
            name=known.name if known else grade,
            bin=holding[0].id if len(holding) == 1 else "",
            in_bin_mg=there,
            planned_mg=planned_mg,
            price=price,
            unit=unit,
            amount=worked_out(mass, price, unit, self.currency),
            hazards=known.hazards if known else (),
        )

    def _quote(self, buyer: str, grade: str, mass_mg: int, by: dt.date = dt.date.max) -> Quoted | None:
        """The quote for a lot of that size, unless it was heard after a day."""
        heard = [q for q in trading.quotes(self.book, buyer, grade) if q.from_mg <= mass_mg and q.on <= by]
        return max((q for q in heard if q.price is not None), key=lambda quote: quote.from_mg, default=None)

    def _ticket(self, day: dt.date, ticket: Ticketed) -> TicketSeen:
        taken = sum((d.amount for d in ticket.deductions), Decimal(0))
        lines = sum((line.amount for line in ticket.lines), Decimal(0))
        came = [e.what for e in _counting(self.book, self.book.events(("paid",), f"ticket:{ticket.ticket}"))]
        paid = sum((p.amount for p in came if isinstance(p, Paid)), Decimal(0))
        return TicketSeen(
            ticket=ticket.ticket,
            number=ticket.number,
            lines=tuple(self._seen(day, ticket.buyer, line) for line in ticket.lines),
            deductions=tuple((d.what, d.amount) for d in ticket.deductions),
            total=ticket.total,
            gap=ticket.total - (lines - taken),
            paid=paid,
            open=ticket.total - paid,
        )

    def _seen(self, day: dt.date, buyer: str, line: TicketLine) -> LineSeen:
        planned = next((lot for lot in lots_for(self.lots, buyer) if lot.grade == line.grade), None)
        quote = self._quote(buyer, line.grade, line.mass_mg, day)
        known = self.grades.get(line.grade)
        quoted = None if quote is None or quote.price is None else _per(quote.price, quote.unit, line.unit)
        return LineSeen(
            grade=line.grade,
            name=known.name if known else line.grade,
            bin=line.bin,
            mass_mg=line.mass_mg,
            own_mg=line.own_mg,
            planned_mg=planned.mass_mg if planned else None,
            price=line.price,
            unit=line.unit,
            quoted=quoted,
            amount=line.amount,
            doubts=tuple(self._doubts(line, planned, quoted, has_plan=bool(lots_for(self.lots, buyer)))),
        )

    def _doubts(
        self, line: TicketLine, planned: PlannedLot | None, quoted: Decimal | None, *, has_plan: bool
    ) -> Iterable[Doubt]:
        short = line.own_mg - line.mass_mg
        if short > self.division_mg:
            yield Doubt("short", worked_out(short, line.price, line.unit, self.currency))
        wanted = None if planned is None else _per(planned.price, planned.unit, line.unit)
        promised: tuple[tuple[What, Decimal | None], ...] = (("below-quote", quoted), ("below-plan", wanted))
        for what, price in promised:
            if price is not None and price - line.price > TINY:
                yield Doubt(what, worked_out(line.mass_mg, price - line.price, line.unit, self.currency))
        made = worked_out(line.mass_mg, line.price, line.unit, self.currency)
        if abs(line.amount - made) > _coin(self.currency):
            yield Doubt("amount", line.amount - made)
        if planned is None and has_plan:
            yield Doubt("not-planned", None)


def _per(price: Decimal, unit: str, wanted: str) -> Decimal:
    """A price per one unit as it is per another."""
    return price / kg_per(unit) * kg_per(wanted)
