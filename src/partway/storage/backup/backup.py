"""Makes a copy of a ledger that is known to open, and restores it.

A copy is written under a temporary name and gets its own name once it has passed every check. No file is overwritten.
"""

from __future__ import annotations

import contextlib
import sqlite3
from pathlib import Path

from sqlalchemy import func, select

from partway.errors import Hint
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Pictured
from partway.ledger.fold.fold import check, fold
from partway.storage.exchange.atomic_files import (
    beside,
    folders_for,
    into_one_file,
    name_it,
    private,
    refuse_if_there,
    swap,
)
from partway.storage.photographs.carried import carry
from partway.storage.photographs.folder import FOLDER, PhotographFolder
from partway.storage.reading.read_only import opened
from partway.storage.refusals import BadLedger, in_words
from partway.storage.store import SqlBook
from partway.storage.tables import tables as t
from partway.storage.tables.upgrade import APPLICATION_ID
from partway.storage.workspace import ledger_file, open_file
from partway.storage.writing.derive import CHUNK
from partway.storage.writing.rebuild import models_of, read_models


def backup(book: SqlBook, target: Path) -> int:
    """Copy a ledger, also while others write to it. Returns how many events the copy has.

    Of SQLite, the file as it is at one moment; of PostgreSQL, a new SQLite ledger with the same events. The copy is a
    single file, with the photographs in it. Raises BadLedger if `target` exists, or the copy is not sound.
    """
    refuse_if_there(target)
    with beside(target) as copy:
        with in_words(str(target)):
            private(copy)
        if book.engine.dialect.name == "sqlite":
            _copy(book, copy)
        else:
            _collect(book, copy)
        with open_file(copy, keep_copy=False) as other:
            carry(other.events((Pictured.KIND,)), book.photographs, other.photographs)
        count = _sound(copy, str(target))
        name_it(copy, target)
    return count


def restore(source: Path, workspace: str | Path | None = None, *, overwrite: bool = False) -> Path | None:
    """Make a backup the ledger of a folder, once it was found sound. Returns where the old ledger is now, if there was
    one.

    Raises BadLedger if the backup is not sound, the workspace is open elsewhere, or it has a ledger and `overwrite` is
    False. With `overwrite` the old ledger is kept beside the new one under another name.
    """
    target = ledger_file(workspace)
    with in_words(str(source)):
        if not source.is_file():
            raise BadLedger("no such file", "a backup of a ledger", str(source))
    with in_words(str(target)):
        if target.exists() and not overwrite:
            raise BadLedger("a workspace that has a ledger", "an empty one", str(target), hint=Hint("overwrite"))
    with folders_for(target), beside(target) as copy:
        with in_words(str(target)):
            private(copy)
        _copy_file(source, copy)
        _sound(copy, str(source))
        _pour_out(copy, target.parent)
        if target.exists():
            return swap(copy, target)
        name_it(copy, target)
    return None


def _pour_out(copy: Path, folder: Path) -> None:
    """The photographs of a backup into their folder; the file is then as small as a ledger in use."""
    with open_file(copy, keep_copy=False) as other:
        carry(other.events((Pictured.KIND,)), other.photographs, PhotographFolder(folder / FOLDER))
    with in_words(str(copy)), contextlib.closing(sqlite3.connect(copy)) as connection:
        connection.execute("DELETE FROM photograph")
        connection.commit()
        connection.execute("VACUUM")
    with in_words(str(copy)):
        into_one_file(copy)


def _sound(path: Path, where: str) -> int:
    """Check a file: whole by SQLite, opens as a ledger, read models agree with its events. Returns how many events it
    has.

    Afterwards all of it is in the one file. `where` names it in messages. Raises BadLedger.
    """
    with in_words(where), contextlib.closing(sqlite3.connect(path)) as connection:
        mark = connection.execute("PRAGMA application_id").fetchone()[0]
        complaints = [text for (text,) in connection.execute("PRAGMA integrity_check")]
        strangers = connection.execute("PRAGMA foreign_key_check").fetchall()
    if mark != APPLICATION_ID:
        raise BadLedger("a database of another program", "a partway ledger", where)
    if complaints != ["ok"] or strangers:
        raise BadLedger("a damaged file", "a whole ledger", where)
    with open_file(path, keep_copy=False) as book:
        count = _agreed(book, where)
    with in_words(where):
        into_one_file(path)
    return count


def _agreed(book: SqlBook, where: str) -> int:
    state = fold(book.recorded())
    check(state)
    with book.reading() as connection:
        count = connection.execute(select(func.count()).select_from(t.event)).scalar_one()
        kept = read_models(connection)
    if count != len(state.events) or kept != models_of(state):
        raise BadLedger("read models that differ from the events", "a ledger that agrees with itself", where)
    return count


def _copy(book: SqlBook, target: Path) -> None:
    """Copy a SQLite ledger as it is at one moment; others may write meanwhile (sqlite.org, "SQLite Backup API")."""
    with book.reading() as connection, contextlib.closing(sqlite3.connect(target)) as other:
        raw = connection.connection.driver_connection
        assert isinstance(raw, sqlite3.Connection)  # noqa: S101 (only asked of SQLite)
        raw.backup(other)


def _copy_file(source: Path, target: Path) -> None:
    """Copy a backup, which may lie where nothing can be written."""
    with (
        in_words(str(source)),
        contextlib.closing(opened(source)) as one,
        contextlib.closing(sqlite3.connect(target)) as other,
    ):
        one.backup(other)


def _collect(book: SqlBook, target: Path) -> None:
    """Copy the events of a database into a new file."""
    part: list[Event] = []
    with open_file(target) as copy:
        for event in book.recorded():
            part.append(event)
            if len(part) == 10 * CHUNK:
                copy.append(part)
                part = []
        copy.append(part)
