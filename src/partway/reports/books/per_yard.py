"""What each yard brought, and for an hour on the road to it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.valuing.trips.yards import HOW, YardMoney, yards_of
from partway.valuing.window import Window


@dataclass(frozen=True, slots=True)
class PerYard:
    """The yards of a stretch that began on `since` (null for all there is), the most money first."""

    since: dt.date | None
    currency: str
    lines: tuple[YardMoney, ...]
    notes: tuple[str, ...]


def report_per_yard(book: Book, window: Window) -> PerYard:
    """The yards of a window."""
    return PerYard(window.since, settings(book).get("currency", "XXX"), yards_of(book, window), (HOW,))
