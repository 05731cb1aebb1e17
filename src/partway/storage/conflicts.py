"""Which conflicts stand, kept up to date in the transaction that adds events: only what they touch is looked at.

A row is all conflicts of one thing: a find or bin, a price of a day, a field; those of corrections are one row. Where
one device alone ever wrote, nothing but masses below zero can be in conflict, and nothing else is looked at.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Any, cast
from uuid import UUID

from sqlalchemy import Connection, Select, delete, func, insert, select

from partway.ledger import conflict_search as search
from partway.ledger import conflicts as rules
from partway.ledger.codec import canonical
from partway.ledger.conflicts import Conflict, Counted, Side
from partway.ledger.effects import Effects, Fact, Move
from partway.ledger.events import Event
from partway.ledger.meaning import effects_of
from partway.ledger.payloads import Corrected, Quoted
from partway.ledger.shapes import time_text
from partway.ledger.subjects import subjects_of
from partway.storage import tables as t
from partway.storage.rows import event_from

CORRECTIONS = "corrections"
CHUNK = 500
Found = dict[str, list[Conflict]]  # by what they are about


def standing(connection: Connection) -> tuple[Conflict, ...]:
    """All conflicts."""
    texts = connection.execute(select(t.conflict.c.data)).scalars().all()
    return search.in_order(one for text in texts for one in _from_text(text)) if texts else ()


def put_all(connection: Connection, found: Iterable[Conflict], devices: Iterable[str]) -> None:
    """The rows of a ledger whose conflicts were worked out from all of its events."""
    by: Found = {}
    for one in found:
        by.setdefault(_unit(one), []).append(one)
    _write(connection, by)
    _meet(connection, devices)


def refresh(connection: Connection, events: Collection[Event]) -> None:
    """After events were added, or started or stopped to count: what they touch is looked at again. The events with the
    names that things go by here.
    """
    several = _meet(connection, {event.device for event in events if event.device}) > 1
    known = connection.execute(select(t.conflict.c.about).limit(1)).one_or_none()
    if several or known or not all(event.device for event in events):
        _write(connection, _again(connection, events))
        return
    places = {place for event in events for place in subjects_of(event) if place.startswith(("find:", "bin:"))}
    _write(connection, _places(connection, _below_zero(connection, places)))


def _again(connection: Connection, events: Collection[Event]) -> Found:
    places = {place for event in events for place in subjects_of(event) if place.startswith(("find:", "bin:"))}
    found = _places(connection, places)
    if any(isinstance(event.what, Corrected) for event in events):
        found[CORRECTIONS] = list(_corrections(connection))
    for event in events:
        for fact in effects_of(event).facts:
            if isinstance(event.what, Quoted):
                day = event.what.on.isoformat()
                found[f"{fact.subject} {day}"] = list(_prices(connection, fact.subject, day))
            found[f"{fact.subject} {fact.name}"] = list(_words(connection, fact.subject, fact.name))
    return found


def _unit(one: Conflict) -> str:
    """The row that a conflict stands in."""
    if one.code == "corrections-differ":
        return CORRECTIONS
    if one.code in ("prices-differ", "words-differ"):
        return f"{one.subjects[-1]} {one.name}"
    return one.subjects[0]


def _meet(connection: Connection, devices: Iterable[str]) -> int:
    """How many devices ever wrote, these too."""
    known = set(connection.execute(select(t.writer.c.device)).scalars())
    if new := set(devices) - known - {""}:
        connection.execute(insert(t.writer), [{"device": device} for device in sorted(new)])
    return len(known | new)


def _write(connection: Connection, found: Found) -> None:
    for part in _parts(found):
        connection.execute(delete(t.conflict).where(t.conflict.c.about.in_(part)))
    if rows := [{"about": unit, "data": _text(several)} for unit, several in found.items() if several]:
        connection.execute(insert(t.conflict), rows)


def _below_zero(connection: Connection, places: Collection[str]) -> set[str]:
    column = t.balance.c
    return {
        place
        for part in _parts(places)
        for place in connection.execute(select(column.place).where(column.place.in_(part), column.mg < 0)).scalars()
    }


def _places(connection: Connection, places: Iterable[str]) -> Found:
    """Those of finds and bins: all events about a find, of a bin no more than the rules ask for."""
    return {place: list(search.in_place(place, _about(connection, place))) for place in sorted(places)}


def _about(connection: Connection, place: str) -> list[Counted]:
    ids = select(t.about.c.event).where(t.about.c.subject == place)
    return _in_order(_counted(connection, ids))
