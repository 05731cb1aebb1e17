"""The ledger under examination; what several checks need is read once."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, create_engine, insert, select

from partway.errors import LedgerDamaged
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import State, fold
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.tables.rows import event_from
from partway.storage.writing.rebuild import rebuild

REBUILD = "partway rebuild works it out anew from the events, which stay as they are"
AT_ONCE = 500  # rows in one statement


@dataclass
class Patient:
    """`file` is None for a ledger on a server."""

    book: SqlBook
    file: Path | None
    now: dt.datetime
    damaged: list[LedgerDamaged] = field(init=False, default_factory=list)
    events: list[Event] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        """Read all events; those that cannot be read are `damaged`."""
        with self.book.reading() as connection:
            for row in connection.execute(select(t.event).order_by(t.event.c.id)):
                try:
                    self.events.append(event_from(row))
                except LedgerDamaged as damaged:
                    self.damaged.append(damaged)

    @cached_property
    def state(self) -> State:
        """What the events say. Only for a ledger without damaged ones."""
        return fold(self.events)

    @cached_property
    def difference(self) -> LedgerDamaged | None:
        """Where the derived tables differ from those worked out anew from the events; None if nowhere."""
        engine = create_engine("sqlite://")
        with engine.begin() as memory, self.book.reading() as live:
            t.metadata.create_all(memory)
            rows = [dict(row._mapping) for row in live.execute(select(t.event))]
            for start in range(0, len(rows), AT_ONCE):
                memory.execute(insert(t.event), rows[start : start + AT_ONCE])
            rebuild(memory)
            wrong = [table.name for table in t.DERIVED if _rows(live, table) != _rows(memory, table)]
        engine.dispose()
        if not wrong:
            return None
        given = f"tables that differ from the events: {', '.join(sorted(wrong))}"
        return LedgerDamaged(given, "what the events make of them", self.book.where, REBUILD)

    @property
    def sound(self) -> bool:
        """Whether every event can be read and the derived tables agree with them."""
        return not self.damaged and self.difference is None


def _rows(connection: Connection, table: Table) -> set[tuple[Any, ...]]:
    return {tuple(row) for row in connection.execute(select(table))}
