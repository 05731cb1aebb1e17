"""What is told of a bin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partway.actions.recording.describe import Say, careful
from partway.catalogue.cards import CautionCard
from partway.reports.called import Called


@dataclass(frozen=True, slots=True)
class BinResult:
    """A bin after something was done to it; `change_mg` is by how much it differs from before."""

    what: str
    bin: str
    grade: str
    mass_mg: int
    change_mg: int = 0
    other: str = ""
    cautions: tuple[CautionCard, ...] = ()

    def words(self, say: Say) -> Iterator[str]:
        """Its lines, cautions first."""
        yield from careful(self.cautions)
        if self.what == "moved":
            now = say.mass(self.mass_mg)
            yield f"{say.mass(self.change_mg)} from {self.other} to {self.bin} ({self.grade}), now {now}"
            return
        change = ""
        if self.change_mg:
            change = f", {say.mass(abs(self.change_mg))} {'more' if self.change_mg > 0 else 'less'} than it was down as"
        yield f"bin {self.bin} {self.what}: {self.grade}, {say.mass(self.mass_mg)}{change}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Weighed the bin motors: 41 lb, 2 lb less than it was down as"."""
        name, holds = called.bin(self.bin), say.mass(self.mass_mg)
        if self.what == "moved":
            return f"Moved {say.mass(self.change_mg)} from {called.bin(self.other)} to {name}: {holds} in it now"
        if self.what == "recounted":
            by = say.mass(abs(self.change_mg))
            than = f", {by} {'more' if self.change_mg > 0 else 'less'} than it was down as" if self.change_mg else ""
            return f"Weighed the bin {name}: {holds}{than}"
        inside = f", {holds} in it" if self.mass_mg else ""
        return f"{'New bin' if self.what == 'added' else 'Changed the bin'}: {name}{inside}"
