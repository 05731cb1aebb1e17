"""How what stands now came about: movements and words over time, of the events that count."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.effects import Move
from partway.ledger.events import Event
from partway.ledger.meaning import effects_of


@dataclass(frozen=True, slots=True)
class Flow:
    """A movement with the time it happened and the event, of this kind, that says so."""

    happened: dt.datetime
    event: UUID
    kind: str
    move: Move


@dataclass(frozen=True, slots=True)
class Said:
    """A word on one subject, whether it still stands or was said over since."""

    happened: dt.datetime
    event: UUID
    subject: str
    value: str


def flows_in(events: Iterable[Event], place: str, since: dt.datetime | None) -> list[Flow]:
    """The movements of events from or to places that begin so."""
    return [
        Flow(event.happened, event.id, event.kind, move)
        for event in _in_order(events, since)
        for move in sorted(effects_of(event).moves, key=lambda move: (move.source, move.target, move.grade, move.mg))
        if move.source.startswith(place) or move.target.startswith(place)
    ]


def words_in(events: Iterable[Event], subjects: Sequence[str], name: str, since: dt.datetime | None) -> list[Said]:
    """The words of events on one field of subjects that begin with one of several texts."""
    beginnings = tuple(subjects)
    return [
        Said(event.happened, event.id, fact.subject, fact.value)
        for event in _in_order(events, since)
        for fact in sorted(effects_of(event).facts, key=lambda fact: fact.subject)
        if fact.name == name and fact.subject.startswith(beginnings)
    ]


def _in_order(events: Iterable[Event], since: dt.datetime | None) -> list[Event]:
    kept = [event for event in events if since is None or since <= event.happened]
    return sorted(kept, key=lambda event: (event.happened, event.id))
