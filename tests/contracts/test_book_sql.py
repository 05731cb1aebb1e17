"""The book on SQLite and on PostgreSQL keeps the same contract as the one in memory."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from book_contract import BookContract, at
from ledgers.servers import everything, new_ledger

from partway.ledger.events.kinds import Set
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace


class OnDisk(BookContract):
    """The contract, and afterwards a rebuild that must change nothing."""

    kind = ""

    @pytest.fixture
    def book(self, tmp_path: Path) -> Iterator[SqlBook]:
        with new_ledger(self.kind, tmp_path) as where, open_workspace(where) as book:
            self.place = where
            yield book
            live = everything(book)
            book.rebuild()
            assert everything(book) == live

    def test_the_mark_changes_with_every_change_and_only_then(self, book: SqlBook) -> None:
        """Also with one of another connection, as another process has; on PostgreSQL strangers may change it, too."""
        marks = [book.mark()]
        for day in range(3):
            book.append([at(day, Set("wage", str(day)))])
            marks.append(book.mark())
        with open_workspace(self.place) as other:
            other.append([at(7, Set("wage", "7"))])
            marks.append(book.mark())
            assert len(set(marks)) == len(marks)
            assert book.facts("setting:") == other.facts("setting:")
        assert book.state()[0] == 4
        if self.kind == "sqlite":
            assert book.mark() == book.mark() == marks[-1]


class TestOnSqlite(OnDisk):
    kind = "sqlite"


class TestOnPostgres(OnDisk):
    kind = "postgres"
