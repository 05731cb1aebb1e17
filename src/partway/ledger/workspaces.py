"""Which workspace a ledger is: a copy on another machine is the same one, and so is what it was merged into."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.days import local
from partway.ledger.events.ids import is_event_id, time_of


def workspace_id(book: Book) -> str:
    """The id of the ledger's oldest event, which every copy of it has; empty while nothing was recorded.

    No event is ever removed, so a ledger goes on knowing the ids that it and all that was merged into it went by.
    """
    first = book.oldest()
    return "" if first is None else str(first.id)


def is_of(book: Book, workspace: str, noted: UUID) -> bool:
    """Whether something that was `noted` for a workspace, by its id, belongs into this ledger.

    What was noted before there was anything in the workspace belongs into a ledger that began after it.
    """
    first = book.oldest()
    if not workspace:
        return first is None or noted < first.id
    given = event_id_in(workspace)
    return given is not None and book.event(given) is not None


def begun(workspace: str, zone: dt.tzinfo | None) -> str:
    """A workspace as people tell it from others: by the day on which it was begun."""
    given = event_id_in(workspace)
    if given is None:
        return "a workspace in which nothing was recorded" if not workspace else "a workspace that is not known"
    return f"the workspace begun on {local(time_of(given), zone):%d %B %Y at %H:%M}"


def event_id_in(text: str) -> UUID | None:
    """The event id that a text is; None for any other text."""
    try:
        given = UUID(text)
    except ValueError:
        return None
    return given if is_event_id(given) and str(given) == text else None
