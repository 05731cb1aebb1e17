"""A haul under way: at each stop what its ticket should say, and what the tickets that came did say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Hauled, Ticketed
from partway.ledger.fold import standing
from partway.ledger.fold.standing import BinNow
from partway.things.buyers import buyer_name, takes
from partway.things.material import Grade
from partway.valuing.planned_lots import Drive, PlannedLot, drive_in, lots_for, planned_in
from partway.valuing.price_book import quote_for
from partway.valuing.trips.after_haul import AfterHaul, Costs, after_haul
from partway.valuing.trips.ticket import TicketSeen, audit, counting, worked_out

LOOK_BACK = 4  # events for each haul that is listed: its start, its end, and some corrections


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
    """A haul; `planned` says that a plan's lots came with it. `printed` and `paid` are sums over its tickets.

    `after` holds it against its plan once it is over; None before, and where it set out without one.
    """

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
    after: AfterHaul | None = None


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
    for event in counting(book, events):
        what = event.what
        if isinstance(what, Hauled) and what.status == "finished":
            found.setdefault(what.haul, HaulLine(what.haul, event.happened, what.stops, what.km, what.minutes))
    return tuple(found.values())[:most]


def haul_sheet(book: Book, haul: str, grades: Mapping[str, Grade], now: dt.datetime) -> HaulSheet | None:
    """The haul as it stands at a moment, days being those of its zone; None where there is none of that id."""
    told = counting(book, book.events(("hauled",), f"haul:{haul}"))
    hauled = [(event, event.what) for event in told if isinstance(event.what, Hauled)]
    if not hauled:
        return None
    (first, begun), (_, last) = hauled[0], hauled[-1]
    lots = planned_in(begun.note)
    reader = _Reader(book, grades, lots, now.date())
    printed = counting(book, book.events(("ticketed",), f"haul:{haul}"))
    tickets = [(e.what.buyer, audit(book, e, grades, now.tzinfo)) for e in printed if isinstance(e.what, Ticketed)]
    route = list(dict.fromkeys([*begun.stops, *(buyer for buyer, _ in tickets)]))
    stops = tuple(reader.stop(n, b, [seen for of, seen in tickets if of == b]) for n, b in enumerate(route, start=1))
    over = last.status == "finished"
    visited = [(stop.buyer, stop.name, stop.tickets) for stop in stops]
    driven = Drive(last.km, last.minutes)
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
        after=after_haul(lots, visited, drive_in(begun.note), driven, _costs(book)) if over else None,
    )


def _costs(book: Book) -> Costs:
    """Of a kilometre and an hour, by the settings; nothing where they do not say."""
    known = standing.settings(book)
    return Costs(Decimal(known.get("cost_per_km", "0")), Decimal(known.get("wage", "0")))


class _Reader:
    """Reads what stops should bring, from the bins, the quotes and the plan."""

    def __init__(self, book: Book, grades: Mapping[str, Grade], lots: Sequence[PlannedLot], on: dt.date) -> None:
        self.book, self.grades, self.lots, self.on = book, grades, lots, on
        settings = standing.settings(book)
        self.currency = settings.get("currency", "XXX")
        self.bins, self.buyers = standing.bins(book), trading.buyers(book)

    def stop(self, turn: int, buyer: str, tickets: Sequence[TicketSeen]) -> StopNow:
        """One stop with its tickets."""
        lines = self.expected(buyer)
        known = self.buyers.get(buyer)
        name = buyer_name(buyer, known.name if known else "")
        amounts = [line.amount for line in lines if line.amount is not None]
        return StopNow(turn, buyer, name, lines, sum(amounts, Decimal(0)), tuple(tickets))

    def expected(self, buyer: str) -> tuple[ExpectedLine, ...]:
        """What was planned for a buyer, or else what is in the bins of what it quotes."""
        lots = lots_for(self.lots, buyer)
        if lots:
            return tuple(self._line(lot.grade, lot.mass_mg, lot.price, lot.unit) for lot in lots)
        found = []
        for grade in dict.fromkeys(b.grade for b in self.bins.values() if b.mg > 0):
            quote = quote_for(self.book, buyer, grade, sum(b.mg for b in self._holding(grade)), self.on)
            if quote is not None and quote.price is not None and self._taken(buyer, grade):
                found.append(self._line(grade, None, quote.price, quote.unit))
        return tuple(found)

    def _taken(self, buyer: str, grade: str) -> bool:
        known, terms = self.grades.get(grade), self.buyers.get(buyer)
        return known is not None and terms is not None and takes(terms, known)

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
