"""How what stands now came about: movements and words over time, of the events that count."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.events.effects import Effects, Move
from partway.ledger.events.event import Event

Counted = tuple[Event, Effects]  # an event that counts, and what it does


@dataclass(frozen=True, slots=True)
class Flow:
    """A movement with the time it happened and the event, of this kind, that says so; `order` as in its position."""

    happened: dt.datetime
    order: dt.datetime
    event: UUID
    kind: str
    move: Move


@dataclass(frozen=True, slots=True)
class PastFact:
    """A word on one subject, whether it still stands or was said over since; `order` decides which of two is later."""

    happened: dt.datetime
    event: UUID
    subject: str
    value: str
    order: dt.datetime

    @property
    def position(self) -> tuple[dt.datetime, UUID]:
        """Its place among all that was said."""
        return self.order, self.event


def flows_in(events: Iterable[Counted], place: str, since: dt.datetime | None) -> list[Flow]:
    """The movements of events from or to places that begin so."""
    return [
        Flow(event.happened, event.position[0], event.id, event.kind, move)
        for event, effects in _in_order(events, since)
        for move in sorted(effects.moves, key=lambda move: (move.source, move.target, move.grade, move.mg))
        if move.source.startswith(place) or move.target.startswith(place)
    ]


def words_in(events: Iterable[Counted], name: str) -> list[PastFact]:
    """The words of events on one field, whatever their subjects, in the order in which they count."""
    found = [
        PastFact(event.happened, event.id, fact.subject, fact.value, event.position[0])
        for event, effects in events
        for fact in effects.facts
        if fact.name == name
    ]
    return sorted(found, key=lambda word: (word.position, word.subject))


def _in_order(events: Iterable[Counted], since: dt.datetime | None) -> list[Counted]:
    kept = [(event, effects) for event, effects in events if since is None or since <= event.happened]
    return sorted(kept, key=lambda counted: counted[0].position)
