"""An opening is recorded, or put right: what was recorded of it is taken back and said again, in one transaction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from partway.actions.bench.answering import AnswerGiven
from partway.actions.bench.finds import open_find
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bench.results import OpenResult
from partway.actions.books.corrections import event_named, put_in_place, with_companions, without
from partway.actions.books.said_anew import Anew
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Opened
from partway.ledger.events.subjects import subjects_of

RESTING = ("opened", "sold", "returned", "weighed")  # what later events on a find may rest on an opening
WHY = "put right"
SOME = 50  # openings of one find that are looked through, newest first


def record_opening(
    book: Book,
    context: Context,
    find: str,
    pieces: Sequence[PieceGiven] = (),
    operations: Sequence[str] = (),
    minutes: str | int = 0,
    residue: reading.Mass | None = None,
    loss: reading.Mass | None = None,
    gap: str | None = None,
    count: int | str | None = None,
    sure: bool | str | None = None,
    answers: Sequence[AnswerGiven] = (),
    instead: str = "",
) -> Recorded[OpenResult]:
    """An opening as `open_up` records it. `instead` is the id of one that it puts right: that one no longer counts.

    What is put right happened when it did, unless another time is stated. Raises Refused where the one to be put right
    no longer counts, is of another find, or later events of the find rest on it.
    """
    said = (pieces, operations, minutes, residue, loss, gap, count, sure, answers)
    if not instead.strip():
        return open_up(book, context, find, *said)
    named = opening_named(book, context, instead)  # looks through years of events: not while others wait
    return _put_right(book, context, str(named.id), find, said)


@decides(shipped)
def _put_right(book: Book, context: Context, event_id: str, find: str, said: tuple[Any, ...]) -> Recorded[OpenResult]:
    target = opening_named(book, context, event_id)
    at = replace(context, happened=context.happened or target.happened)
    with without(book, context, target):
        named = open_find(book, replace(context, happened=None), find).id
        if f"find:{named}" not in subjects_of(target):
            raise Refused(f"{target.kind} {str(target.id)[-8:]}", f"an opening of {named}", "instead")
        done = open_up(book, at, named, *said)
    instead = Anew(tuple(event.what for event in done.events), at.time)
    settled = put_in_place(book, context, target, instead, WHY)
    return Recorded(settled.events, replace(done.result, put_right=True), settled.undo, settled.clock)


def opening_named(book: Book, context: Context, given: str) -> Event:
    """The opening that an id names, and on which nothing rests. Raises Refused."""
    target = event_named(book, given, context.clock())
    what = target.what
    if not isinstance(what, Opened) or what.gives_up:
        raise Refused(f"{target.kind} {str(target.id)[-8:]}", "an opening", "instead")
    later = _later(book, target, what.find)
    if later:
        ids = ", ".join(f"{event.kind} {str(event.id)[-8:]}" for event in later[-5:])
        raise Refused(f"{what.find}, of which later events speak", f"first to correct: {ids}", "instead")
    return target


def _later(book: Book, target: Event, find: str) -> list[Event]:
    """What happened to the find since, and counts."""
    voided, own = book.voided(), {event.id for event in with_companions(book, target)}
    events = book.events(RESTING, f"find:{find}")
    return [e for e in events if e.position > target.position and e.id not in voided and e.id not in own]


def last_opening(book: Book, context: Context, find: str) -> Event | None:
    """The last opening of a find where it can be put right; None where there is none, or something rests on it."""
    voided = book.voided()
    found = [event for event in book.newest(SOME, kinds=("opened",), subject=f"find:{find}") if event.id not in voided]
    try:
        return opening_named(book, context, str(found[0].id)) if found else None
    except Refused:
        return None
