"""How old the last backup is."""

from __future__ import annotations

from pathlib import Path

from partway.storage.backup.backups import Made, last_backup
from partway.storage.doctor.files import too_open
from partway.storage.doctor.findings import CheckResult, DoctorFinding, entries
from partway.storage.doctor.patient import Patient

BACKUP_DAYS = 14  # with something recorded since (common practice, no source)
BACKUP = "partway backup FILE, on another disk than the ledger's"


def age(patient: Patient) -> CheckResult:
    """Whether a recent backup holds all but the last days."""
    count, made = len(patient.events) + len(patient.damaged), last_backup(patient.book)
    if made is None:
        if not count:
            return CheckResult("backups", "nothing is recorded yet")
        return CheckResult(
            "backups", "", (DoctorFinding(f"no backup is known of; in the ledger: {entries(count)}", BACKUP),)
        )
    days, since = (patient.now - made.at).days, count - made.events
    said = f"the last one is {days} {'day' if days == 1 else 'days'} old; recorded since: {entries(max(0, since))}"
    findings = [DoctorFinding(said, BACKUP)] if days > BACKUP_DAYS and since > 0 else []
    remarks: list[str] = []
    if made.file:
        remarks, more = _file(made)
        findings += more
    return CheckResult("backups", "" if findings else said, tuple(findings), tuple(remarks))


def _file(made: Made) -> tuple[list[str], list[DoctorFinding]]:
    """What there is to say of the file itself."""
    path = Path(made.file)
    try:
        if not path.is_file():
            return [f"{path} is not there now; it may be on a disk that is not attached"], []
        finding = too_open(path)
    except OSError:
        return [f"{path} cannot be looked at"], []
    return [], [] if finding is None else [finding]
