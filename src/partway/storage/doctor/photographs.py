"""Whether the photographs that entries name are where they are kept, and what they were when they were kept."""

from __future__ import annotations

from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Pictured
from partway.reports.called import Called, the
from partway.storage.doctor.findings import CheckResult, DoctorFinding
from partway.storage.doctor.patient import Patient

NAMED_MOST = 20  # things whose photographs are missing, named one by one
TODO = "partway import PACKAGE, or partway merge WORKSPACE, in which it is still whole brings it back"


def photographs(patient: Patient) -> CheckResult:
    """Whether each photograph that counts can be shown. Each is read, as a damaged file looks whole from outside."""
    if patient.damaged:
        return CheckResult("photographs", "not looked at while events are damaged")
    voided = patient.book.voided()
    named: dict[str, list[Event]] = {}
    for event in patient.events:
        if isinstance(event.what, Pictured) and event.id not in voided:
            named.setdefault(event.what.picture, []).append(event)
    lost = {digest: events for digest, events in named.items() if patient.book.photographs.content(digest) is None}
    if not lost:
        return CheckResult("photographs", f"{len(named)} whole" if named else "none")
    called = Called(patient.book, patient.now.date(), patient.now.tzinfo)
    findings = [_finding(called, events) for events in list(lost.values())[:NAMED_MOST]]
    if len(lost) > NAMED_MOST:
        findings.append(DoctorFinding(f"and {len(lost) - NAMED_MOST} more that are missing or damaged", "as above"))
    return CheckResult("photographs", "", tuple(findings))


def _finding(called: Called, events: list[Event]) -> DoctorFinding:
    first = events[0]
    of = _of(called, first.what) if isinstance(first.what, Pictured) else ""
    what = f"a photograph of {of}, {called.day(first.happened)}, is missing or damaged"
    return DoctorFinding(what, TODO, tuple(str(event.id) for event in events))


def _of(called: Called, what: Pictured) -> str:
    """What a photograph is of, as people call it."""
    if what.find:
        return the(called.piece(what.find, what.piece))
    if what.bin:
        return f"what is in the bin {called.bin(what.bin)}"
    if what.ticket:
        return the(called.ticket(what.ticket))
    return f"the {what.piece.replace('-', ' ')} of a {called.kind(what.kind or '')}"
