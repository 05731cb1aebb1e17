"""Errors of a database that are nobody's bug, each as one refusal in words; nothing was written."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from partway.errors import LedgerRefuses

if TYPE_CHECKING:
    from sqlalchemy.exc import DBAPIError

_WRITABLE = "a file and a folder that may be written to"
_LOCKED = ("a ledger that another program keeps locked", "to have it within the time allowed; try again")
FULL = ("a full disk", "room to write; nothing was lost and nothing of this was kept")
_SQLITE = {  # primary result codes; the low byte of an extended one
    sqlite3.SQLITE_BUSY: _LOCKED,
    sqlite3.SQLITE_LOCKED: _LOCKED,
    sqlite3.SQLITE_FULL: FULL,
    sqlite3.SQLITE_IOERR: (
        "a disk that did not read or write",
        "a disk that works and has room; nothing of this was kept",
    ),
    sqlite3.SQLITE_READONLY: ("a ledger that may only be read", _WRITABLE),
    sqlite3.SQLITE_CANTOPEN: ("a ledger that cannot be opened", _WRITABLE),
    sqlite3.SQLITE_PERM: ("a ledger that may not be opened", _WRITABLE),
    sqlite3.SQLITE_AUTH: ("a ledger that may not be opened", _WRITABLE),
    sqlite3.SQLITE_NOTADB: ("a file of another sort", "a partway ledger"),
    sqlite3.SQLITE_CORRUPT: ("a damaged file", "a whole ledger; `partway restore` brings back a backup"),
    sqlite3.SQLITE_TOOBIG: ("a text of more than a thousand million bytes", "a shorter one"),
}
# What keeps a ledger from being written, or from being opened as one that may be: it may still be read.
_SHUT = {
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_AUTH,
}
SHUT = {errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
# SQLSTATE classes and codes: PostgreSQL documentation, appendix A, "PostgreSQL Error Codes".
_POSTGRES = {
    "53100": FULL,
    "53": ("a server short of memory or connections", "a server with some to spare; try again"),
    "55P03": _LOCKED,
    "40": ("a ledger that others changed at the same moment", "to be alone for a moment; try again"),
    "25006": ("a ledger that may only be read", "a server and a user that may write"),
    "42501": ("a ledger that this user may not use", "a user that may read and write it"),
    "22": ("a text or number the database cannot hold", "text without NUL, whole milligrams below 2**63"),
    "08": ("no answer from the server", "a PostgreSQL server that runs and can be reached"),
    "57": ("a server that is stopping", "one that runs; try again"),
}


class BadLedger(LedgerRefuses):
    """A workspace, ledger or backup that cannot be opened, read or written."""


def locked(where: str) -> BadLedger:
    """The refusal when another writer kept the ledger too long."""
    return BadLedger(*_LOCKED, where)


class Unwritable(BadLedger):
    """A ledger in a place that may not be written to or has no room. It may still be read."""


class NoLedger(BadLedger):
    """There is no ledger, and none was to be made."""


@contextmanager
def in_words(where: str) -> Iterator[None]:
    """Turn errors of the database or file system inside into BadLedger; `where` names the ledger."""
    from sqlalchemy.exc import DBAPIError

    try:
        yield
    except DBAPIError as error:
        refusal = _of_database(error, where)
        if refusal is None:
            raise
        raise refusal from error
    except sqlite3.Error as error:
        refusal = _of_sqlite(getattr(error, "sqlite_errorcode", -1), where)
        if refusal is None:
            raise
        raise refusal from error
    except OverflowError as error:
        raise BadLedger("a mass beyond what a ledger holds", "whole milligrams below 2**63", where) from error
    except OSError as error:
        kind = Unwritable if error.errno in SHUT else BadLedger
        raise kind((error.strerror or str(error)).lower(), _WRITABLE, where) from error


def _of_sqlite(code: int, where: str) -> BadLedger | None:
    """The refusal for a result code of SQLite; None for a code that is not in the table."""
    primary = code & 0xFF
    words = _SQLITE.get(primary)
    if words is None:
        return None
    return (Unwritable if primary in _SHUT else BadLedger)(*words, where)


def _of_database(error: DBAPIError, where: str) -> BadLedger | None:
    """The refusal for a driver's error; None for one that is not in the tables."""
    from sqlalchemy.exc import OperationalError

    code = getattr(error.orig, "sqlite_errorcode", None)
    if code is not None:
        return _of_sqlite(code, where)
    state = getattr(error.orig, "sqlstate", None) or ""
    words = _POSTGRES.get(state) or _POSTGRES.get(state[:2])
    if not state and isinstance(error, OperationalError):  # before or after a talk with the server, not in it
        said = (str(error.orig).strip().splitlines() or ["nothing"])[0]
        words = (
            f"no way into the database ({said})",
            "a server that runs and a user, password and database it has",
        )
    return BadLedger(*words, where) if words else None
