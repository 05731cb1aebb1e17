"""Names of what a plan speaks of by id."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter

from partway.things.scenario import Scenario

router = APIRouter()  # no page of its own


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

    def piece(self, kind: str, piece: str) -> str:
        """A piece with its kind, or the kind alone for the whole of it."""
        anatomy = self.scenario.anatomies[kind]
        return anatomy.name if piece == anatomy.whole.id else f"{anatomy.piece(piece).name} ({anatomy.name})"

    def reason(self, reason: str) -> str:
        """A reason with buyers called by their names."""
        for buyer in self.scenario.buyers:
            reason = reason.replace(buyer.id, self.buyer(buyer.id))
        return reason

    def whose(self, of: str) -> str:
        """A kind or a grade."""
        return self.kind(of) if of in self.scenario.anatomies else self.grade(of)
