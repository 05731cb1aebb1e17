"""From what somebody calls a workspace to its book: a folder with a file in it, or the address of a database."""

from __future__ import annotations

import os
from pathlib import Path

from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from partway.storage.connections import PATIENCE, connect, sqlite_url
from partway.storage.refusals import BadLedger, in_words
from partway.storage.store import SqlBook

FILE = "ledger.sqlite"
VARIABLE = "PARTWAY_WORKSPACE"
SERVER = "postgresql+psycopg"
EXPECTED = f"a folder, or {SERVER}://user@host/database"


def open_workspace(where: str | Path | None = None, *, patience: float = PATIENCE) -> SqlBook:
    """The book of a workspace, made where there is none; `patience` is how many seconds to wait for other writers.

    `where` is a folder or the address of a PostgreSQL database; None: what PARTWAY_WORKSPACE says, or the folder that
    the system has for a program's data. Raises BadLedger for what cannot be opened or is no ledger.
    """
    chosen = _chosen(where)
    if "://" in str(chosen):
        return _served(_address(str(chosen)), patience)
    return open_file(_prepared(Path(chosen)), patience=patience)


def open_file(path: Path, *, patience: float = PATIENCE, keep_copy: bool = True) -> SqlBook:
    """The book in a file, made where there is none. Raises BadLedger."""
    with in_words(str(path)):
        _check_place(path)
    return _opened(sqlite_url(path), str(path), patience, keep_copy)


def _check_place(path: Path) -> None:
    """Refuses what cannot be written before SQLite opens it and leaves a log beside it that blocks later writers."""
    if path.exists() and not path.is_file():
        raise BadLedger("something that is no file", "a ledger", str(path))
    if not path.parent.is_dir():
        raise BadLedger("a folder that does not exist", "a file in a folder that does", str(path))
    effective = os.access in os.supports_effective_ids
    for given, needed in (("a folder", path.parent), ("a file", path)):
        if needed.exists() and not os.access(needed, os.W_OK, effective_ids=effective):
            raise BadLedger(f"{given} that may only be read", "a file and a folder that may be written to", str(path))


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


def _prepared(folder: Path) -> Path:
    path = folder.expanduser() / FILE
    with in_words(str(folder)):
        if folder.expanduser().is_file():
            raise BadLedger("a file", f"{EXPECTED}; the ledger is {FILE} in the folder", str(folder))
        path.parent.mkdir(parents=True, exist_ok=True)
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


def _served(url: URL, patience: float) -> SqlBook:
    return _opened(url, url.render_as_string(hide_password=True), patience)


def _opened(url: URL, where: str, patience: float, keep_copy: bool = True) -> SqlBook:
    try:
        engine = connect(url, patience)
    except ModuleNotFoundError:
        raise BadLedger(f"an address that begins {SERVER}:", "psycopg, which is not installed", "workspace") from None
    try:
        return SqlBook(engine, where, keep_copy=keep_copy)
    except BaseException:
        engine.dispose()
        raise
