"""What is in the ledger: every event can be read, mass balances, and the derived tables agree with the events."""

from __future__ import annotations

from partway.actions.recording.words import units
from partway.errors import LedgerDamaged, LedgerUnsound
from partway.ledger.fold.fold import check
from partway.reports.books.conflicts import ConflictLine, conflict_lines
from partway.storage.doctor.findings import CheckResult, DoctorFinding
from partway.storage.doctor.patient import REBUILD, Patient
from partway.valuing.own_kinds import own_kinds as own_kinds_of
from partway.valuing.own_kinds import unsound_kinds

EVENTS_MOST = 20  # damaged ones named one by one


def writable(patient: Patient) -> CheckResult:
    """Whether the ledger can be written, or only looked at."""
    refusal = patient.book.refusal
    if refusal is None:
        return CheckResult("writing", "the ledger can be written")
    todo = "until that is mended it can be looked at, and nothing is recorded"
    return CheckResult("writing", "", (DoctorFinding(f"{refusal.given}: {refusal.where}", todo),))


def events(patient: Patient) -> CheckResult:
    """Whether each event can be read."""
    findings = [
        DoctorFinding(f"{bad.where}: got {bad.given}; expected {bad.expected}", bad.remedy, (_id(bad),))
        for bad in patient.damaged[:EVENTS_MOST]
    ]
    if len(patient.damaged) > EVENTS_MOST:
        findings.append(DoctorFinding(f"and {len(patient.damaged) - EVENTS_MOST} more that cannot be read", "as above"))
    return CheckResult("events", f"{len(patient.events)} can be read", tuple(findings))


def balance(patient: Patient) -> CheckResult:
    """Whether mass in is mass out and stock and residue and loss."""
    if patient.damaged:
        return CheckResult("balance", "not looked at while events are damaged")
    try:
        check(patient.state)
    except LedgerUnsound as error:
        return CheckResult(
            "balance", "", (DoctorFinding(str(error), "a fault in partway: keep a backup and report it"),)
        )
    over = sum(patient.book.balances().values())
    if over:
        return CheckResult("balance", "", (DoctorFinding(f"the balances kept are {over} mg apart", REBUILD),))
    return CheckResult("balance", "mass in is mass out, stock, residue and loss, to the milligram")


def derived(patient: Patient) -> CheckResult:
    """Whether balances, quotes and accounts agree with the events."""
    if patient.damaged:
        return CheckResult("read models", "not looked at while events are damaged")
    found = patient.difference
    if found is None:
        return CheckResult("read models", "as the events make them")
    return CheckResult("read models", "", (DoctorFinding(found.given, found.remedy),))


def own_kinds(patient: Patient) -> CheckResult:
    """Whether kinds of one's own are what today's catalogue takes."""
    if patient.damaged:
        return CheckResult("own kinds", "not looked at while events are damaged")
    unsound = unsound_kinds(patient.book)
    findings = [
        DoctorFinding(f"{bad}; until it is put right finds of {kind} have no anatomy of yours", f"say {kind} anew")
        for kind, bad in unsound.items()
    ]
    known = len(own_kinds_of(patient.book))
    return CheckResult("own kinds", "none" if not known else f"{known} sound", tuple(findings))


def conflicts(patient: Patient) -> CheckResult:
    """Whether everything that was recorded can be true together."""
    if patient.damaged:
        return CheckResult("conflicts", "not looked at while events are damaged")
    findings = [
        DoctorFinding(line.words, f"partway correct {' or '.join(side.id for side in line.sides)}", _of(line))
        for line in conflict_lines(patient.book.conflicts(), units(patient.book), patient.now.tzinfo)
    ]
    return CheckResult("conflicts", "all that was recorded can be true together", tuple(findings))


def _of(line: ConflictLine) -> tuple[str, ...]:
    return tuple(side.event for side in line.sides)


def _id(bad: LedgerDamaged) -> str:
    return bad.where.removeprefix("event ").partition(",")[0]
