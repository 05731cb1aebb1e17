"""Kinds that were found lately: likely to be found again."""

from __future__ import annotations

import datetime as dt

from partway.ledger.book import Book
from partway.ledger.payloads import Found

DAYS = 60
FEW = 6


def recent_kinds(book: Book, now: dt.datetime, days: int = DAYS, few: int = FEW) -> tuple[str, ...]:
    """The kinds found in the last `days`, the latest first, at most `few`."""
    voided = book.voided()
    found: dict[str, dt.datetime] = {}
    since = now.astimezone(dt.UTC) - dt.timedelta(days=days)
    for event in book.events(("found",), since=since):
        if event.id not in voided and isinstance(event.what, Found):
            found[event.what.kind] = max(event.happened, found.get(event.what.kind, event.happened))
    return tuple(sorted(found, key=lambda kind: (found[kind], kind), reverse=True)[:few])
