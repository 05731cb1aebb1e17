"""The book on SQLite and on PostgreSQL keeps the same contract as the one in memory."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from book_contract import BookContract
from ledgers.servers import empty_workspace, everything

from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace


class OnDisk(BookContract):
    """The contract, and afterwards a rebuild that must change nothing."""

    kind = ""

    @pytest.fixture
    def book(self, tmp_path: Path) -> Iterator[SqlBook]:
        with empty_workspace(self.kind, tmp_path) as where, open_workspace(where) as book:
            yield book
            live = everything(book)
            book.rebuild()
            assert everything(book) == live


class TestOnSqlite(OnDisk):
    kind = "sqlite"


class TestOnPostgres(OnDisk):
    kind = "postgres"
