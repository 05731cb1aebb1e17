"""One transaction for all that a thread reads, decides and appends, without other writers in between."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine

from partway.storage import connections
from partway.storage.refusals import locked
from partway.storage.tables.upgrade import still_ours


class _OfThread(threading.local):
    """The transaction a thread is in, and the first error of an append in it."""

    connection: Connection | None = None
    failed: BaseException | None = None


class Decisions:
    """The writing transactions of one book.

    Threads of this process wait for each other in memory, so that at most one connection waits for other processes.
    Otherwise waiting threads could use up the connections that the writer needs.
    """

    def __init__(self, engine: Engine, where: str) -> None:
        self._engine, self._where = engine, where
        self._patience = connections.patience_of(engine)
        self._turn = threading.Lock()
        self._mine = _OfThread()

    @property
    def connection(self) -> Connection | None:
        """The connection of the transaction this thread is in."""
        return self._mine.connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The transaction of this thread; begun if there is none, ended by the outermost user.

        Its end keeps everything, an error nothing. Raises BadLedger if others keep the ledger too long.
        """
        if self._mine.connection is not None:
            yield self._mine.connection
            return
        if not self._turn.acquire(timeout=self._patience):
            raise locked(self._where)
        try:
            with connections.writing(self._engine, self._where) as connection:
                still_ours(connection, self._where)
                self._mine.connection, self._mine.failed = connection, None
                try:
                    yield connection
                finally:
                    self._mine.connection = None
                if self._mine.failed is not None:
                    raise self._mine.failed
        finally:
            self._turn.release()

    @contextmanager
    def whole(self) -> Iterator[None]:
        """Writing that must be complete: after an error inside, nothing of the transaction is kept."""
        try:
            yield
        except BaseException as error:
            self._mine.failed = self._mine.failed or error
            raise
