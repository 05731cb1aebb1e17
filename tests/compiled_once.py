"""Each statement is put into words once a process, not once a workspace; and each event read once, not at every look.

Most tests have a workspace of their own, and a tenth of their time went into the same SELECTs and INSERTs again.

SQLAlchemy keeps what it compiled by statement and dialect, and gives each engine a dialect of its own. Every engine on
SQLite here has the same one, made by the same call with the same library, so that they count as one. What is sent to
the database stays as it was, to the letter: tests/unit/test_compiled_once.py.

The demo's months are in hundreds of workspaces, and to read their events is half of the first look into each. An event
never changes (every class of it is frozen), so a row that says to the letter what an earlier one said is the same one.
A row that says anything else is read, and one that is refused is read, and refused, each time.
"""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace
from typing import Any

from sqlalchemy import Connection, event
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.engine import Engine

from partway.ledger.events.event import Event
from partway.storage.tables.rows import event_from
from partway.storage.writing import naming

COMPILED: dict[Any, Any] = {}
COLUMNS = ("id", "kind", "who", "happened", "typed", "schema", "device", "order", "refs", "intent", "data")
REMEMBERED = 20_000  # events: some times the months


def compiled_once() -> None:
    """From here on."""
    SQLiteDialect_pysqlite.__eq__ = _same  # type: ignore[method-assign,assignment]
    SQLiteDialect_pysqlite.__hash__ = _of_its_class  # type: ignore[method-assign,assignment]
    event.listen(Engine, "engine_connect", _share)
    naming.event_from = event_once  # type: ignore[attr-defined]  # it is named there, not given out


def _same(one: SQLiteDialect_pysqlite, other: object) -> bool:
    return type(one) is type(other)


def _of_its_class(one: SQLiteDialect_pysqlite) -> int:
    return hash(type(one))


def _share(connection: Connection) -> None:
    if isinstance(connection.dialect, SQLiteDialect_pysqlite):
        connection.execution_options(compiled_cache=COMPILED)


def event_once(row: Any) -> Event:
    """The event of a row, as `event_from` has it."""
    return _read(*[getattr(row, name) for name in COLUMNS])


@lru_cache(REMEMBERED, typed=True)  # 1.0 is no schema, 1 is
def _read(*values: Any) -> Event:
    return event_from(SimpleNamespace(**dict(zip(COLUMNS, values, strict=True))))
