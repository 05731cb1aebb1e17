"""Taking back all that one act recorded, at once or not at all: the last of it first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from partway.actions.books.corrections import correct, correct_all, event_named
from partway.actions.books.last_act import act_of
from partway.actions.books.results import CorrectResult
from partway.actions.recording.context import Context, Recorded, decides
from partway.catalogue import shipped
from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected


@decides(shipped)
def take_back(book: Book, context: Context, event_ids: Sequence[str], why: str = "") -> Recorded[CorrectResult]:
    """Take back several events. Raises Refused where one of them cannot be, and then none is."""
    if len(event_ids) == 1:
        return correct(book, context, event_ids[0], why)
    events = {event.id: event for event in (event_named(book, given, context.clock()) for given in event_ids)}
    if not any(_moves(book, event) for event in events.values()):
        return correct_all(book, context, list(event_ids), why)
    last_first = sorted(events, reverse=True)  # what was recorded only for another goes with it
    done = [correct(book, context, str(one), why) for one in last_first if one not in book.voided()]
    first = done[-1]
    return Recorded(
        tuple(event for one in done for event in one.events),
        replace(first.result, also=len(done) - 1),
        tuple(event for one in done for event in one.undo),
        done[0].clock,
    )


@decides(shipped)
def take_back_last(book: Book, context: Context) -> Recorded[CorrectResult]:
    """Take back what somebody recorded last on this device, whole. Raises Refused where there is nothing."""
    return take_back(book, context, [str(event.id) for event in act_of(book, context)])


def _moves(book: Book, event: Event) -> bool:
    does = book.effects(event.id)
    return bool(does.moves or does.asserted) or isinstance(event.what, Corrected)
