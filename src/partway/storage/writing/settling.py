"""Works out again what recounts and weighings come to after an earlier change (ledger.balance.asserting)."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from sqlalchemy import Column, Connection, Select, Text, bindparam, delete, func, insert, select, tuple_
from sqlalchemy.sql.elements import ColumnElement

from partway.ledger.balance.asserting import Key
from partway.ledger.events.effects import Asserted, Effects, Move
from partway.ledger.events.meaning import settled
from partway.storage.tables import tables as t
from partway.storage.tables.rows import move_row
from partway.storage.writing.sums import Change, Position


def settle(connection: Connection, change: Change, fresh: Collection[str] = ()) -> None:
    """Work out again each assertion at or after a change in its place, store it, and add the difference to `change`.

    Only the next assertion on the same place is affected; beyond it nothing differs. `fresh` ones, of events just
    added, had no amount before.
    """
    for row in _next_ones(connection, change.touched):
        said = Asserted(row.place, row.grade, row.mg, row.other)
        old = () if row.event in fresh else moves_of(connection, row.event)
        new = settled(Effects(asserted=said), _before(connection, row)).moves
        if new != old:
            change.add(Effects(moves=old), -1)
            change.add(Effects(moves=new), 1)
            if old:
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
    """The counting assertions at each position and the first one after it, each once."""
    if not touched:
        return
    first = min(position[0] for positions in touched.values() for position in positions)
    places = sorted({place for place, _ in touched})
    by_key: dict[Key, list[Any]] = {}
    for row in connection.execute(SINCE, {"places": places, "first": first}).all():
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
    """What a place holds just before an assertion: what the assertion before it said, plus what moved since."""
    at = {"place": row.place, "grade": row.grade, "order": row.order, "event": row.event}
    return int(connection.execute(BIN_BEFORE if row.place.startswith("bin:") else FIND_BEFORE, at).scalar_one())


def _held(*more: ColumnElement[bool]) -> Select[int]:
    """The query of `_before`. Orders are also compared by themselves, as only they are in the index."""
    said, move = t.assertion.c, t.move.c
    place, grade, order, event = (bindparam(name, type_=Text()) for name in ("place", "grade", "order", "event"))
    earlier = select(said.mg, said.order, said.event).where(said.live, said.place == place, said.grade == grade)
    earlier = earlier.where(tuple_(said.order, said.event) < tuple_(order, event))
    last = earlier.order_by(said.order.desc(), said.event.desc()).limit(1).cte("last")
    mg, start, after = (
        func.coalesce(select(column).scalar_subquery(), none)
        for column, none in ((last.c.mg, 0), (last.c.order, ""), (last.c.event, ""))
    )

    def total(end: Column[str]) -> ColumnElement[int]:
        within = (move.order >= start, move.order <= order, tuple_(move.order, move.event) > tuple_(start, after))
        moved = select(func.coalesce(func.sum(move.mg), 0)).where(end == place, move.live, *within, *more)
        return moved.where(tuple_(move.order, move.event) < tuple_(order, event)).scalar_subquery()

    return select(mg + total(move.target) - total(move.source))


SINCE = (
    select(t.assertion)
    .where(t.assertion.c.live, t.assertion.c.place.in_(bindparam("places", expanding=True)))
    .where(t.assertion.c.order >= bindparam("first"))
    .order_by(t.assertion.c.order, t.assertion.c.event)
)
FIND_BEFORE = _held()
BIN_BEFORE = _held(t.move.c.grade == bindparam("grade"))
