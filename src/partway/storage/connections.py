"""One engine, one way to read and one way to write; nothing else begins a transaction.

SQLite: write-ahead log, every commit on the disk before it returns, BEGIN IMMEDIATE for a writer, so that it never has
to give up half-way for a reader that came first (sqlite.org, "Isolation In SQLite" and "PRAGMA synchronous").
PostgreSQL: one writer at a time by an advisory lock, readers on a snapshot. Each message to the server and back is time
that somebody waits, so a transaction says what it is as it begins, and one statement alone needs none.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, cast

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import InvalidatePoolError, OperationalError
from sqlalchemy.pool import ConnectionPoolEntry

from partway.storage.refusals import BadLedger, in_words

PATIENCE = 30.0  # seconds to wait for another writer
LOOK = 0.01  # seconds until one who has just come looks again whether another writer is done
POSTGRES_LOCK = 0x70617274776179  # "partway": any number, the same in every program
REFUSAL = "partway_refusal"  # of an engine that only reads: what a writer is told (storage.reading.read_only)
IDLE = 5.0  # seconds after which a connection is tried before it is used: the server may have gone meanwhile
KEPT, MORE = 10, 20  # connections to a server that are kept, and as many more while there is much to do
_USED = "partway_used"
_ALONE = {"isolation_level": "AUTOCOMMIT"}
_WRITING = "partway_writing"
_PATIENCE = "partway_patience"
# What comes after the lock has to see what its last holder kept, so the snapshot is taken anew by each statement,
# whatever the server's own default is (PostgreSQL documentation, 13.2.1).
_TAKE_LOCK = f"SET LOCAL lock_timeout = {{timeout}}; SELECT pg_advisory_xact_lock({POSTGRES_LOCK})"


def sqlite_url(path: Path) -> URL:
    """The address of a file."""
    return URL.create("sqlite", database=str(path))


def connect(url: str | URL, patience: float = PATIENCE) -> Engine:
    """An engine for SQLite or PostgreSQL, with connections and transactions set up as this module says.

    `patience` is how many seconds to wait for another writer.
    """
    parsed = make_url(url)
    if parsed.drivername == "sqlite":
        engine = create_engine(parsed, connect_args={"timeout": patience}, execution_options={_PATIENCE: patience})
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", lambda connection: _begin_sqlite(connection, patience))
        return engine
    engine = create_engine(parsed, pool_size=KEPT, max_overflow=MORE, execution_options={_PATIENCE: patience})
    event.listen(engine, "checkin", _note_use)
    event.listen(engine, "checkout", lambda raw, record, _: _try_idle(engine, raw, record))
    event.listen(engine, "begin", lambda connection: _begin_postgres(connection, patience))
    return engine


def _note_use(_raw: object, record: ConnectionPoolEntry) -> None:
    record.info[_USED] = time.monotonic()


def _try_idle(engine: Engine, raw: Any, record: ConnectionPoolEntry) -> None:
    """A connection that was not used for a while is tried first; where the server is gone, all are made anew."""
    if time.monotonic() - record.info.get(_USED, time.monotonic()) < IDLE:
        return
    try:
        engine.dialect.do_ping(raw)
    except cast(Any, engine.dialect.dbapi).Error as error:
        raise InvalidatePoolError from error


def patience_of(engine: Engine) -> float:
    """How many seconds an engine waits for another writer."""
    return float(engine.get_execution_options().get(_PATIENCE, PATIENCE))


@contextmanager
def writing(engine: Engine, where: str) -> Iterator[Connection]:
    """A transaction that writes: when it ends all of it is on the disk, or none of it happened.

    Raises BadLedger if the database refuses; `where` names the ledger.
    """
    refuse_to_write(engine)
    with in_words(where), engine.execution_options(**{_WRITING: True}).begin() as connection:
        yield connection


def refuse_to_write(engine: Engine) -> None:
    """Raises BadLedger where the ledger can only be read."""
    refusal: BadLedger | None = engine.get_execution_options().get(REFUSAL)
    if refusal is not None:
        raise BadLedger(refusal.given, refusal.expected, refusal.where)


@contextmanager
def reading(engine: Engine, where: str) -> Iterator[Connection]:
    """A transaction that sees one state of the ledger from its first statement to its last."""
    with in_words(where), engine.begin() as connection:
        yield connection


@contextmanager
def asking(engine: Engine, where: str) -> Iterator[Connection]:
    """For one statement, which sees one state of the ledger by itself; a server is asked without a transaction."""
    if engine.dialect.name == "sqlite":
        with reading(engine, where) as connection:
            yield connection
        return
    with in_words(where), engine.connect() as connection:
        yield connection.execution_options(**_ALONE)


@contextmanager
def held(connection: Connection, where: str) -> Iterator[Connection]:
    """The connection of a transaction that was begun before and goes on afterwards."""
    with in_words(where):
        yield connection


def _set_up_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None  # the driver begins nothing on its own
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")


def _begin_sqlite(connection: Connection, patience: float) -> None:
    if not connection.get_execution_options().get(_WRITING):
        connection.exec_driver_sql("BEGIN")
        return
    raw = cast(sqlite3.Connection, connection.connection.driver_connection)
    raw.execute("PRAGMA busy_timeout = 0")
    try:
        _wait_and_begin(connection, patience)
    finally:
        raw.execute(f"PRAGMA busy_timeout = {int(patience * 1000)}")


def _wait_and_begin(connection: Connection, patience: float) -> None:
    """Wait until nobody else writes, then begin. Whoever has waited longer tries more often.

    SQLite's own waiting does the opposite: it looks ever less often, so that those who come later are served first
    (sqlite.org, "sqlite3_busy_timeout"). Of eight busy processes nobody waited half as long this way, and all of them
    together were done in the same time (docs/reliability.md).
    """
    began = time.monotonic()
    while True:
        try:
            connection.exec_driver_sql("BEGIN IMMEDIATE")
        except OperationalError as error:
            waited = time.monotonic() - began
            if not _is_busy(error.orig) or waited >= patience:
                raise
            time.sleep(min(LOOK / (1 + waited), patience - waited))
        else:
            return


def _is_busy(error: object) -> bool:
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_OK) & 0xFF
    return code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}


def _begin_postgres(connection: Connection, patience: float) -> None:
    """The driver begins with the first statement, and says then what is set here."""
    from psycopg import IsolationLevel

    raw: Any = connection.connection.driver_connection
    if raw.autocommit:  # `asking`
        return
    is_writing = bool(connection.get_execution_options().get(_WRITING))
    raw.read_only = None if is_writing else True  # where a server lets nobody write, its word stands
    raw.isolation_level = IsolationLevel.READ_COMMITTED if is_writing else IsolationLevel.REPEATABLE_READ
    if is_writing:
        connection.exec_driver_sql(_TAKE_LOCK.format(timeout=int(patience * 1000)))


def use_log(engine: Engine, patience: float = PATIENCE) -> None:
    """Switch a SQLite file to a write-ahead log, unless it has one. The setting stays in the file.

    The change needs the file for itself for a moment and does not wait on its own, hence the loop.
    """
    if engine.dialect.name != "sqlite":
        return
    until = time.monotonic() + patience
    while True:
        raw = engine.raw_connection()
        try:
            raw.cursor().execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError as error:
            if not _is_busy(error) or time.monotonic() > until:
                raise
            time.sleep(0.01)
        else:
            return
        finally:
            raw.close()
