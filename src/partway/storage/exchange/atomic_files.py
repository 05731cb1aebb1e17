"""Writes files and folders whole or not at all; nothing is overwritten without a copy being kept."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from partway.storage.refusals import BadLedger, in_words

LOG = ("-wal", "-shm", "-journal")  # what SQLite keeps next to a file while it is open
DAMAGED = {sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT}


def refuse_if_there(target: Path) -> None:
    """Raises BadLedger if the name is taken or its folder does not exist."""
    with in_words(str(target)):
        if os.path.lexists(target):
            raise BadLedger("a file that is there already", "the name of a new file", str(target))
        if not target.parent.is_dir():
            raise BadLedger("a folder that does not exist", "a file in a folder that does", str(target))


@contextmanager
def beside(target: Path) -> Iterator[Path]:
    """A temporary name in the same folder; it is removed afterwards with all that SQLite put next to it."""
    path = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        yield path
    finally:
        for name in ("", *LOG):
            with contextlib.suppress(OSError):
                Path(f"{path}{name}").unlink(missing_ok=True)


def private(path: Path) -> None:
    """Make an empty file that only its owner may read, unless one is there; it keeps these permissions.

    SQLite gives the files that it keeps beside a ledger the permissions of the ledger.
    """
    with contextlib.suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


@contextmanager
def folders_for(file: Path) -> Iterator[None]:
    """Make the folders for a new file, readable by their owner alone; they are removed again if the body fails."""
    with in_words(str(file.parent)):
        missing = [folder for folder in (file.parent, *file.parent.parents) if not folder.exists()]
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        yield
    except BaseException:
        for folder in missing:
            with contextlib.suppress(OSError):  # somebody put something in it
                folder.rmdir()
        raise


def name_it(path: Path, target: Path) -> None:
    """Give a finished file its name. Raises BadLedger if the name was taken meanwhile."""
    with in_words(str(target)):
        to_disk(path)
        try:
            os.link(path, target)  # unlike a rename, it never writes over
        except FileExistsError:
            refuse_if_there(target)
        except OSError:  # a file system without links
            refuse_if_there(target)
            path.rename(target)
        to_disk(target.parent)


def swap(path: Path, target: Path) -> Path:
    """Replace a ledger by a finished one. Returns the name under which the old one is kept beside it.

    At every moment there is a ledger under `target`. Raises BadLedger if a program has the old one open.
    """
    stamp = dt.datetime.now(dt.UTC).strftime("%Y%m%dT%H%M%SZ")
    kept = target.with_name(f"{target.name}.before-{stamp}-{secrets.token_hex(2)}")
    with in_words(str(target)):
        to_disk(path)
        into_one_file(target, damaged_too=True)
        for name in LOG:  # of a damaged file: the new one must not find them
            if Path(f"{target}{name}").exists():
                Path(f"{target}{name}").rename(f"{kept}{name}")
        try:
            os.link(target, kept)
        except OSError:
            target.rename(kept)
        path.replace(target)
        to_disk(target.parent)
    return kept


def into_one_file(path: Path, *, damaged_too: bool = False) -> None:
    """Merge a ledger's log into its file, which nobody else may have open. Raises BadLedger.

    `damaged_too`: do not raise for a file that cannot be read, and leave it as it is.
    """
    try:
        with contextlib.closing(sqlite3.connect(path, timeout=1.0)) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.DatabaseError as error:
        code = getattr(error, "sqlite_errorcode", -1) & 0xFF
        if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
            given = "a ledger that another program has open"
            raise BadLedger(given, "nobody to have it open meanwhile", str(path)) from error
        if not (damaged_too and code in DAMAGED):
            raise


def to_disk(path: Path) -> None:
    """Wait until a file's content, or the names in a folder, are on the disk."""
    if os.name == "nt" and path.is_dir():  # Windows opens no folders
        return
    descriptor = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextmanager
def new_file(target: Path) -> Iterator[Path]:
    """A temporary file to write to; at the end it is on the disk and is renamed to `target`.

    Raises BadLedger (a Refused) if `target` exists or cannot be written; then nothing is left behind.
    """
    refuse_if_there(target)
    with in_words(str(target)), beside(target) as part:
        yield part
        name_it(part, target)


@contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """A temporary folder to fill; at the end its files are on the disk and it is renamed to `target`.

    Raises BadLedger (a Refused) if `target` exists or cannot be written; then nothing is left behind.
    """
    refuse_if_there(target)
    with in_words(str(target)), beside(target) as part:
        try:
            part.mkdir()
            yield part
            for file in part.rglob("*"):
                to_disk(file)
            refuse_if_there(target)  # a rename would take the place of an empty folder
            part.rename(target)
            to_disk(target.parent)
        finally:
            shutil.rmtree(part, ignore_errors=True)
