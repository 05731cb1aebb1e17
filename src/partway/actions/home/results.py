"""What is told of a setting."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partway.actions.recording.describe import Say, capital
from partway.reports.called import Called


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
        return f"{capital(self.name.replace('_', ' '))} is {self.value} now"
