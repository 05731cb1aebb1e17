"""Examines a workspace: what is wrong or soon will be, and what to do about it. Nothing is changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

from partway.errors import PartwayError
from partway.storage.doctor import backups, contents, copies, files, photographs, trade
from partway.storage.doctor.findings import CheckResult, DoctorFinding, Examination
from partway.storage.doctor.patient import Patient
from partway.storage.refusals import BadLedger, NoLedger
from partway.storage.store import SqlBook
from partway.storage.workspace import ledger_file, open_workspace

OUTSIDE: tuple[Callable[[Path, dt.datetime], CheckResult], ...] = (
    files.whole,
    files.permissions,
    files.room,
    copies.strangers,
)
# Each of these asks one question of the ledger itself, on either database.
INSIDE: tuple[Callable[[Patient], CheckResult], ...] = (
    contents.writable,
    contents.events,
    contents.balance,
    contents.derived,
    contents.own_kinds,
    contents.conflicts,
    photographs.photographs,
    backups.age,
    trade.prices,
    trade.clock,
)


def examine(where: str | Path | None, now: dt.datetime) -> Examination:
    """All checks of a workspace. Raises NoLedger where there is none, and BadLedger for a server that refuses."""
    try:
        file: Path | None = ledger_file(where)
    except BadLedger:
        file = None  # a server, which looks after its own files
    checks = [] if file is None else [check(file, now) for check in _outside(file)]
    if file is not None and (not file.exists() or any(not c.well and c.check == "file" for c in checks)):
        if not file.exists() and all(c.well for c in checks):
            raise NoLedger("a workspace without a ledger", f"a {file.name} in it", str(file.parent))
        return Examination(str(file), tuple(checks))
    with ExitStack() as stack:
        try:
            book = stack.enter_context(open_workspace(where, make=False))
        except PartwayError as error:
            if file is None:
                raise
            unopened = DoctorFinding(str(error), "partway restore BACKUP brings back a backup and keeps this one")
            return Examination(str(file), (*checks, CheckResult("file", "", (unopened,))))
        patient = Patient(book, file, now)
        return Examination(book.where, (*checks, *(check(patient) for check in INSIDE)))


def _outside(file: Path) -> Iterator[Callable[[Path, dt.datetime], CheckResult]]:
    """The checks of the file itself. If it is gone, only what lies beside it can be examined."""
    return (check for check in OUTSIDE if file.exists() or check is copies.strangers)


def damage_in(book: SqlBook) -> PartwayError | None:
    """After an unexpected error: the damage found in a ledger, or None if the ledger is sound."""
    try:
        patient = Patient(book, None, dt.datetime.now(dt.UTC))
        if patient.damaged:
            return patient.damaged[0]
        return patient.difference
    except PartwayError as error:
        return error
