"""Books on SQLite and PostgreSQL to try things on, each empty and gone afterwards.

The PostgreSQL server is that of PARTWAY_TEST_POSTGRES (`.ci/postgres with COMMAND`, which `make test` does by itself).
"""

from __future__ import annotations

import atexit
import os
import secrets
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, MetaData, Row, create_engine, delete, insert, literal_column, select
from sqlalchemy.engine import make_url
from workspaces import made

from partway.ledger.fold.fold import fold
from partway.storage.migrations import HEAD
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.tables.upgrade import VERSION_TABLE
from partway.storage.workspace import open_workspace
from partway.storage.writing.rebuild import Models, models_of, read_models

VARIABLE = "PARTWAY_TEST_POSTGRES"


@contextmanager
def empty_schema() -> Iterator[str]:
    """The address of a new schema on the test server, dropped afterwards. No server: failed in CI, else skipped."""
    if not os.environ.get(VARIABLE):
        missing = f"not run: {VARIABLE} is not set; .ci/postgres with make test"
        if os.environ.get("CI"):
            pytest.fail(missing)
        pytest.skip(missing)
    name, url = f"t{secrets.token_hex(6)}", _own_database()
    server = create_engine(url, isolation_level="AUTOCOMMIT")
    with server.connect() as connection:
        connection.exec_driver_sql(f"CREATE SCHEMA {name}")
    try:
        own = make_url(url).update_query_dict({"options": f"-csearch_path={name}"})
        yield own.render_as_string(hide_password=False)
    finally:
        with server.connect() as connection:
            connection.exec_driver_sql("SET lock_timeout = 60000")  # a book left open is a failure, not a wait
            connection.exec_driver_sql(f"DROP SCHEMA {name} CASCADE")
        server.dispose()


@cache
def _own_database() -> str:
    """The address of a database of this process: writers at one database wait for one another, whatever the schema, and
    the tests run in several processes. Dropped at the end.
    """
    given = os.environ[VARIABLE]
    name = f"tests_{os.getpid()}_{secrets.token_hex(3)}"
    _on_server(given, f"CREATE DATABASE {name}")
    atexit.register(_on_server, given, f"DROP DATABASE {name} WITH (FORCE)")
    return make_url(given).set(database=name).render_as_string(hide_password=False)


def _on_server(url: str, statement: str) -> None:
    server = create_engine(url, isolation_level="AUTOCOMMIT")
    with server.connect() as connection:
        connection.exec_driver_sql(statement)
    server.dispose()


@contextmanager
def empty_workspace(kind: str, folder: Path) -> Iterator[str]:
    """Where an empty workspace may be made: a folder that is not there yet, or a schema of a server."""
    if kind == "sqlite":
        yield str(folder / f"workspace-{secrets.token_hex(4)}")
    else:
        with empty_schema() as url:
            yield url


@contextmanager
def new_ledger(kind: str, folder: Path) -> Iterator[str]:
    """Where a workspace without an event is, for tests that do not look at how its tables are made: in a folder they
    are copied (workspaces.py), on a server they are those of an earlier test, with nothing left in them.
    """
    if kind == "sqlite":
        yield str(made(folder / f"workspace-{secrets.token_hex(4)}"))
    else:
        with _tables_again() as url:
            yield url


@contextmanager
def _tables_again() -> Iterator[str]:
    """The address of a schema with empty tables: to make them and drop them takes longer than most tests."""
    tables = SPARE.pop() if SPARE else _tables_made()
    yield tables.url
    with tables.server.begin() as connection:
        connection.exec_driver_sql("SET LOCAL lock_timeout = 60000")  # a book left open is a failure, not a wait
        connection.exec_driver_sql(tables.clearing)
        unchanged = connection.exec_driver_sql(SHAPE).all() == tables.shape
    if unchanged:
        SPARE.append(tables)


@dataclass
class Tables:
    """A schema with the tables of a workspace; `clearing` leaves in them what a new one has, `shape` tells changes."""

    url: str
    server: Engine
    clearing: str
    shape: Sequence[Row[Any]]


SPARE: list[Tables] = []
# Every column, index and rule.
SHAPE = """
    SELECT relname, attnum, attname, format_type(atttypid, atttypmod), attnotnull FROM pg_attribute
    JOIN pg_class ON attrelid = pg_class.oid WHERE relnamespace = current_schema()::regnamespace
    UNION ALL SELECT conname, 0, pg_get_constraintdef(oid), '', TRUE FROM pg_constraint
    WHERE connamespace = current_schema()::regnamespace ORDER BY 1, 2
"""


def _tables_made() -> Tables:
    """Made as a workspace makes them, dropped when the tests end."""
    held = ExitStack()
    url = held.enter_context(empty_schema())
    server = create_engine(url)
    atexit.register(held.close)
    held.callback(server.dispose)
    open_workspace(url).close()
    with server.connect() as connection:
        metadata = MetaData()
        metadata.reflect(connection)
        tables = metadata.sorted_tables[::-1]
        left = [table.name for table in tables if connection.execute(select(table).limit(1)).first()]
        assert left == [VERSION_TABLE]
        names = ", ".join(f'"{table.name}"' for table in tables)
        clear = [f"LOCK TABLE {names}", *(str(delete(table)) for table in tables)]
        form = insert(metadata.tables[VERSION_TABLE]).values(version_num=literal_column(f"'{HEAD}'"))
        return Tables(url, server, "; ".join([*clear, str(form)]), connection.exec_driver_sql(SHAPE).all())


def emptied(book: SqlBook) -> SqlBook:
    """The book without anything in it, as no user could make it."""
    with book.writing() as connection:
        for table in (*t.DERIVED, t.event):
            connection.execute(delete(table))
    return book


def kept(book: SqlBook) -> Models:
    """The read models as they are."""
    with book.reading() as connection:
        return read_models(connection)


def due(book: SqlBook) -> Models:
    """The read models as the events alone have it."""
    return models_of(fold(book.recorded()))


def everything(book: SqlBook) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table that follows from the events, sorted."""
    with book.reading() as connection:
        return {table.name: _rows(connection, table.name) for table in t.DERIVED}


def _rows(connection: Connection, name: str) -> list[tuple[object, ...]]:
    return sorted(tuple(row) for row in connection.execute(select(t.metadata.tables[name])))
