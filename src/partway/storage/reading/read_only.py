"""Reads a ledger that cannot be written (read-only place, or no room); writing is refused, and no file is left beside
it.

SQLite reads a file with a write-ahead log only where it may keep an index beside it (sqlite.org, "Write-Ahead Logging",
"Read-Only Databases"). If nobody has the file open there is no log, and the file can be read as one that does not
change; when the reading ends this is checked again. Each reading opens the file anew, to see what others wrote
meanwhile.
"""

from __future__ import annotations

import secrets
import shutil
import sqlite3
import tempfile
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.pool import NullPool

from partway.storage.connections import REFUSAL, sqlite_url
from partway.storage.refusals import BadLedger, in_words

Stamp = tuple[int, int, int]


class Unlocked(sqlite3.Connection):
    """A connection that holds no lock on its file. `stamp`: the state of the file at opening, if it may change."""

    path: Path
    stamp: Stamp | None = None


def looking_engine(path: Path, refusal: BadLedger) -> Engine:
    """An engine that reads a file which cannot be written; `refusal` is what a writer is told."""
    engine = create_engine(
        sqlite_url(path), creator=lambda: opened(path), poolclass=NullPool, execution_options={REFUSAL: refusal}
    )
    event.listen(engine, "begin", _begin)
    event.listen(engine, "commit", _unchanged)
    return engine


def memory_engine(path: Path) -> Engine:
    """An engine on a copy in memory, for a ledger of an older form that has to be upgraded before it can be read."""
    name = f"file:partway-{secrets.token_hex(8)}?mode=memory&cache=shared"
    copy = sqlite3.connect(name, uri=True, check_same_thread=False)
    with in_words(str(path)):
        source = opened(path)
        source.backup(copy)
        _check_stamp(source)
        source.close()

    def again(of: sqlite3.Connection = copy) -> sqlite3.Connection:  # the copy lasts as long as the engine
        del of
        return sqlite3.connect(name, uri=True, check_same_thread=False, isolation_level=None)

    engine = create_engine(sqlite_url(path), creator=again, poolclass=NullPool)
    event.listen(engine, "begin", _begin)
    return engine


def opened(path: Path) -> sqlite3.Connection:
    """A connection that reads a file, in the way its log allows. Raises sqlite3.Error, OSError.

    A log without its index (the ledger was copied, or its program killed) is read in a copy.
    """
    log, index = Path(f"{path}-wal"), Path(f"{path}-shm")
    if log.exists() and log.stat().st_size:
        return _connection(path, "mode=ro") if index.exists() else _copied(path, log)
    stamp = _stamp(path)
    connection = _connection(path, "mode=ro&immutable=1")
    connection.stamp = stamp
    return connection


def mark(path: Path) -> str:
    """A text that differs after every change of the file or its log."""
    log = Path(f"{path}-wal")
    return f"{_stamp(path)} {_stamp(log) if log.exists() else None}"


def _connection(path: Path, how: str) -> Unlocked:
    uri = f"{path.resolve().as_uri()}?{how}"
    connection = sqlite3.connect(uri, uri=True, check_same_thread=False, isolation_level=None, factory=Unlocked)
    connection.path = path
    return connection


def _copied(path: Path, log: Path) -> sqlite3.Connection:
    """The file with its log, as a database in memory, made by way of a temporary folder."""
    copy = sqlite3.connect(":memory:", check_same_thread=False, isolation_level=None)
    with tempfile.TemporaryDirectory(prefix="partway-") as folder:
        own = Path(folder) / path.name
        before = mark(path)
        shutil.copyfile(path, own)
        shutil.copyfile(log, f"{own}-wal")
        if mark(path) != before:
            raise _changed(path)
        source = sqlite3.connect(own)
        source.backup(copy)
        source.close()
    return copy


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN")


def _unchanged(connection: Connection) -> None:
    raw: Any = connection.connection.driver_connection
    _check_stamp(raw)


def _check_stamp(raw: sqlite3.Connection) -> None:
    if isinstance(raw, Unlocked) and raw.stamp is not None and _stamp(raw.path) != raw.stamp:
        raise _changed(raw.path)


def _changed(path: Path) -> BadLedger:
    return BadLedger("a ledger that changed while it was read", "to read it undisturbed; try again", str(path))


def _stamp(path: Path) -> Stamp:
    found = path.stat()
    return found.st_ino, found.st_size, found.st_mtime_ns
