"""The last thing somebody recorded, whole: all prices of one list are taken back as they were given (`undoing`)."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from uuid import UUID

from partway.actions.books.corrections import event_named
from partway.actions.recording.context import STEP, Context, record_by_record, still_taken_back
from partway.errors import Hint, Refused
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected

LOOKED_AT = 400  # events, newest first, in which somebody's last one is looked for
Typist = tuple[str, str]  # who, on which device


def act_of(book: Book, context: Context, given: str = "") -> tuple[Event, ...]:
    """The events of one act that take it back: of the one that an id names, else of the last of the same person here.

    What is recorded at once is typed at one moment by one person on one device; the records of what was said in one go
    follow each other by a `STEP`. Raises Refused where there is none.
    """
    voided = book.voided()
    one = event_named(book, given, context.clock()) if given.strip() else _last(book, context, voided)
    return still_taken_back(_act(book, one), voided)


def _act(book: Book, one: Event) -> list[Event]:
    """The events of the act that one belongs to, in their order."""
    lately: Sequence[Event] = book.newest(LOOKED_AT)[::-1]
    near = lately if lately and lately[0].typed < one.typed - STEP else tuple(book.events())
    typist = _typist(one)
    mine = sorted((e for e in near if _typist(e) == typist), key=lambda event: (event.typed, event.id))
    records = record_by_record(mine)
    at = next(n for n, record in enumerate(records) if record[0].typed == one.typed)
    first, last = at, at
    while first and records[first][0].typed - records[first - 1][0].typed == STEP:
        first -= 1
    while last + 1 < len(records) and records[last + 1][0].typed - records[last][0].typed == STEP:
        last += 1
    return [event for record in records[first : last + 1] for event in record]


def _typist(event: Event) -> Typist:
    return event.who, event.device


def _last(book: Book, context: Context, voided: Collection[UUID]) -> Event:
    """What somebody recorded last on this device and is not taken back; taking back is not taken back here."""
    device = book.head().device
    for event in book.newest(LOOKED_AT):
        mine = event.who == context.who and event.device in ("", device)
        if mine and event.id not in voided and not isinstance(event.what, Corrected):
            return event
    raise Refused("nothing of yours that counts", "something that you recorded lately", "undo", hint=Hint("events"))
