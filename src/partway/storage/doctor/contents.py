"""What is in the ledger: every event can be read, mass balances, what follows from the events is what they say."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Table, create_engine, insert, select

from partway.errors import LedgerDamaged, LedgerUnsound
from partway.ledger.fold import check
from partway.storage import tables as t
from partway.storage.doctor.findings import Checked, Finding
from partway.storage.doctor.patient import Patient
from partway.storage.rebuild import rebuild

REBUILD = "partway rebuild works it out anew from the events, which stay as they are"
EVENTS_MOST = 20  # damaged ones named one by one
Rows = set[tuple[Any, ...]]


def writable(patient: Patient) -> Checked:
    """Whether the ledger can be written, or only looked at."""
    refusal = patient.book.refusal
    if refusal is None:
        return Checked("writing", "the ledger can be written")
    todo = "until that is mended it can be looked at, and nothing is recorded"
    return Checked("writing", "", (Finding(f"{refusal.given}: {refusal.where}", todo),))


def events(patient: Patient) -> Checked:
    """Whether each event can be read."""
    findings = [
        Finding(f"{bad.where}: got {bad.given}; expected {bad.expected}", bad.remedy, (_id(bad),))
        for bad in patient.damaged[:EVENTS_MOST]
    ]
    if len(patient.damaged) > EVENTS_MOST:
        findings.append(Finding(f"and {len(patient.damaged) - EVENTS_MOST} more that cannot be read", "as above"))
    return Checked("events", f"{len(patient.events)} can be read", tuple(findings))


def balance(patient: Patient) -> Checked:
    """Whether mass in is mass out and stock and residue and loss."""
    if patient.damaged:
        return Checked("balance", "not looked at while events are damaged")
    try:
        check(patient.state)
    except LedgerUnsound as error:
        return Checked("balance", "", (Finding(str(error), "a fault in partway: keep a backup and report it"),))
    over = sum(patient.book.balances().values())
    if over:
        return Checked("balance", "", (Finding(f"the balances kept are {over} mg apart", REBUILD),))
    return Checked("balance", "mass in is mass out, stock, residue and loss, to the milligram")


def derived(patient: Patient) -> Checked:
    """Whether balances, quotes and accounts are those that the events make."""
    if patient.damaged:
        return Checked("read models", "not looked at while events are damaged")
    found = difference(patient)
    if found is None:
        return Checked("read models", "as the events make them")
    return Checked("read models", "", (Finding(found.given, found.remedy),))


def difference(patient: Patient) -> LedgerDamaged | None:
    """Where the tables that follow from the events differ from what the events make of them anew, in memory."""
    engine = create_engine("sqlite://")
    with engine.begin() as memory, patient.book.reading() as live:
        t.metadata.create_all(memory)
        rows = [dict(row._mapping) for row in live.execute(select(t.event))]
        for start in range(0, len(rows), 500):
            memory.execute(insert(t.event), rows[start : start + 500])
        rebuild(memory)
        wrong = [table.name for table in t.DERIVED if _rows(live, table) != _rows(memory, table)]
    engine.dispose()
    if not wrong:
        return None
    given = f"tables that differ from the events: {', '.join(sorted(wrong))}"
    return LedgerDamaged(given, "what the events make of them", patient.book.where, REBUILD)


def _rows(connection: Connection, table: Table) -> Rows:
    return {tuple(row) for row in connection.execute(select(table))}


def _id(bad: LedgerDamaged) -> str:
    return bad.where.removeprefix("event ").partition(",")[0]
