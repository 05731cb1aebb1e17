"""What a check says."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class DoctorFinding:
    """Something that needs doing: what it is, and what to do. `events` are the ids it is about."""

    what: str
    todo: str
    events: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CheckResult:
    """One check: what it found in order (`said`), what needs doing, and what is only worth knowing."""

    check: str
    said: str
    findings: tuple[DoctorFinding, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def well(self) -> bool:
        """Whether nothing needs doing."""
        return not self.findings


@dataclass(frozen=True, slots=True)
class Examination:
    """All checks of one ledger."""

    ledger: str
    checks: tuple[CheckResult, ...]

    @property
    def todo(self) -> int:
        """How many things need doing."""
        return sum(len(check.findings) for check in self.checks)


def entries(count: int) -> str:
    """A number of events, in words."""
    return "1 entry" if count == 1 else f"{count} entries"
