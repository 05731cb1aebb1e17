"""The ledger from the newest backwards, a page at a time, and one event with all that became of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.book import Book
from partway.ledger.days import clock_text
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Corrected
from partway.ledger.events.subjects import subjects_of
from partway.reports.books.ledger import LedgerLine, ledger_line
from partway.reports.called import Called
from partway.things.units import ShownUnits

PAGE = 40


@dataclass(frozen=True, slots=True)
class PageLine:
    """An event with its whole id; `instead` is the id of the event that counts in its place, where there is one."""

    event: str
    line: LedgerLine
    instead: str = ""


@dataclass(frozen=True, slots=True)
class LedgerLeaf:
    """Events, the newest first. `older` is where the next page begins, None on the last."""

    lines: tuple[PageLine, ...]
    older: str | None


@dataclass(frozen=True, slots=True)
class EventReport:
    """One event: what it says and is about, what took it back, and what it took back itself.

    `later` are weighings after it of what it moved: correcting the event leaves those masses as they were weighed.
    """

    event: str
    line: LedgerLine
    typed: str
    subjects: tuple[str, ...]
    taken_back_by: tuple[PageLine, ...]
    takes_back: PageLine | None
    instead: PageLine | None
    later: tuple[PageLine, ...]


@dataclass(frozen=True, slots=True)
class Reader:
    """Writes events as lines in `units`, times in `zone`, things by the names of `called` where it is there."""

    book: Book
    units: ShownUnits
    zone: dt.tzinfo | None
    called: Called | None = None

    def leaf(
        self,
        kinds: Sequence[str] = (),
        subject: str | None = None,
        since: dt.datetime | None = None,
        until: dt.datetime | None = None,
        before: UUID | None = None,
        most: int = PAGE,
    ) -> LedgerLeaf:
        """The newest `most` events by kind, subject and time, older than `before`; one more is read to know of it."""
        events = self.book.newest(most + 1, before, kinds, subject, since, until)
        lines = tuple(self._lines(events[:most]))
        return LedgerLeaf(lines, lines[-1].event if len(events) > most else None)

    def event(self, event: Event) -> EventReport:
        """One event whole."""
        voided = self.book.voided()
        corrections = [e for e in self.book.events(("corrected",), f"event:{event.id}") if e.id not in voided]
        named = event.what if isinstance(event.what, Corrected) else None
        return EventReport(
            str(event.id),
            ledger_line(event, event.id not in voided, self.units, self.zone),
            clock_text(event.typed, self.zone),
            subjects_of(event),
            tuple(self._lines(corrections)),
            self._named(named.event if named else None),
            self._named(self._instead(event, corrections)),
            tuple(self._lines(self._weighed_later(event, voided))),
        )

    def _lines(self, events: Iterable[Event]) -> Iterable[PageLine]:
        voided = self.book.voided()
        for event in events:
            counts = event.id not in voided
            instead = "" if counts else self._counts_instead(event)
            yield PageLine(str(event.id), ledger_line(event, counts, self.units, self.zone, self.called), instead)

    def _counts_instead(self, event: Event) -> str:
        found = self._instead(event, self.book.events(("corrected",), f"event:{event.id}"))
        return str(found or "")

    def _instead(self, event: Event, corrections: Iterable[Event]) -> UUID | None:
        """What the last correction of an event put in its place."""
        said = [e.what.instead for e in corrections if isinstance(e.what, Corrected) and e.what.event == event.id]
        return next((event_id for event_id in reversed(said) if event_id), None)

    def _named(self, event_id: UUID | None) -> PageLine | None:
        event = self.book.event(event_id) if event_id else None
        return next(iter(self._lines([event]))) if event else None

    def _weighed_later(self, event: Event, voided: Collection[UUID]) -> list[Event]:
        """The last weighing after the event of each find and bin it moved mass to or from."""
        moves = self.book.effects(event.id).moves
        places = sorted({p for move in moves for p in (move.source, move.target) if p.startswith(("find:", "bin:"))})
        found: dict[UUID, Event] = {}
        for place in places:
            later = self.book.newest(20, kinds=("weighed", "recounted"), subject=place)
            last = next((e for e in later if e.id > event.id and e.id not in voided), None)
            found |= {last.id: last} if last else {}
        return [found[event_id] for event_id in sorted(found)]
