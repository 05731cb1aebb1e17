"""The events of a book that count: not those that were corrected."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from partway.ledger.book import Book
from partway.ledger.events.event import Event


def counting(
    book: Book,
    kinds: Sequence[str] = (),
    subject: str | None = None,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
) -> Iterator[Event]:
    """As `Book.events` gives them, without those that do not count."""
    voided = book.voided()
    return (event for event in book.events(kinds, subject, since, until) if event.id not in voided)
