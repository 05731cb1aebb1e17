"""Notes, the newest first: of one find, buyer or bin, or all of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.ledger.days import clock_text
from partway.ledger.events.kinds import Noted

MOST = 100  # that are looked through and shown


@dataclass(frozen=True, slots=True)
class NoteLine:
    """One note that counts. `find`, `buyer` and `bin` are what it is about, empty where it is not about that."""

    event: str
    text: str
    find: str
    buyer: str
    bin: str
    happened: str
    who: str


def notes(book: Book, zone: dt.tzinfo | None, subject: str | None = None, most: int = MOST) -> tuple[NoteLine, ...]:
    """The notes about a subject, or all; those taken back are left out."""
    voided = book.voided()
    events = (event for event in book.newest(most, kinds=(Noted.KIND,), subject=subject) if event.id not in voided)
    return tuple(
        NoteLine(
            str(event.id),
            event.what.text,
            event.what.find or "",
            event.what.buyer or "",
            event.what.bin or "",
            clock_text(event.happened, zone),
            event.who,
        )
        for event in events
        if isinstance(event.what, Noted)
    )
