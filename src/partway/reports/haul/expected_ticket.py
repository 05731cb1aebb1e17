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
from partway.ledger.fold.driving import cost_per_km
from partway.reports.geo import geo_uri
from partway.things.buyers import buyer_name
from partway.things.material import Grade
from partway.valuing.planned_lots import Drive, drive_in, planned_in
from partway.valuing.trips.after_haul import AfterHaul, Costs, after_haul
from partway.valuing.trips.loads import TakenLot, counting
from partway.valuing.trips.small import SmallDifference
from partway.valuing.trips.taken import taken
from partway.valuing.trips.ticket import audit
from partway.valuing.trips.ticket_seen import TicketSeen
from partway.valuing.trips.ticket_sums import fee_due, per, worked_out

LOOK_BACK = 4  # events for each haul that is listed: its start, its end, and some corrections


@dataclass(frozen=True, slots=True)
class ExpectedLine:
    """A line that a ticket should have: `took_mg` is what the haul took along, whatever the bins hold since.

    `planned_mg` is what it set out for, None where no plan said so. `short_mg` of that, or of what was in the bins,
    the hauls `held_by` had taken along before. `bin` is the fullest that holds the grade, empty where none does. `ends`
    are those of a price that was said as a range.
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
    took_mg: int = 0
    short_mg: int = 0
    held_by: tuple[str, ...] = ()
    ends: tuple[Decimal, Decimal] | None = None


@dataclass(frozen=True, slots=True)
class StopNow:
    """One stop of the haul; `expected` is what its ticket should come to, as far as prices are known, `fee` of what its
    lines pay kept back by the buyer's terms.

    `geo` leads to its place on the phone's own map, empty where nobody said where it lies.
    """

    turn: int
    buyer: str
    name: str
    lines: tuple[ExpectedLine, ...]
    expected: Decimal
    tickets: tuple[TicketSeen, ...]
    geo: str = ""
    fee: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class HaulSheet:
    """A haul; `planned` says that a plan's lots came with it. `printed` and `paid` are sums over its tickets, `small`
    says which of their differences are not worth a word.

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
    small: SmallDifference
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
    reader = _Reader(book, grades, taken(book, haul, grades, now.tzinfo), planned=bool(lots))
    printed = counting(book, book.events(("ticketed",), f"haul:{haul}"))
    tickets = [(e.what.buyer, audit(book, e, grades, now.tzinfo)) for e in printed if isinstance(e.what, Ticketed)]
    route = list(dict.fromkeys([*begun.stops, *(buyer for buyer, _ in tickets)]))
    stops = tuple(reader.stop(n, b, [seen for of, seen in tickets if of == b]) for n, b in enumerate(route, start=1))
    over = last.status == "finished"
    visited = [(stop.buyer, stop.name, stop.tickets) for stop in stops]
    driven = Drive(last.km, last.minutes)
    terms = {b: of for b in route if (of := trading.terms_on(book, b, first)) is not None}
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
        small=SmallDifference.of(standing.settings(book)),
        after=after_haul(lots, visited, drive_in(begun.note), driven, _costs(book), terms) if over else None,
    )


def _costs(book: Book) -> Costs:
    """Of a kilometre and an hour, by the settings; nothing where they do not say."""
    known = standing.settings(book)
    return Costs(cost_per_km(known) or Decimal(0), Decimal(known.get("wage", "0")))


class _Reader:
    """Reads what stops should bring, from what the haul took along."""

    def __init__(self, book: Book, grades: Mapping[str, Grade], lots: Sequence[TakenLot], *, planned: bool) -> None:
        self.book, self.grades, self.lots, self.planned = book, grades, lots, planned
        self.currency = standing.settings(book).get("currency", "XXX")
        self.bins, self.buyers = standing.bins(book), trading.buyers(book)

    def stop(self, turn: int, buyer: str, tickets: Sequence[TicketSeen]) -> StopNow:
        """One stop with its tickets."""
        lines = tuple(self._line(lot) for lot in self.lots if lot.buyer == buyer)
        known = self.buyers.get(buyer)
        name = buyer_name(buyer, known.name if known else "")
        amounts = [line.amount for line in lines if line.amount is not None]
        geo = geo_uri(known.at if known else None)
        fee = fee_due(amounts, known, self.currency)
        return StopNow(turn, buyer, name, lines, sum(amounts, Decimal(0)) - fee, tuple(tickets), geo, fee)

    def _line(self, lot: TakenLot) -> ExpectedLine:
        holding = sorted((b for b in self.bins.values() if b.grade == lot.grade and b.mg > 0), key=lambda b: -b.mg)
        known = self.grades.get(lot.grade)
        return ExpectedLine(
            grade=lot.grade,
            name=known.name if known else lot.grade,
            bin=holding[0].id if holding else "",
            in_bin_mg=sum(b.mg for b in holding),
            planned_mg=lot.mass_mg + lot.short_mg if self.planned else None,
            price=lot.price,
            unit=lot.unit,
            amount=worked_out(lot.mass_mg, lot.price, lot.unit, self.currency),
            hazards=known.hazards if known else (),
            took_mg=lot.mass_mg,
            short_mg=lot.short_mg,
            held_by=lot.held_by,
            ends=self._ends(lot),
        )

    def _ends(self, lot: TakenLot) -> tuple[Decimal, Decimal] | None:
        """Lowest and highest price of a lot, per the unit of its price, where the buyer's last word is a range."""
        for said in trading.quotes(self.book, lot.buyer, lot.grade):
            if said.low is not None and said.high is not None:
                low, high = (per(end, said.unit, lot.unit) for end in (said.low, said.high))
                if low <= lot.price <= high:
                    return low, high
        return None
