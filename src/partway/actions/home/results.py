"""What is told of a setting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partway.actions.home.driving import READERS, shown_in
from partway.actions.recording.describe import Say, capital
from partway.reports.called import Called

# What settings whose names say km are called where somebody may count in miles.
SAID = {"cost_per_km": "What driving costs", "kmh": "Average speed", "distance": "Unit of distance"}


@dataclass(frozen=True, slots=True)
class SettingResult:
    """A setting before and after."""

    name: str
    value: str
    before: str

    def words(self, say: Say) -> Iterator[str]:
        """Its lines."""
        yield f"{self.name} = {self.value}{f', before {self.before}' if self.before else ''}"

    def said(self, say: Say, called: Called) -> str:
        """In one sentence: "Wage is 25 now"."""
        name = SAID.get(self.name) or capital(self.name.replace("_", " "))
        return f"{name} is {shown_in(self.name, self.value, '') if self.name in READERS else self.value} now"
