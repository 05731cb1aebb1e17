"""Opens the book of a workspace: a folder with a file in it, or the address of a database."""

from __future__ import annotations

import errno
import os
import shutil
from contextlib import suppress
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from partway.storage.connections import PATIENCE, REFUSAL, connect, reading, sqlite_url
from partway.storage.exchange.atomic_files import beside, folders_for, private, to_disk
from partway.storage.migrations import HEAD
from partway.storage.reading.read_only import looking_engine, memory_engine
from partway.storage.refusals import FULL, SHUT, BadLedger, NoLedger, Unwritable, in_words
from partway.storage.store import LEDGER, SqlBook
from partway.storage.tables.upgrade import form

FILE = LEDGER
HTTPS = "https"  # the folder beside a ledger for the keys and certificates of `serve --phone`
VARIABLE = "PARTWAY_WORKSPACE"
SERVER = "postgresql+psycopg"
INDEX_BYTES = 32_768  # that SQLite keeps beside an open ledger at least (sqlite.org, "WAL-Index File Format")
NO_LINKS = {errno.EPERM}  # what some of them say (link(2))
EFFECTIVE = os.access in os.supports_effective_ids
EXPECTED = f"a folder, or {SERVER}://user@host/database"


def open_workspace(where: str | Path | None = None, *, patience: float = PATIENCE, make: bool = True) -> SqlBook:
    """The book of a workspace, made where there is none; `patience` is how many seconds to wait for other writers.

    `where` is a folder or the address of a PostgreSQL database; if None, PARTWAY_WORKSPACE, else the system's folder
    for a program's data. With `make` False a missing ledger raises NoLedger. A ledger that cannot be written (read-only
    place, no room) is opened for reading; writing is refused. Raises BadLedger for what cannot be opened or is no
    ledger.
    """
    chosen = _chosen(where)
    if "://" in str(chosen):
        return _served(_address(str(chosen)), patience, make)
    path = _file_in(Path(chosen))
    with in_words(str(path)):
        absent = not path.exists()
    if absent:
        _check_log(path)
        if not make:
            raise NoLedger("a workspace without a ledger", f"a {FILE} in it", str(path.parent))
        _make(path, patience)
    return open_file(path, patience=patience)


def open_file(path: Path, *, patience: float = PATIENCE, keep_copy: bool = True) -> SqlBook:
    """The book in a file, made where there is none. Raises BadLedger."""
    try:
        with in_words(str(path)):
            _check_place(path)
            private(path)
        return _opened(sqlite_url(path), str(path), patience, keep_copy)
    except Unwritable as refusal:
        return _looked_at(path, _reason(path, refusal))


def _make(path: Path, patience: float) -> None:
    """Make a new ledger, whole or not at all. Another program may have made one meanwhile."""
    with folders_for(path), beside(path) as part:
        with in_words(str(path)):
            _check_place(part)
            private(part)
        _opened(sqlite_url(part), str(path), patience, keep_copy=False).close()
        with in_words(str(path)), suppress(FileExistsError):
            to_disk(part)
            try:
                os.link(part, path)
            except OSError as error:
                if isinstance(error, FileExistsError) or error.errno in SHUT - NO_LINKS:
                    raise  # else it is a file system without links, where the ledger is made in its place
            to_disk(path.parent)


def _looked_at(path: Path, refusal: Unwritable) -> SqlBook:
    """The book in a file that cannot be written; one of an older form is upgraded in memory."""
    where = str(path)
    if not path.is_file() or not os.access(path, os.R_OK, effective_ids=EFFECTIVE):
        raise refusal
    engine = looking_engine(path, refusal)
    try:
        with reading(engine, where) as connection:
            current = form(connection, where)
        if current == HEAD:
            return SqlBook(engine, where)
        engine = memory_engine(path)
        book = SqlBook(engine, where, keep_copy=False)
    except Unwritable:  # nor can it be read
        engine.dispose()
        raise refusal from None
    engine.update_execution_options(**{REFUSAL: refusal})
    return book


def _reason(path: Path, refusal: Unwritable) -> Unwritable:
    """The refusal; where there is no room for the index it says so, as SQLite only reports a failed write."""
    if path.parent.is_dir() and shutil.disk_usage(path.parent).free < INDEX_BYTES:
        return Unwritable(*FULL, str(path))
    return refusal


def _check_place(path: Path) -> None:
    """Refuse what cannot be written, before SQLite opens it and leaves a log that blocks later writers."""
    if path.exists() and not path.is_file():
        raise BadLedger("something that is no file", "a ledger", str(path))
    if not path.parent.is_dir():
        raise BadLedger("a folder that does not exist", "a file in a folder that does", str(path))
    for given, needed in (("a folder", path.parent), ("a file", path)):
        if needed.exists() and not os.access(needed, os.W_OK, effective_ids=EFFECTIVE):
            expected = "a file and a folder that may be written to"
            raise Unwritable(f"{given} that may only be read", expected, str(path))


def _check_log(path: Path) -> None:
    """Refuse a place where the ledger is missing but its log is there: the log holds the last entries."""
    log = Path(f"{path}-wal")
    with in_words(str(log)):
        if log.exists() and log.stat().st_size:
            expected = f"{FILE} beside it: bring that back, or move the log to another folder to begin anew"
            raise BadLedger("a log without its ledger; the last entries may be in it", expected, str(log))


def usual_folder() -> Path:
    """Where the system keeps a program's data."""
    from platformdirs import user_data_path

    return user_data_path("partway", appauthor=False)


def data_folder(where: str | Path | None = None) -> Path:
    """Where files beside a ledger go: its folder, or the system's where the ledger is on a server."""
    chosen = _chosen(where)
    return usual_folder() if "://" in str(chosen) else Path(chosen).expanduser()


def ledger_file(where: str | Path | None = None) -> Path:
    """The file of a workspace that is a folder. Raises BadLedger for one that is a server's."""
    chosen = _chosen(where)
    if "://" in str(chosen):
        raise BadLedger(_address(str(chosen)).render_as_string(hide_password=True), "a folder", "workspace")
    return Path(chosen).expanduser() / FILE


def _chosen(where: str | Path | None) -> str | Path:
    return where or os.environ.get(VARIABLE) or usual_folder()


def _file_in(folder: Path) -> Path:
    path = folder.expanduser() / FILE
    with in_words(str(folder)):
        if folder.expanduser().is_file():
            raise BadLedger("a file", f"{EXPECTED}; the ledger is {FILE} in the folder", str(folder))
    return path


def _address(text: str) -> URL:
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        # The text is not repeated: it may hold a password.
        raise BadLedger("an address that cannot be read", EXPECTED, "workspace") from None
    if url.drivername != SERVER:
        raise BadLedger(f"an address that begins {url.drivername}:", EXPECTED, "workspace")
    return url


def _served(url: URL, patience: float, make: bool) -> SqlBook:
    return _opened(url, url.render_as_string(hide_password=True), patience, make=make)


def _opened(url: URL, where: str, patience: float, keep_copy: bool = True, make: bool = True) -> SqlBook:
    try:
        engine = connect(url, patience)
    except ModuleNotFoundError:
        raise BadLedger(f"an address that begins {SERVER}:", "psycopg, which is not installed", "workspace") from None
    try:
        if not make:
            _check_tables(engine, where)
        return SqlBook(engine, where, keep_copy=keep_copy)
    except BaseException:
        engine.dispose()
        raise


def _check_tables(engine: Engine, where: str) -> None:
    """Raises NoLedger for a database without tables."""
    with reading(engine, where) as connection:
        if form(connection, where) is None:
            raise NoLedger("a database without a ledger", "one in which a ledger was begun", where)
