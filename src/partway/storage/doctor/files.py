"""The ledger's file from outside: whole, its owner's alone, with room beside it."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import sqlite3
import stat
from pathlib import Path

from partway.storage.doctor.findings import CheckResult, DoctorFinding
from partway.storage.photographs.folder import FOLDER
from partway.storage.reading.read_only import opened
from partway.storage.refusals import BadLedger, in_words
from partway.storage.tables.upgrade import APPLICATION_ID
from partway.storage.workspace import HTTPS

ROOM_LEAST = 64_000_000  # bytes: what the log of a busy day may grow to (common practice, no source)
COMPLAINTS_MOST = 5
RESTORE = "partway restore BACKUP brings back a backup; this file is kept beside it"
OTHERS = stat.S_IRWXG | stat.S_IRWXO
OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH


def whole(file: Path, now: dt.datetime) -> CheckResult:
    """Whether SQLite finds the file whole, and it is a ledger of ours."""
    del now
    try:
        with in_words(str(file)), contextlib.closing(opened(file)) as connection:
            mark = connection.execute("PRAGMA application_id").fetchone()[0]
            complaints = [text for (text,) in connection.execute(f"PRAGMA integrity_check({COMPLAINTS_MOST})")]
            strangers = connection.execute("PRAGMA foreign_key_check").fetchall()
            if mark == 0 and not connection.execute("SELECT 1 FROM sqlite_master").fetchone():
                return CheckResult("file", "a ledger that was just being made")
    except BadLedger as refusal:
        return CheckResult("file", "", (DoctorFinding(f"{refusal.given}, not {refusal.expected}", RESTORE),))
    except sqlite3.Error as error:
        return CheckResult("file", "", (DoctorFinding(f"SQLite cannot read it: {error}", RESTORE),))
    if mark != APPLICATION_ID:
        move = f"move it away; partway keeps its ledger under the name {file.name}"
        return CheckResult("file", "", (DoctorFinding("a database of another program", move),))
    wrong = [] if complaints == ["ok"] else complaints
    if strangers:
        wrong.append(f"{len(strangers)} rows refer to events that are not there")
    if wrong:
        return CheckResult(
            "file", "", tuple(DoctorFinding(f"damaged: {' '.join(text.split())}", RESTORE) for text in wrong)
        )
    return CheckResult("file", f"whole, {file.stat().st_size / 1e6:.1f} MB")


def permissions(file: Path, now: dt.datetime) -> CheckResult:
    """Whether the ledger, the copies beside it, the keys of https and the photographs are their owner's alone. Windows
    keeps permissions in another way.
    """
    del now
    if os.name == "nt":
        return CheckResult("permissions", "not looked at on this system")
    within = (path for folder in (HTTPS, FOLDER) for path in file.parent.joinpath(folder).glob("*"))
    near = (*file.parent.glob(f"{file.name}*"), *within)
    beside = [path for path in sorted(near) if path.is_file()]
    findings = [finding for path in beside if (finding := too_open(path)) is not None]
    if stat.S_IMODE(file.parent.stat().st_mode) & OTHERS_WRITE:
        words = "others on this machine may put files into the ledger's folder, or take them away"
        findings.append(DoctorFinding(words, f"chmod 700 {_quoted(file.parent)}"))
    return CheckResult("permissions", "" if findings else "nobody else may read the ledger", tuple(findings))


def too_open(path: Path) -> DoctorFinding | None:
    """What is to be done about a file that others may read or write, None where they may not."""
    mode = stat.S_IMODE(path.stat().st_mode)
    if not mode & OTHERS:
        return None
    what = "read and change" if mode & OTHERS_WRITE else "read"
    return DoctorFinding(
        f"others on this machine may {what} {path.name} (mode {mode:03o})", f"chmod 600 {_quoted(path)}"
    )


def room(file: Path, now: dt.datetime) -> CheckResult:
    """Whether the disk has room for the ledger to grow and for a copy of it."""
    del now
    log = Path(f"{file}-wal")
    size = file.stat().st_size + (log.stat().st_size if log.exists() else 0)
    free, needed = shutil.disk_usage(file.parent).free, max(ROOM_LEAST, 2 * size)
    if free >= needed:
        return CheckResult("disk", f"{_bytes(free)} free")
    words = f"{_bytes(free)} free, and the ledger with its copy may take {_bytes(needed)}"
    return CheckResult("disk", "", (DoctorFinding(words, f"make room on the disk of {file.parent}"),))


def _bytes(count: int) -> str:
    return f"{count / 1e9:.1f} GB" if count >= 1e9 else f"{count / 1e6:.1f} MB"


def _quoted(path: Path) -> str:
    import shlex

    return shlex.quote(str(path))
