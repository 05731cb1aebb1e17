"""What a find or bin would hold if some events did not count and others did: what a correction comes to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Sequence
from uuid import UUID

from partway.ledger.balance.asserting import AssertedLine, Key, befores, lines_of
from partway.ledger.book import Book
from partway.ledger.events.event import FIRST, Event
from partway.ledger.events.meaning import effects_of, postings

SCALES = ("weighed", "recounted")
NEXT = dt.timedelta(microseconds=1)  # beyond the last of all: at the same time it might come before it


def held_without(book: Book, place: str, out: Collection[UUID], back: Sequence[Event]) -> dict[Key, int]:
    """Milligrams in a place by grade, without the events `out` and with those of `back`, each an event of its own."""
    lines: dict[Key, list[AssertedLine]] = {}
    for event in _asserting(book, place, out) + list(back):
        for key, line in lines_of(event, effects_of(event)).items():
            if key[0] == place:
                lines.setdefault(key, []).append(line)
    said = {line.position[1] for several in lines.values() for line in several}
    for flow in book.flows(place):
        if flow.event not in out and flow.event not in said:
            for key, mg in postings([flow.move]).items():
                if key[0] == place:
                    lines.setdefault(key, []).append(AssertedLine((flow.order, flow.event), mg))
    return {key: _last(several) for key, several in lines.items()}


def _asserting(book: Book, place: str, out: Collection[UUID]) -> list[Event]:
    voided = book.voided()
    events = book.events(SCALES, place)
    return [e for e in events if e.schema > FIRST and e.id not in voided and e.id not in out]


def _last(lines: Sequence[AssertedLine]) -> int:
    """What is there after all of the lines: as much as a scale would have been told before it."""
    when, _ = max(lines).position
    end = AssertedLine((when + NEXT, UUID(int=0)), 0, True)
    *_, (_, there) = befores([*lines, end])
    return there
