"""Names for what a scenario speaks of by id."""

from __future__ import annotations

from dataclasses import dataclass

from partway.things.scenario import Scenario


@dataclass(frozen=True)
class Names:
    """Of one scenario."""

    scenario: Scenario

    def grade(self, grade: str) -> str:
        """A grade's name."""
        return self.scenario.grades[grade].name if grade in self.scenario.grades else grade

    def buyer(self, buyer: str) -> str:
        """A buyer's name."""
        return next((b.name or b.id.replace("-", " ") for b in self.scenario.buyers if b.id == buyer), buyer)

    def kind(self, kind: str) -> str:
        """A kind's name."""
        return self.scenario.anatomies[kind].name if kind in self.scenario.anatomies else kind
