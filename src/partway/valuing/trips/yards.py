"""What each buyer brought in a stretch of time, and for an hour on the road to it: from tickets and hauls."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.days import start_of
from partway.ledger.events.kinds import Hauled, Ticketed, Traded
from partway.ledger.fold.driving import kmh
from partway.ledger.fold.standing import settings
from partway.quantities import MG_PER_KG
from partway.things import defaults
from partway.things.buyers import buyer_name
from partway.valuing.window import Window


@dataclass(frozen=True, slots=True)
class YardMoney:
    """One buyer: what its tickets came to (`sales`), what was taken off them (`deductions`, below 0), and kilograms.

    `minutes` are its share of the hauls that stopped there; `per_hour` is what is left by the hour of them, None where
    no minute was recorded. `owed` is what is still to come of all its tickets, also older ones.
    """

    buyer: str
    name: str
    kind: str
    tickets: int
    kg: float
    sales: Decimal
    deductions: Decimal
    minutes: int
    per_hour: float | None
    owed: Decimal

    @property
    def money(self) -> Decimal:
        """What is left of its tickets."""
        return self.sales + self.deductions


def yards_of(book: Book, window: Window) -> tuple[YardMoney, ...]:
    """The buyers that printed a ticket or were driven to in a window, the most money first."""
    since = start_of(window.since, window.now.tzinfo) if window.since else None
    voided = book.voided()
    events = [e for e in book.events(("ticketed", "hauled"), None, since, window.end) if e.id not in voided]
    tickets: dict[str, list[Ticketed]] = defaultdict(list)
    for event in events:
        if isinstance(event.what, Ticketed):
            tickets[event.what.buyer].append(event.what)
    known, minutes = trading.buyers(book), _minutes(book, [e.what for e in events if isinstance(e.what, Hauled)])
    owed: dict[str, Decimal] = defaultdict(Decimal)
    for ticket in trading.owed(book).values():
        owed[ticket.buyer] += ticket.open
    lines = [
        _line(buyer, known.get(buyer), tickets[buyer], minutes.get(buyer, 0.0), owed[buyer])
        for buyer in dict.fromkeys([*tickets, *minutes])
    ]
    return tuple(sorted(lines, key=lambda line: (-line.money, line.name, line.buyer)))


def _line(buyer: str, terms: Traded | None, tickets: Iterable[Ticketed], on_road: float, owed: Decimal) -> YardMoney:
    of = list(tickets)
    sales = sum((line.amount for ticket in of for line in ticket.lines), Decimal(0))
    taken_off = -sum((less.amount for ticket in of for less in ticket.deductions), Decimal(0))
    minutes = round(on_road)
    return YardMoney(
        buyer=buyer,
        name=buyer_name(buyer, terms.name if terms else ""),
        kind=terms.kind if terms else "",
        tickets=len(of),
        kg=sum(line.mass_mg for ticket in of for line in ticket.lines) / MG_PER_KG,
        sales=sales,
        deductions=taken_off,
        minutes=minutes,
        per_hour=float(sales + taken_off) * 60.0 / minutes if minutes else None,
        owed=owed,
    )


def _minutes(book: Book, hauled: Iterable[Hauled]) -> Mapping[str, float]:
    """Minutes of hauls by buyer: those of one haul are shared by what each stop alone would have taken."""
    known, hauls = trading.buyers(book), trading.hauls(book)
    speed = float(kmh(settings(book).get("kmh", f"{defaults.KMH:g}")))
    found: dict[str, float] = defaultdict(float)
    for haul in hauled:
        stops = list(dict.fromkeys(haul.stops or (hauls[haul.haul].stops if haul.haul in hauls else ())))
        if haul.status != "finished" or not haul.minutes or not stops:
            continue
        alone = [_alone(known.get(stop), speed) for stop in stops]
        shares = [1.0] * len(stops) if None in alone or not any(alone) else [time or 0.0 for time in alone]
        for stop, share in zip(stops, shares, strict=True):
            found[stop] += haul.minutes * share / sum(shares)
    return found


def _alone(terms: Traded | None, speed: float) -> float | None:
    """Minutes that a haul to this buyer alone takes; None where the way is not known by the road."""
    if terms is None or terms.km is None:
        return None
    back = terms.km if terms.back_km is None else terms.back_km
    return 60.0 * float(terms.km + back) / speed + terms.minutes


HOW = (
    "What a yard's tickets came to in these days, less what was taken off them. The minutes of a haul with several "
    "stops are shared by what the way to each alone, and the time there, would have taken; equally where a way is not "
    "known. Fuel and the hours at the bench are not counted."
)
