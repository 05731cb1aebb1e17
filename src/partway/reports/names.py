"""Names for what a scenario speaks of by id."""

from __future__ import annotations

from dataclasses import dataclass

from partway.catalogue.cards import card
from partway.planning.instance.tested import ASK, TEST, piece_name
from partway.things.buyers import buyer_name
from partway.things.scenario import Scenario


@dataclass(frozen=True)
class ScenarioNames:
    """Of one scenario."""

    scenario: Scenario

    def grade(self, grade: str) -> str:
        """A grade's name."""
        return self.scenario.grades[grade].name if grade in self.scenario.grades else grade

    def buyer(self, buyer: str) -> str:
        """A buyer's name."""
        return next((buyer_name(b.id, b.name) for b in self.scenario.buyers if b.id == buyer), buyer)

    def caution(self, caution: str) -> str:
        """A hazard's name."""
        return card(self.scenario.cautions, caution).name

    def piece(self, kind: str, piece: str) -> str:
        """A piece with its kind, or the kind alone for the whole of it."""
        return piece_name(self.scenario.anatomies[kind], piece)

    def operation(self, kind: str, operation: str) -> str:
        """What an operation of a kind is called."""
        if operation == TEST:
            return ASK
        known = self.scenario.anatomies[kind].operations if kind in self.scenario.anatomies else ()
        return next((op.name for op in known if op.id == operation), operation)

    def kind(self, kind: str) -> str:
        """A kind's name."""
        return self.scenario.anatomies[kind].name if kind in self.scenario.anatomies else kind
