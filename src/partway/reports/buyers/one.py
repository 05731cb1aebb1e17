"""One buyer: terms, what it turns away, what it says of each grade, what was delivered, what it owes."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from partway.catalogue import shipped
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.days import day_of
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Hauled, Paid, Ticketed, Traded
from partway.ledger.fold.standing import settings
from partway.quantities import MG_PER_KG
from partway.reports.books.conflicts import ConflictLine
from partway.reports.buyers.bias_words import bias_words
from partway.reports.buyers.sheet import Cell, PriceSheet, report_sheet
from partway.things.buyers import is_reached
from partway.things.families import family_name
from partway.valuing.trips.yard_bias import YardBias, yard_bias

LATEST = 8  # tickets and visits shown


@dataclass(frozen=True, slots=True)
class RefusedGrade:
    """Something a buyer turns away: a grade, a family or a hazard."""

    id: str
    name: str
    what: str


@dataclass(frozen=True, slots=True)
class Parcel:
    """What one parcel up to a mass costs."""

    up_to_kg: float
    cost: Decimal


@dataclass(frozen=True, slots=True)
class BuyersWord:
    """A buyer's word on one grade.

    `careful` names what can hurt; `elsewhere` names those who pay best for it, empty where nobody quotes it.
    """

    grade: str
    name: str
    careful: tuple[str, ...]
    stock_kg: float
    cell: Cell
    elsewhere: tuple[str, ...]
    family: str = ""


@dataclass(frozen=True, slots=True)
class Delivered:
    """A ticket; `left` is what is still owed of it, below 0 where more was paid than it says."""

    ticket: str
    number: str
    on: str
    kg: float
    total: Decimal
    left: Decimal
    haul: str


@dataclass(frozen=True, slots=True)
class Visit:
    """A haul that had the buyer among its stops."""

    haul: str
    on: str
    status: str


@dataclass(frozen=True, slots=True)
class OneBuyer:
    """One buyer; `open` are its opening hours, `phone` its number, "" where none is known. `ticket_fee` and
    `ticket_share` are what it keeps back of each ticket that pays.

    `back_km` is the way home where that is not as long as the way there.
    `way` tells whether it is known how to get there. `asked` are the grades it has a word on or that are in stock.
    `bias` is how its scale reads against one's own, None where too few tickets were weighed to say.
    """

    id: str
    name: str
    kind: str
    km: Decimal | None
    at: tuple[Decimal, Decimal] | None
    minutes: int
    way: bool
    note: str
    open: tuple[str, ...]
    refuses: tuple[RefusedGrade, ...]
    parcels: tuple[Parcel, ...]
    asked: tuple[BuyersWord, ...]
    heard: int | None
    delivered: tuple[Delivered, ...]
    tickets: int
    kg: float
    paid: Decimal
    owed: Decimal
    visits: tuple[Visit, ...]
    bias: YardBias | None = None
    bias_words: str = ""
    phone: str = ""
    ticket_fee: Decimal = Decimal(0)
    ticket_share: Decimal = Decimal(0)
    back_km: Decimal | None = None


def report_buyer(book: Book, buyer: str, now: dt.datetime, prices: PriceSheet | None = None) -> OneBuyer:
    """One buyer at a moment; `prices` where the sheet was made already. Raises KeyError."""
    terms = trading.buyers(book)[buyer]
    prices = prices or report_sheet(book, now.date())
    column = next(column for column in prices.columns if column.buyer == buyer)
    mine = counting(book, ("ticketed", "paid", "hauled"), f"buyer:{buyer}")
    events = sorted(mine, key=lambda event: event.position, reverse=True)
    delivered = tuple(_delivered(events, now))
    bias = yard_bias(event.what for event in events if isinstance(event.what, Ticketed))
    return OneBuyer(
        id=buyer,
        name=terms.name,
        kind=terms.kind,
        km=terms.km,
        at=terms.at,
        minutes=terms.minutes,
        way=is_reached(terms.kind, terms.km, terms.at, settings(book).get("home")),
        note=terms.note,
        open=terms.open,
        refuses=tuple(refusal(name) for name in terms.refuses),
        parcels=tuple(Parcel(step.up_to_mg / MG_PER_KG, step.cost) for step in terms.shipping),
        asked=tuple(_asked(prices, buyer)),
        heard=column.heard,
        delivered=delivered[:LATEST],
        tickets=len(delivered),
        kg=_taken(book, terms),
        paid=sum((event.what.amount for event in events if isinstance(event.what, Paid)), Decimal(0)),
        owed=sum((one.left for one in delivered if one.left > 0), Decimal(0)),
        visits=tuple(_visits(events, now))[:LATEST],
        bias=bias,
        bias_words=bias_words(bias),
        phone=terms.phone,
        ticket_fee=terms.ticket_fee,
        ticket_share=terms.ticket_share,
        back_km=terms.back_km,
    )


def refusal(name: str) -> RefusedGrade:
    """What a name stands for among grades, families and hazards."""
    catalogue = shipped()
    if name in catalogue.grades:
        return RefusedGrade(name, catalogue.grades[name].name, "grade")
    if name in catalogue.cautions:
        return RefusedGrade(name, catalogue.cautions[name].name, "hazard")
    return RefusedGrade(name, family_name(name), "family")


def doubts_of(conflicts: Iterable[ConflictLine], buyer_id: str) -> dict[str, tuple[str, ...]]:
    """The grades whose price is in doubt, each with why."""
    start = f"quote:{buyer_id}:"
    return {s.split(":")[2]: (line.code,) for line in conflicts for s in line.subjects if s.startswith(start)}


def _asked(prices: PriceSheet, buyer: str) -> Iterable[BuyersWord]:
    names = {column.buyer: column.name for column in prices.columns}
    for family, row in ((group.name, row) for group in prices.families for row in group.rows):
        cell = next(cell for cell in row.cells if cell.buyer == buyer)
        if cell.state != "unquoted" or row.stock_kg > 0:
            yield BuyersWord(
                row.grade,
                row.name,
                row.careful,
                row.stock_kg,
                cell,
                tuple(names[one] for one in row.best if one != buyer),
                family,
            )


def _taken(book: Book, terms: Traded) -> float:
    place = f"buyer:{terms.buyer}"
    return sum(mg for (of, _), mg in book.balances(place).items() if of == place) / MG_PER_KG


def _delivered(events: list[Event], now: dt.datetime) -> Iterable[Delivered]:
    received: dict[str, Decimal] = defaultdict(Decimal)
    for event in events:
        if isinstance(event.what, Paid) and event.what.ticket:
            received[event.what.ticket] += event.what.amount
    for event in events:
        if isinstance(event.what, Ticketed):
            what = event.what
            kg = sum(line.mass_mg for line in what.lines) / MG_PER_KG
            left = what.total - received[what.ticket]
            yield Delivered(what.ticket, what.number, _day(event, now), kg, what.total, left, what.haul or "")


def _visits(events: list[Event], now: dt.datetime) -> Iterable[Visit]:
    """Each haul once, as last heard of."""
    seen = set()
    for event in events:
        if isinstance(event.what, Hauled) and event.what.haul not in seen:
            seen.add(event.what.haul)
            yield Visit(event.what.haul, _day(event, now), event.what.status)


def _day(event: Event, now: dt.datetime) -> str:
    return day_of(event.happened, now.tzinfo).isoformat()
