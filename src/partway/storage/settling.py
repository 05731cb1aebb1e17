"""What recounts and weighings come to, worked out again where something before them changed (ledger.asserting)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from sqlalchemy import Column, Connection, delete, func, insert, select, tuple_
from sqlalchemy.sql.elements import ColumnElement

from partway.ledger.asserting import Key
from partway.ledger.effects import Asserted, Effects, Move
from partway.ledger.meaning import settled
from partway.storage import tables as t
from partway.storage.rows import move_row
from partway.storage.sums import Change, Position

START: Position = ("", "")


def settle(connection: Connection, change: Change) -> None:
    """Writes what each assertion comes to that stands at or after a place where something changed, and adds the
    difference to what it was to the change. Up to the next one on the same place alone: beyond it nothing differs.
    """
    for row in _next_ones(connection, change.touched):
        said = Asserted(row.place, row.grade, row.mg, row.other)
        old = moves_of(connection, row.event)
        new = settled(Effects(asserted=said), _before(connection, row)).moves
        if new != old:
            change.add(Effects(moves=old), -1)
            change.add(Effects(moves=new), 1)
            connection.execute(delete(t.move).where(t.move.c.event == row.event))
            head = {"event": row.event, "order": row.order, "live": True}
            if new:
                connection.execute(insert(t.move), [{**head, **move_row(move)} for move in new])


def moves_of(connection: Connection, event_id: str) -> tuple[Move, ...]:
    """The movements of one event."""
    move = t.move.c
    query = select(move.source, move.target, move.grade, move.mg).where(move.event == event_id)
    return tuple(Move(*row) for row in connection.execute(query).all())


def _next_ones(connection: Connection, touched: Mapping[Key, set[Position]]) -> Iterator[Any]:
    """The assertions that count at each position and the first one after it, each once."""
    if not touched:
        return
    said = t.assertion.c
    first = min(position[0] for positions in touched.values() for position in positions)
    places = sorted({place for place, _ in touched})
    query = select(t.assertion).where(said.live, said.place.in_(places), said.order >= first)
    by_key: dict[Key, list[Any]] = {}
    for row in connection.execute(query.order_by(said.order, said.event)).all():
        by_key.setdefault((row.place, row.grade), []).append(row)
    for key, rows in by_key.items():
        wanted: dict[str, Any] = {}
        for position in touched.get(key, ()):
            at_or_after = (row for row in rows if (row.order, row.event) >= position)
            for row in at_or_after:
                wanted[row.event] = row
                if (row.order, row.event) != position:  # of one that is new itself, the next one hangs on it
                    break
        yield from wanted.values()


def _before(connection: Connection, row: Any) -> int:
    """What is in a place just before an assertion on it: what the one before it said, and what moved since."""
    said = t.assertion.c
    same = (said.live, said.place == row.place, said.grade == row.grade)
    earlier = tuple_(said.order, said.event) < (row.order, row.event)
    query = select(said.mg, said.order, said.event).where(*same, earlier)
    last = connection.execute(query.order_by(said.order.desc(), said.event.desc()).limit(1)).one_or_none()
    mg, start = (0, START) if last is None else (last.mg, (last.order, last.event))
    move = t.move.c
    between: tuple[ColumnElement[bool], ...] = (
        move.live,
        move.order >= start[0],
        move.order <= row.order,
        tuple_(move.order, move.event) > start,
        tuple_(move.order, move.event) < (row.order, row.event),
    )
    if row.place.startswith("bin:"):
        between = (*between, move.grade == row.grade)
    return mg + _sum(connection, move.target, row.place, between) - _sum(connection, move.source, row.place, between)


def _sum(connection: Connection, end: Column[str], place: str, between: tuple[ColumnElement[bool], ...]) -> int:
    query = select(func.coalesce(func.sum(t.move.c.mg), 0)).where(end == place, *between)
    return int(connection.execute(query).scalar_one())
