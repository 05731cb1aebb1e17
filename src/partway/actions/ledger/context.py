"""Who says so and when, and the one way events are recorded."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar
from uuid import UUID

from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events import Event
from partway.ledger.payloads import Payload
from partway.ledger.stamp import Stamp

R = TypeVar("R")
SLACK = 5  # seconds that clocks are set back to keep them right


@dataclass(frozen=True, slots=True)
class Context:
    """Who types, when it happened (`happened`, None for now), and where times and ids come from.

    `clock` gives aware times; `new_id` version 7 UUIDs that grow, also
    beyond one that is given. `mark` goes before the numbers of finds, so that two
    machines that share a ledger do not number two finds alike. `exact`: names come from
    a page or a program, as the ledger has them, and not from somebody's memory.
    """

    who: str
    clock: Callable[[], dt.datetime]
    new_id: Callable[[UUID | None], UUID]
    happened: dt.datetime | None = None
    mark: str = ""
    exact: bool = False

    @property
    def time(self) -> dt.datetime:
        """When it happened."""
        return self.happened or self.clock()

    @property
    def day(self) -> dt.date:
        """The day it happened, where it happened."""
        return self.time.astimezone(self.clock().tzinfo).date()


@dataclass(frozen=True, slots=True)
class ClockBack:
    """The clock stood so many seconds before the last entry of this device; what was recorded counts after it."""

    seconds: int


@dataclass(frozen=True, slots=True)
class Recorded(Generic[R]):
    """The events that an action added, what there is to tell about them, and which to correct to take it back.

    `clock` is there where the clock was seen to be set back.
    """

    events: tuple[Event, ...]
    told: R
    undo: tuple[UUID, ...]
    clock: ClockBack | None = None


def clock_back(stamp: Stamp) -> ClockBack | None:
    """Whether the clock stands before the last entry. Said once, as the next entry is compared with this one; and not
    where a time was stated, which decides whatever the clock says.
    """
    seconds = round(stamp.behind.total_seconds())
    return ClockBack(seconds) if stamp.stated is None and seconds > SLACK else None


def record(book: Book, context: Context, payloads: Sequence[Payload], told: R) -> Recorded[R]:
    """Append all of an action's events at once. Raises Refused for a time still to come."""
    now = context.clock()
    happened = context.happened or now
    if happened > now:
        raise Refused(f"{happened:%Y-%m-%d %H:%M}, a time still to come", "a time that has passed", "--on")
    if not context.who.strip():
        raise Refused("nobody", "the name of whoever says so", "--who")
    stamp = Stamp(book, context.who, now, context.new_id, context.happened)
    events = tuple(stamp.event(what) for what in payloads)
    book.append(events)
    last = events[-1].kind
    return Recorded(events, told, tuple(event.id for event in events if event.kind == last), clock_back(stamp))


def when(text: str, now: dt.datetime, where: str = "--on") -> dt.datetime:
    """The time a text names: `today`, `yesterday`, 2026-03-14 or 2026-03-14 15:30.

    A day without a time is taken at the present time of day, so that what is typed one after another for the same day
    keeps its order. Raises Refused.
    """
    plain = text.strip().lower()
    days = {"today": now.date(), "yesterday": now.date() - dt.timedelta(days=1)}
    try:
        if plain in days or len(plain) == len("2026-03-14"):
            day = days.get(plain) or dt.date.fromisoformat(plain)
            return dt.datetime.combine(day, now.timetz())
        given = dt.datetime.fromisoformat(plain)
    except ValueError:
        expected = 'a day or a time, such as yesterday, 2026-03-14 or "2026-03-14 15:30"'
        raise Refused(f'"{text[:60]}"', expected, where) from None
    return given if given.tzinfo else given.replace(tzinfo=now.tzinfo)
