"""The last thing somebody recorded, whole: all prices of one list are taken back as they were given, at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import replace
from uuid import UUID

from partway.actions.books.corrections import correct, correct_all, event_named
from partway.actions.books.results import CorrectResult
from partway.actions.recording.context import Context, Recorded
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected

LOOKED_AT = 400  # events, newest first, in which somebody's last one is looked for
INSTANT = dt.timedelta(microseconds=1)
WHY = "undone"
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


def undo(book: Book, context: Context, event_ids: tuple[UUID, ...]) -> Recorded[CorrectResult]:
    """Take back the events of one act, all of them or none."""
    if len(event_ids) > 1 and not any(_by_itself(book, event_id) for event_id in event_ids):
        return correct_all(book, context, [str(event_id) for event_id in event_ids], WHY)
    with book.deciding():  # several corrections are one
        done = [
            correct(book, context, str(event_id), WHY)
            for event_id in sorted(event_ids, reverse=True)
            if event_id not in book.voided()  # else it went with one before
        ]
    events = tuple(event for one in done for event in one.events)
    undone = tuple(event_id for one in done for event_id in one.undo)
    return replace(done[0], events=events, undo=undone, result=replace(done[0].result, also=len(event_ids) - 1))


def _by_itself(book: Book, event_id: UUID) -> bool:
    """Whether it can only be taken back by itself: it moved mass, or took something back."""
    event, does = book.event(event_id), book.effects(event_id)
    return bool(does.moves or does.asserted) or (event is not None and isinstance(event.what, Corrected))
