"""Two copies of one ledger on which people say what cannot both be true: one conflict of every sort."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from partway.ledger.book import Book
from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import new_id
from partway.ledger.events.stamp import Stamp

LB = 453_592_370  # µg; a pound is exactly 0.45359237 kg
NOON = dt.datetime(2026, 3, 19, 12, 0, tzinfo=dt.UTC)


def lb(pounds: int) -> int:
    """Milligrams."""
    return round(pounds * LB / 1000)


@dataclass
class Person:
    """Somebody at one copy of the ledger; a minute passes with each thing said."""

    book: Book
    who: str
    now: dt.datetime = NOON

    def says(self, *said: p.Payload, stated: dt.datetime | None = None) -> list[Event]:
        """Record something, just now or of a time that is named."""
        self.now += dt.timedelta(minutes=1)
        stamp = Stamp(self.book, self.who, self.now, new_id, stated)
        events = [stamp.event(what) for what in said]
        self.book.append(events)
        return events

    def puts_right(self, event: Event, instead: p.Payload | None) -> None:
        """Correct an event."""
        self.now += dt.timedelta(minutes=1)
        stamp = Stamp(self.book, self.who, self.now, new_id)
        new = [] if instead is None else [stamp.event(instead, event.id, event)]
        marked = stamp.event(p.Corrected(event.id, "", new[0].id if new else None), event.id)
        self.book.append([*new, marked])

    def hears_of(self, other: Person) -> None:
        """All that the other copy has."""
        self.book.append(list(other.book.recorded()))


def begun(me: Person) -> Event:
    """Days before the two part: things that both know. Some fuel, which both will put right."""
    me.says(p.Set("currency", "CAD"), p.Set("unit", "lb"), p.Set("zone", "UTC"))
    me.says(p.Traded("harbour", "yard", "harbour yard", Decimal(14), minutes=20))
    me.says(p.Quoted("harbour", "copper-2", Decimal("4.10"), "lb", NOON.date() - dt.timedelta(days=9)))
    me.says(p.Binned("copper-2", "copper-2"), p.Recounted("copper-2", "copper-2", lb(10), 0, opening=True))
    me.says(p.Binned("motors", "motors"), p.Recounted("motors", "motors", lb(20), 0, opening=True))
    me.says(p.Found("microwave-1", "microwave", mass_mg=lb(30)))
    me.says(p.Found("fan-1", "fan", mass_mg=lb(8)), p.Found("fan-2", "fan", 2, mass_mg=lb(16)))
    me.says(p.Listed("fan-2-offer-1", "fan-2", "whole", 1, Decimal(15)))
    return me.says(p.Spent("fuel", Decimal(40), "fuel"))[0]


def part(me: Person, friend: Person) -> None:
    """From one beginning to two ledgers that cannot both be right."""
    fuel = begun(me)
    friend.hears_of(me)
    friend.now = me.now
    stated = NOON + dt.timedelta(hours=2)
    sold = p.Parted("microwave-1", "whole", 1, lb(30), lb(30), Decimal(40), closes=True)
    me.says(sold)
    friend.says(p.Discarded("microwave-1", lb(30), lb(30)))
    me.says(p.Parted("fan-2", "whole", 1, lb(8), lb(16), Decimal(12), listing="fan-2-offer-1"))
    friend.says(p.TakenDown("fan-2-offer-1", 1))
    me.says(p.Recounted("copper-2", "copper-2", lb(60), lb(10)))
    friend.says(p.Recounted("copper-2", "copper-2", lb(62), lb(10)))
    line = p.TicketLine("motors", "motors", lb(15), lb(15), Decimal("0.38"), "lb", Decimal("5.70"))
    me.says(p.Ticketed("ticket-1", "harbour", (line,), Decimal("5.70")))
    friend.says(p.Ticketed("ticket-1", "harbour", (line,), Decimal("5.70")))
    me.says(p.Quoted("harbour", "copper-2", Decimal("4.20"), "lb", NOON.date()))
    friend.says(p.Quoted("harbour", "copper-2", Decimal("4.35"), "lb", NOON.date()))
    me.puts_right(fuel, p.Spent("fuel", Decimal(42), "fuel"))
    friend.puts_right(fuel, p.Spent("fuel", Decimal(44), "fuel"))
    me.says(p.Tested("fan-1", "yes"), stated=stated)
    friend.says(p.Tested("fan-1", "no"), stated=stated)
