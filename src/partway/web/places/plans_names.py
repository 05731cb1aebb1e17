"""Names of what a plan speaks of by id."""

from __future__ import annotations

from partway.reports.names import Names


class PlanNames(Names):
    """Names of one scenario, and of its pieces and reasons."""

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
