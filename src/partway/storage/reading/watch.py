"""Tells quickly whether a ledger changed."""

from __future__ import annotations

import threading
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.pool import PoolProxiedConnection

from partway.storage.connections import REFUSAL, asking
from partway.storage.reading.read_only import mark
from partway.storage.refusals import in_words

SNAPSHOT = "SELECT CAST(pg_current_snapshot() AS text)"


class Watch:
    """Gives a mark that differs after every change, whoever made it.

    SQLite: `PRAGMA data_version` of a connection used for nothing else, which changes when any other connection
    commits. PostgreSQL: the snapshot with the transactions in progress; it also changes with other databases of the
    server, which only costs some work. A read-only SQLite file: its size and the time of its last change.
    """

    def __init__(self, engine: Engine, where: str) -> None:
        self._engine, self._where = engine, where
        self._lock = threading.Lock()
        self._own: PoolProxiedConnection | None = None

    def mark(self) -> str:
        """The present mark. Raises BadLedger."""
        if self._engine.dialect.name != "sqlite":
            with asking(self._engine, self._where) as connection:
                return str(connection.exec_driver_sql(SNAPSHOT).scalar_one())
        with self._lock, in_words(self._where):
            if self._engine.get_execution_options().get(REFUSAL) is not None:
                return mark(Path(str(self._engine.url.database)))
            if self._own is None:
                self._own = self._engine.raw_connection()
                self._own.detach()
            cursor = self._own.cursor()
            cursor.execute("PRAGMA data_version")
            return str(cursor.fetchall()[0][0])

    def close(self) -> None:
        """Give back the connection."""
        with self._lock:
            if self._own is not None:
                self._own.close()
                self._own = None
