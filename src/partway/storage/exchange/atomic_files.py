"""Files and folders that are there whole or not at all; none takes the place of another unless that one is kept."""

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
    """Raises BadLedger where a new file cannot be made under a name."""
    with in_words(str(target)):
        if os.path.lexists(target):
            raise BadLedger("a file that is there already", "the name of a new file", str(target))
        if not target.parent.is_dir():
            raise BadLedger("a folder that does not exist", "a file in a folder that does", str(target))


@contextmanager
def beside(target: Path) -> Iterator[Path]:
    """A name in the same folder to write to, gone afterwards with all that SQLite put next to it."""
    path = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        yield path
    finally:
        for name in ("", *LOG):
            with contextlib.suppress(OSError):
                Path(f"{path}{name}").unlink(missing_ok=True)


def private(path: Path) -> None:
    """An empty file that nobody but its owner may read, where there is none yet; what is written to it stays so.

    SQLite gives the files that it keeps beside a ledger the permissions of the ledger.
    """
    with contextlib.suppress(FileExistsError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


@contextmanager
def folders_for(file: Path) -> Iterator[None]:
    """The folder of a new file, its owner's alone where it has to be made; what was made goes again if this fails."""
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
    """Gives a finished file its name. Raises BadLedger where somebody else took it meanwhile."""
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
    """Puts a finished ledger in place of another; the name under which that one is kept beside it.

    There is a ledger under `target` at every moment. Raises BadLedger where a program has the old one open.
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
    """Brings the log of a ledger into the file itself, which takes having it alone. Raises BadLedger.

    `damaged_too`: a file that cannot be read is left as it is.
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
    """Waits until a file's content, or the names in a folder, are on the disk."""
    if os.name == "nt" and path.is_dir():  # Windows opens no folders
        return
    descriptor = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextmanager
def new_file(target: Path) -> Iterator[Path]:
    """A name beside `target` to write to; once that is done it is on the disk and gets its own name.

    Raises BadLedger (a Refused) where `target` is already there or cannot be written; then nothing is left behind.
    """
    refuse_if_there(target)
    with in_words(str(target)), beside(target) as part:
        yield part
        name_it(part, target)


@contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """A folder beside `target` to fill; once that is done its files are on the disk and it is renamed to `target`.

    Raises BadLedger (a Refused) where `target` is already there or cannot be written; then nothing is left behind.
    """
    refuse_if_there(target)
    with in_words(str(target)), beside(target) as part:
        try:
            part.mkdir()
            yield part
            for file in part.iterdir():
                to_disk(file)
            refuse_if_there(target)  # a rename would take the place of an empty folder
            part.rename(target)
            to_disk(target.parent)
        finally:
            shutil.rmtree(part, ignore_errors=True)
