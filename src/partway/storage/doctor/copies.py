"""Other ledgers beside the ledger, such as those that a program that synchronises folders leaves behind."""

from __future__ import annotations

import contextlib
import datetime as dt
import sqlite3
from pathlib import Path

from partway.storage.doctor.findings import CheckResult, DoctorFinding, entries
from partway.storage.exchange.atomic_files import LOG
from partway.storage.reading.read_only import opened
from partway.storage.refusals import BadLedger, in_words
from partway.storage.tables.upgrade import APPLICATION_ID

MARK_AT = slice(68, 72)  # of the application's id in the header of a file (sqlite.org, "Database File Format", 1.3)
AT_ONCE = "a ledger that two machines write belongs on a server, or one on each and partway merge"


def strangers(file: Path, now: dt.datetime) -> CheckResult:
    """Files beside the ledger that are ledgers too, or parts of one, and were not made by partway."""
    del now
    findings, remarks = [], []
    if not file.exists() and Path(f"{file}-wal").exists():
        words = f"{file.name}-wal lies here without its ledger; the last entries may be in it"
        findings.append(DoctorFinding(words, f"bring {file.name} back beside it, then partway doctor again"))
    there = sorted(file.parent.iterdir()) if file.parent.is_dir() else []
    known = _known(file)
    for path in there:
        if _left_over(file, path):
            remarks.append(f"{path.name} was left by a program that was ended at work; it may be deleted")
        elif _conflict_name(file, path) or _is_ledger(file, path):
            found = _judged(file, path, known)
            findings += [found] if isinstance(found, DoctorFinding) else []
            remarks += [found] if isinstance(found, str) else []
    return CheckResult("copies", "" if findings else "no other ledger beside this one", tuple(findings), tuple(remarks))


def _ours(file: Path, path: Path) -> bool:
    """Whether partway or SQLite gave a file its name."""
    plain = [file.name, *(f"{file.name}{ending}" for ending in LOG)]
    return path.name in plain or path.name.startswith((f"{file.name}.form-", f"{file.name}.before-"))


def _left_over(file: Path, path: Path) -> bool:
    return path.name.startswith(f".{file.name}.") and path.is_file()


def _conflict_name(file: Path, path: Path) -> bool:
    """A name made from the ledger's, such as "ledger (1).sqlite", "ledger-conflict.sqlite", "ledger.sqlite.bak"."""
    name = path.name.lower()
    return (
        path.is_file() and not _ours(file, path) and name.startswith(file.stem.lower()) and file.suffix.lower() in name
    )


def _is_ledger(file: Path, path: Path) -> bool:
    """By the mark in its header, whatever it is called."""
    if _ours(file, path) or not path.is_file():
        return False
    with contextlib.suppress(OSError), path.open("rb") as stream:
        head = stream.read(100)
        return head.startswith(b"SQLite format 3\0") and head[MARK_AT] == APPLICATION_ID.to_bytes(4, "big")
    return False


def _judged(file: Path, path: Path, known: frozenset[str]) -> DoctorFinding | str | None:
    """A finding if the file may hold events that the ledger lacks; a remark if it is a plain copy."""
    try:
        own = _ids(path)
    except (BadLedger, sqlite3.Error):
        if not _conflict_name(file, path):
            return None
        return DoctorFinding(
            f"{path.name} has the ledger's name and cannot be read as one", f"look what it is; {AT_ONCE}"
        )
    new = len(own - known)
    if new:
        todo = f"mkdir other && mv '{path.name}' other/{file.name} && partway merge other; {AT_ONCE}"
        return DoctorFinding(f"{path.name} is a ledger with {entries(new)} that this one has not", todo)
    if _conflict_name(file, path):
        what = f"{path.name} was copied by another program; all that is in it is in this ledger"
        return DoctorFinding(what, f"delete it; {AT_ONCE}")
    return f"{path.name} is a copy with nothing in it that is not here"


def _known(file: Path) -> frozenset[str]:
    """The ids of the events in the ledger; none if it cannot be read, which another check reports."""
    try:
        return _ids(file) if file.exists() else frozenset()
    except (BadLedger, sqlite3.Error):
        return frozenset()


def _ids(path: Path) -> frozenset[str]:
    """The ids of the events in a file. Raises BadLedger, sqlite3.Error."""
    with in_words(str(path)), contextlib.closing(opened(path)) as connection:
        return frozenset(event_id for (event_id,) in connection.execute("SELECT id FROM event"))
