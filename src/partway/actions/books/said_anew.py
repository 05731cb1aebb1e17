"""An event said anew: its fields, its day, the lines of a ticket, the masses of an opening."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from partway.actions.books.changes import changeable, changed, mass_text
from partway.actions.books.changes_opening import changed_opening, row_of
from partway.actions.books.changes_ticket import changed_ticket, is_of_lines, ticket_fields
from partway.actions.recording.context import Context, still_to_come, when
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.days import day_of, local
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Found, Opened, Payload, Ticketed
from partway.ledger.fold import standing
from partway.spoken.texts import day_text
from partway.valuing.left import before

DAY = "day"


@dataclass(frozen=True, slots=True)
class Anew:
    """What counts instead of an event, the last of the payloads in its place, and when it happened."""

    payloads: tuple[Payload, ...]
    happened: dt.datetime


def fields_of(event: Event, zone: dt.tzinfo | None, distance: str) -> dict[str, str]:
    """What may be said anew of an event, by the names that `said_anew` takes, in text that can be read again;
    ways in the unit `distance`.
    """
    found = {DAY: f"{local(event.happened, zone):%Y-%m-%d %H:%M}", **changeable(event.what, distance)}
    if isinstance(event.what, Ticketed):
        found |= ticket_fields(event.what)
    if isinstance(event.what, Opened):
        found |= {f"piece{n}": mass_text(piece.mass_mg) for n, piece in enumerate(event.what.pieces, start=1)}
    return found


def said_anew(
    book: Book,
    context: Context,
    target: Event,
    changes: Mapping[str, str],
    gap: str | None = None,
    as_printed: bool | None = None,
) -> Anew:
    """What a change of fields makes of an event. Raises Refused, or Asked as the action itself would."""
    said = {name.strip().lower().replace("-", "_"): text for name, text in changes.items()}
    happened = _day(book, context, target, said.pop(DAY)) if DAY in said else target.happened
    what, today = target.what, context.clock().date()
    if isinstance(what, Ticketed):
        plain = {name: text for name, text in said.items() if not is_of_lines(name)}
        after = changed(book, what, plain, today)
        ticket = changed_ticket(book, what, after, said, as_printed) if isinstance(after, Ticketed) and said else what
        return Anew((ticket,), happened)
    if isinstance(what, Opened):
        rows = {name: row for name in said if (row := row_of(what, name)) is not None}
        after = changed(book, what, {name: text for name, text in said.items() if name not in rows}, today)
        if isinstance(after, Opened) and (rows or (after.residue_mg, after.loss_mg) != (what.residue_mg, what.loss_mg)):
            masses = {row: said[name] for name, row in rows.items()}
            first, opened = changed_opening(book, what, after, masses, frozenset(said), gap)
            return Anew((*first, opened), happened)
        return Anew((after,), happened)
    after = changed(book, what, said, today)
    _check_count(book, what, after)
    return Anew((after,), happened)


def _check_count(book: Book, what: Payload, after: Payload) -> None:
    """A find is not said to be fewer than were opened or sold of it."""
    if isinstance(what, Found) and isinstance(after, Found) and after.count < what.count:
        taken = what.count - before(book, standing.find(book, what.find)).whole
        if after.count < taken:
            raise Refused(f"{after.count} of {what.find}", f"at least the {taken} opened or sold since", "count")


def _day(book: Book, context: Context, target: Event, text: str) -> dt.datetime:
    """The day it happened: not still to come, not before its find was found nor after what happened to it since."""
    now = context.clock()
    happened = _when(text, target, now)
    if happened > now:
        raise still_to_come(happened, DAY)
    find = getattr(target.what, "find", None)
    if find is None:
        return happened.astimezone(dt.UTC)
    if isinstance(target.what, Found):
        voided = book.voided()
        later = [e for e in book.events(subject=f"find:{find}") if e.id not in voided and e.id != target.id]
        first = min((e.happened for e in later), default=None)
        if first is not None and first < happened:
            given, last = (day_text(day_of(one, now.tzinfo), now.date()) for one in (happened, first))
            raise Refused(f"{given}, after {find} was opened or moved", f"{last} or before", DAY)
    elif happened < standing.find(book, find).found:
        found = standing.find(book, find).found
        first_day = day_text(day_of(found, now.tzinfo), now.date())
        raise Refused(f"a day before {find} was found", f"{first_day} or later", DAY)
    return happened.astimezone(dt.UTC)


def _when(text: str, target: Event, now: dt.datetime) -> dt.datetime:
    """The time a text names; a day alone is taken at the time of day that the event had."""
    at = local(target.happened, now.tzinfo).timetz()
    given = when(text, now, DAY)
    only_a_day = given.timetz() == now.timetz()
    return dt.datetime.combine(given.date(), at) if only_a_day else given
