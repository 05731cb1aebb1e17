"""The photographs of a thing, read from a book: which there are, of what, and when they were taken."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.counting import counting
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Pictured


@dataclass(frozen=True, slots=True)
class Taken:
    """A photograph that counts: the event that says so, its digest and pixels, the piece it is of, and words to it."""

    event: UUID
    picture: str
    width: int
    height: int
    taken: dt.datetime
    who: str
    piece: str = ""
    note: str = ""


def pictures_of(book: Book, subject: str) -> tuple[Taken, ...]:
    """The photographs of `find:ID`, `bin:ID` or `ticket:ID`, or of the pieces of `kind:ID`, newest first; each picture
    once for each piece.
    """
    found: dict[tuple[str, str], Taken] = {}
    for event, what in _newest(book, subject):
        found.setdefault(
            (what.picture, what.piece),
            Taken(event.id, what.picture, what.width, what.height, event.happened, event.who, what.piece, what.note),
        )
    return tuple(found.values())


def _newest(book: Book, subject: str | None = None) -> list[tuple[Event, Pictured]]:
    """By their place in the ledger: a clock that was set back makes no photograph older than the one before it."""
    taken = sorted(counting(book, (Pictured.KIND,), subject), key=lambda event: event.position, reverse=True)
    return [(event, event.what) for event in taken if isinstance(event.what, Pictured)]


def pieces_pictured(book: Book, kind: str) -> dict[str, str]:
    """The latest photograph of each piece of a kind that has one."""
    latest: dict[str, str] = {}
    for shown in pictures_of(book, f"kind:{kind}"):
        latest.setdefault(shown.piece, shown.picture)
    return latest


def newest_pictured(book: Book) -> list[Pictured]:
    """What photographs that count are of, newest first."""
    return [what for _, what in _newest(book)]


def named_in(events: Iterable[Event]) -> Iterator[str]:
    """The photographs that events name, each once, also by events that do not count: a correction may be undone."""
    seen: set[str] = set()
    for event in events:
        if isinstance(event.what, Pictured) and event.what.picture not in seen:
            seen.add(event.what.picture)
            yield event.what.picture
