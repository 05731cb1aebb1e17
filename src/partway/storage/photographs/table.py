"""Photographs in a table of the ledger: on a server, which all who share it can reach, and within a backup."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

from sqlalchemy import Connection, select
from sqlalchemy.dialects import postgresql, sqlite

from partway.photographs.photograph import digest_of
from partway.storage.tables import tables as t

Transaction = Callable[[], AbstractContextManager[Connection]]


class PhotographTable:
    """Implements ledger.photographs.Photographs, in the transactions of a book."""

    def __init__(self, writing: Transaction, reading: Transaction) -> None:
        self._writing, self._reading = writing, reading

    def keep(self, digest: str, content: bytes) -> None:
        """Keep one; of two who keep the same the first does."""
        row = {"digest": digest, "content": content}
        with self._writing() as connection:
            insert = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
            connection.execute(insert(t.photograph).values(row).on_conflict_do_nothing())

    def content(self, digest: str) -> bytes | None:
        """One of them; None where it is not here, or is not what it was when it was kept."""
        query = select(t.photograph.c.content).where(t.photograph.c.digest == digest)
        with self._reading() as connection:
            content = connection.execute(query).scalar_one_or_none()
        return content if content is not None and digest_of(content) == digest else None
