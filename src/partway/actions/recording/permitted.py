"""The one way events of a person go into the ledger: their role is asked first, for each event."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.roles import permission_for

if TYPE_CHECKING:
    from partway.actions.recording.context import Context


def append(book: Book, context: Context, events: Sequence[Event], along: Sequence[Event] = ()) -> None:
    """Record events, all or none, after those `along` that nobody typed. Raises NotAllowed."""
    check(book, context, events)
    every = [*along, *events]
    book.append(every)
    if context.device:
        book.typed_with([event.id for event in every], context.device)


def check(book: Book, context: Context, events: Sequence[Event]) -> None:
    """Raises NotAllowed for the first event that the person of this context may not record."""
    for event in events:
        context.rights.check(permission_for(book, event), context.who)
