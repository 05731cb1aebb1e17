"""Who says so and when, and the one way events are recorded."""

from __future__ import annotations

import datetime as dt
import functools
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Concatenate, Generic, ParamSpec, TypeVar
from uuid import UUID

from partway.actions.recording.heard import or_spoken
from partway.actions.recording.permitted import append
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.days import SETTING, day_of, local, moments, offset_text, start_of, zone_said
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Payload, Set
from partway.ledger.events.stamp import Stamp
from partway.ledger.roles import Rights
from partway.spoken import Hearing, read_moment
from partway.spoken.texts import dated

R = TypeVar("R")
P = ParamSpec("P")
OWNERS = Rights()
SLACK = 5  # seconds that clocks are set back to keep them right
TOGETHER = frozenset({"paid", "spent"})  # a payment and the cents that rounding left open
STEP = dt.timedelta(microseconds=1)  # between the records of what was done as one act, by which they are known as one


@dataclass(frozen=True, slots=True)
class Context:
    """Who types, when it happened (`happened`, None for now), and where times and ids come from.

    `clock` gives times in the workspace's zone; `new_id` version 7 UUIDs that grow, also
    beyond one that is given. `mark` goes before the numbers of finds, so that two
    machines that share a ledger do not number two finds alike. `exact`: names come from
    a page or a program, as the ledger has them, and not from somebody's memory. `zone` is the machine's, which a
    workspace without one is set to when something is first recorded in it. `intent` is what asked for it all, where
    that has an id of its own: then each event says so (ledger.events.event). `rights` are what they may, `device` is
    what they type with, by the name of its key; empty at the machine itself.
    """

    who: str
    clock: Callable[[], dt.datetime]
    new_id: Callable[[UUID | None], UUID]
    happened: dt.datetime | None = None
    mark: str = ""
    exact: bool = False
    zone: str = ""
    intent: UUID | None = None
    rights: Rights = OWNERS
    device: str = ""

    def stamp(self, book: Book, stated: dt.datetime | None = None) -> Stamp:
        """What makes the events of one action, now; at a time that somebody named where one is `stated`."""
        return Stamp(book, self.who, self.clock(), self.new_id, stated, self.intent)

    @property
    def time(self) -> dt.datetime:
        """When it happened."""
        return self.happened or self.clock()

    @property
    def day(self) -> dt.date:
        """The day it happened, where it happened."""
        return day_of(self.time, self.clock().tzinfo)


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
    result: R
    undo: tuple[UUID, ...]
    clock: ClockBack | None = None


def clock_back(stamp: Stamp) -> ClockBack | None:
    """Whether the clock stands before the last entry. Said once, as the next entry is compared with this one; and not
    where a time was stated, which decides whatever the clock says.
    """
    seconds = round(stamp.behind.total_seconds())
    return ClockBack(seconds) if stamp.stated is None and seconds > SLACK else None


def decides(
    *ready: Callable[[], object],
) -> Callable[[Callable[Concatenate[Book, P], R]], Callable[Concatenate[Book, P], R]]:
    """Marks an action that writes: what it reads, decides and records is one transaction of the book, so that
    nobody else records anything in between. Where it asks or refuses, nothing is written.

    `ready` are called before, without keeping others waiting: what is slow the first time, such as `shipped`.
    """

    def deciding(action: Callable[Concatenate[Book, P], R]) -> Callable[Concatenate[Book, P], R]:
        @functools.wraps(action)
        def whole(book: Book, /, *args: P.args, **options: P.kwargs) -> R:
            for read in ready:
                read()
            with book.deciding():
                return action(book, *args, **options)

        return whole

    return deciding


def record(book: Book, context: Context, payloads: Sequence[Payload], result: R) -> Recorded[R]:
    """Append all of an action's events at once. Raises Refused for a time still to come and for what is not allowed."""
    now = context.clock().astimezone(dt.UTC)  # two times of one zone would be compared by what the clock shows
    happened = context.happened.astimezone(dt.UTC) if context.happened else now
    if happened > now:
        given = local(happened, context.clock().tzinfo)
        raise still_to_come(given, "on")
    if not context.who.strip():
        raise Refused("nobody", "the name of whoever says so", "who")
    first = _zone_first(book, context, payloads)
    stamp = replace(context, clock=lambda: now).stamp(book, context.happened)
    made = [stamp.event(what) for what in (*first, *payloads)]
    events = tuple(made[len(first) :])
    append(book, context, events, along=made[: len(first)])
    return Recorded(events, result, tuple(event.id for event in takes_back(events)), clock_back(stamp))


def takes_back(events: Sequence[Event]) -> tuple[Event, ...]:
    """Which events of one record are corrected to take it back: the last says what it was, a bin made for it stays."""
    kinds = {event.kind for event in events}
    last = TOGETHER if kinds == TOGETHER else {events[-1].kind}
    return tuple(event for event in events if event.kind in last)


def still_taken_back(events: Iterable[Event], voided: Collection[UUID]) -> tuple[Event, ...]:
    """Of several records, which events that still count are corrected to take all of them back."""
    back = (event for alike in record_by_record(events) for event in takes_back(alike))
    return tuple(event for event in back if event.id not in voided)


def record_by_record(events: Iterable[Event]) -> list[list[Event]]:
    """Events of one person on one device, record by record: what is recorded at once is typed at one moment."""
    return [list(alike) for _, alike in groupby(events, key=lambda event: event.typed)]


def still_to_come(given: dt.datetime, where: str) -> Refused:
    """The refusal of a time in the future."""
    says = "That time is in the future."
    return Refused(f"{dated(given.date())} at {given:%H:%M}", "a time that has passed", where, says=says)


def _zone_first(book: Book, context: Context, payloads: Sequence[Payload]) -> list[Payload]:
    """The machine's zone becomes the workspace's where it has none and none is being set."""
    said = any(isinstance(what, Set) and what.name == SETTING for what in payloads)
    return [] if said or not context.zone or zone_said(book) is not None else [Set(SETTING, context.zone)]


def when(text: str, now: dt.datetime, where: str = "on", chosen: str = "") -> dt.datetime:
    """The time a text names: `today`, "monday 3 pm", "at 15:30", "nov 20", 2026-03-14 15:30, in the zone of `now`.

    A day without a time is taken at the present time of day, so that what is typed one after another for the same day
    keeps its order. Raises Refused for a time that the clock skipped; Asked for one that it showed twice, unless
    `chosen` is one of the two answers.
    """
    day = _day_said(text, now)
    if day is not None:
        return _as_now(day, now)
    try:
        given = dt.datetime.fromisoformat(text.strip())
        if given.tzinfo:
            return local(given, now.tzinfo)
        found = moments(given, now.tzinfo)
    except (ValueError, OverflowError):
        day, time = or_spoken(_no_time(text, where), lambda: read_moment(text, now, Hearing(), where))
        if time is None:
            return _as_now(day, now)
        given = dt.datetime.combine(day, time)
        found = moments(given, now.tzinfo)
    return _one_of(found, given, now, where, chosen)


def start_said(text: str, now: dt.datetime, where: str) -> dt.datetime:
    """The first moment, in UTC, of the day or time that a text names. Raises Refused."""
    day = _day_said(text, now)
    try:
        return (start_of(day, now.tzinfo) if day else when(text, now, where)).astimezone(dt.UTC)
    except OverflowError:
        raise _no_time(text, where) from None


def _day_said(text: str, now: dt.datetime) -> dt.date | None:
    plain = text.strip().lower()
    days = {"today": now.date(), "yesterday": now.date() - dt.timedelta(days=1)}
    try:
        return days.get(plain) or (dt.date.fromisoformat(plain) if len(plain) == len("2026-03-14") else None)
    except ValueError:
        return None


def _no_time(text: str, where: str) -> Refused:
    return Refused(f'"{text[:60]}"', 'a day or a time, such as yesterday, 2026-03-14 or "2026-03-14 15:30"', where)


def _as_now(day: dt.date, now: dt.datetime) -> dt.datetime:
    """A day at the present time of day. Nobody typed that time: where the clock skips it, it is an hour later."""
    if day == now.date():
        return now
    at = dt.datetime.combine(day, now.timetz().replace(fold=0))
    return local(at.astimezone(dt.UTC), now.tzinfo)


def _one_of(
    found: tuple[dt.datetime, ...], given: dt.datetime, now: dt.datetime, where: str, chosen: str
) -> dt.datetime:
    """The one moment at which the clock showed a time; of two the first while the second is still to come."""
    if not found:
        raise Refused(
            f"{dated(given.date())} at {given:%H:%M}, which the clock skipped that day ({now.tzinfo})",
            "a time before the hour that was skipped, or after it",
            where,
        )
    here = [local(moment, now.tzinfo) for moment in found if moment <= now.astimezone(dt.UTC)] or [found[0]]
    said = {f"{given:%Y-%m-%d %H:%M}{offset_text(moment)}": moment for moment in here}
    if len(here) == 1 or chosen in said:
        return said.get(chosen, local(here[0], now.tzinfo))
    first, second = said
    choices = ((first, "the first time the clock showed it"), (second, "the second time, after it was set back"))
    asked = f"{dated(given.date())} at {given:%H:%M}, which the clock showed twice that day ({now.tzinfo})"
    raise Asked(asked, f'"{first}" for the first time, "{second}" for the second', where, "on", choices)
