"""Each statement is put into words once a process, not once a workspace.

Most tests have a workspace of their own, and a tenth of their time went into the same SELECTs and INSERTs again.

SQLAlchemy keeps what it compiled by statement and dialect, and gives each engine a dialect of its own. Every engine on
SQLite here has the same one, made by the same call with the same library, so that they count as one. What is sent to
the database stays as it was, to the letter: tests/unit/test_compiled_once.py.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, event
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.engine import Engine

COMPILED: dict[Any, Any] = {}


def compiled_once() -> None:
    """From here on."""
    SQLiteDialect_pysqlite.__eq__ = _same  # type: ignore[method-assign,assignment]
    SQLiteDialect_pysqlite.__hash__ = _of_its_class  # type: ignore[method-assign,assignment]
    event.listen(Engine, "engine_connect", _share)


def _same(one: SQLiteDialect_pysqlite, other: object) -> bool:
    return type(one) is type(other)


def _of_its_class(one: SQLiteDialect_pysqlite) -> int:
    return hash(type(one))


def _share(connection: Connection) -> None:
    if isinstance(connection.dialect, SQLiteDialect_pysqlite):
        connection.execution_options(compiled_cache=COMPILED)
