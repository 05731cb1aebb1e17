"""Conflicts as rows, and events that count as the tables have them."""

from __future__ import annotations

import datetime as dt
import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Table, delete, insert, select

from partway.ledger.balance.conflict_search import in_order
from partway.ledger.balance.conflicts import Conflict, Counting, Side
from partway.ledger.events.effects import Asserted, Effects, Fact, Move
from partway.ledger.events.shapes import canonical, time_text
from partway.storage.tables import tables as t
from partway.storage.tables.rows import Row, event_from

CORRECTIONS = "corrections"
CHUNK = 500  # ids in one statement
Found = dict[str, list[Conflict]]  # by what they are about


@dataclass(frozen=True, slots=True)
class Units:
    """What some events touch: finds and bins, fields, and whether any of them is a correction."""

    places: frozenset[str]
    fields: frozenset[tuple[str, str]]
    corrected: bool


def units(connection: Connection, ids: Collection[str]) -> Units:
    """What some events touch, whether they count or not."""
    places, fields, corrected = set[str](), set[tuple[str, str]](), False
    for part in parts(ids):
        move, fact, said = t.move.c, t.fact.c, t.assertion.c
        for source, target in connection.execute(select(move.source, move.target).where(move.event.in_(part))):
            places |= {source, target}
        for subject, name in connection.execute(select(fact.subject, fact.name).where(fact.event.in_(part))):
            fields.add((subject, name))
            places.add(subject)
        places.update(connection.execute(select(said.place).where(said.event.in_(part))).scalars())
        query = select(t.event.c.id).where(t.event.c.id.in_(part), t.event.c.kind == "corrected").limit(1)
        corrected = corrected or connection.execute(query).first() is not None
    return Units(
        frozenset(place for place in places if place.startswith(("find:", "bin:", "listing:"))),
        frozenset(fields),
        corrected,
    )


def counting(connection: Connection, ids: Collection[str]) -> list[Counting]:
    """The events that count among some, in the order of their positions."""
    found = []
    for part in parts(ids):
        effects = _effects(connection, part)
        query = select(t.event).where(t.event.c.id.in_(part), t.event.c.id.not_in(select(t.voided.c.event)))
        found += [Counting(event_from(row), effects(row.id)) for row in connection.execute(query)]
    return sorted(found, key=lambda one: one.event.position)


def _effects(connection: Connection, ids: Collection[str]) -> Any:
    moves = _by_event(connection, t.move, ids)
    facts, said = _by_event(connection, t.fact, ids), _by_event(connection, t.assertion, ids)

    def of(event: str) -> Effects:
        return Effects(
            tuple(Move(row.source, row.target, row.grade, row.mg) for row in moves[event]),
            tuple(Fact(row.subject, row.name, row.value) for row in facts[event]),
            asserted=next((Asserted(row.place, row.grade, row.mg, row.other) for row in said[event]), None),
        )

    return of


def _by_event(connection: Connection, table: Table, ids: Collection[str]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = defaultdict(list)
    for row in connection.execute(select(table).where(table.c.event.in_(ids))):
        found[row.event].append(row)
    return found


def parts(texts: Collection[str]) -> Iterator[list[str]]:
    """Split texts into lists that fit into one statement."""
    ordered = sorted(texts)
    for start in range(0, len(ordered), CHUNK):
        yield ordered[start : start + CHUNK]


def known(connection: Connection) -> frozenset[str]:
    """What the conflicts on record are about."""
    return frozenset(connection.execute(select(t.conflict.c.about)).scalars())


def standing(connection: Connection) -> tuple[Conflict, ...]:
    """All conflicts."""
    texts = connection.execute(select(t.conflict.c.data)).scalars().all()
    return in_order(_from(data) for text in texts for data in json.loads(text)) if texts else ()


def write(connection: Connection, found: Found, there: Collection[str]) -> None:
    """Replace the conflicts about some things by those found now."""
    for part in parts([about for about in found if about in there]):
        connection.execute(delete(t.conflict).where(t.conflict.c.about.in_(part)))
    if rows := _rows(found):
        connection.execute(insert(t.conflict), rows)


def rows_of(conflicts: Iterable[Conflict]) -> list[Row]:
    """The rows of all conflicts of a ledger."""
    found: Found = {}
    for one in conflicts:
        found.setdefault(_about(one), []).append(one)
    return _rows(found)


def _rows(found: Found) -> list[Row]:
    return [
        {"about": about, "data": canonical([_data(one) for one in in_order(several)])}
        for about, several in found.items()
        if several
    ]


def _about(one: Conflict) -> str:
    if one.code == "corrections-differ":
        return CORRECTIONS
    subject = one.subjects[0 if one.code == "listing-oversold" else -1]  # of an offer, not of the find it was of
    return f"{subject} {one.name}" if one.code == "words-differ" and not subject.startswith("quote:") else subject


def _data(one: Conflict) -> dict[str, Any]:
    sides = [[str(side.event), side.device, side.who, time_text(side.happened), side.says] for side in one.sides]
    return {"code": one.code, "subjects": list(one.subjects), "sides": sides, "name": one.name, "mg": one.mg}


def _from(data: dict[str, Any]) -> Conflict:
    sides = (
        Side(UUID(event), device, who, dt.datetime.fromisoformat(happened), says)
        for event, device, who, happened, says in data["sides"]
    )
    return Conflict(data["code"], tuple(data["subjects"]), tuple(sides), data["name"], data["mg"])
