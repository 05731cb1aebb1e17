"""The last thing somebody recorded, whole: all prices of one list are taken back as they were given (`undoing`)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from uuid import UUID

from partway.actions.books.corrections import event_named
from partway.actions.recording.context import Context
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected

LOOKED_AT = 400  # events, newest first, in which somebody's last one is looked for
INSTANT = dt.timedelta(microseconds=1)
TOGETHER = frozenset({"paid", "spent"})  # a payment and the cents that rounding left open


def act_of(book: Book, context: Context, given: str = "") -> tuple[Event, ...]:
    """The events of one act that take it back: of the one that an id names, else of the last of the same person here.

    What one act records is typed at one moment by one person on one device, and its last event says what it was: a bin
    made for it stays. Raises Refused where there is none.
    """
    voided = book.voided()
    one = event_named(book, given, context.clock()) if given.strip() else _last(book, context, voided)
    moment = book.events(since=one.happened, until=one.happened + INSTANT)
    typed = [e for e in moment if (e.typed, e.who, e.device) == (one.typed, one.who, one.device)]
    kinds = {one.kind} | (TOGETHER if {event.kind for event in typed} == TOGETHER else set())
    return tuple(event for event in typed if event.kind in kinds and event.id not in voided)


def _last(book: Book, context: Context, voided: Collection[UUID]) -> Event:
    """What somebody recorded last on this device and is not taken back; taking back is not taken back here."""
    device = book.head().device
    for event in book.newest(LOOKED_AT):
        mine = event.who == context.who and event.device in ("", device)
        if mine and event.id not in voided and not isinstance(event.what, Corrected):
            return event
    raise Refused("nothing of yours that counts", "something that you recorded lately", "undo", hint=Hint("events"))
