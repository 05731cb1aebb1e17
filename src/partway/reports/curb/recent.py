"""Kinds that were found lately: likely to be found again."""

from __future__ import annotations

import datetime as dt

from partway.ledger.book import Book

DAYS = 60
FEW = 6


def recent_kinds(book: Book, now: dt.datetime, days: int = DAYS, few: int = FEW) -> tuple[str, ...]:
    """The kinds found in the last `days`, the latest first, at most `few`."""
    since = now.astimezone(dt.UTC) - dt.timedelta(days=days)
    found = {said.value: said.happened for said in book.words(("find:",), "kind", since)}  # as it happened: the last
    return tuple(sorted(found, key=lambda kind: (found[kind], kind), reverse=True)[:few])
