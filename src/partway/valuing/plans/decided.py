"""A decided plan with what was proven of it."""

from __future__ import annotations

from dataclasses import dataclass

from partway.planning.check.second_opinion import Opinion
from partway.planning.check.verify import Checked
from partway.planning.instance.frozen import Instance

OPTIMAL_GAP = 1e-6


@dataclass(frozen=True, slots=True)
class DecidedPlan:
    """The checked decision, the bound that was `proven` for all plans, and the re-solved next hours."""

    instance: Instance
    checked: Checked
    proven: float
    next_hour: float | None = None
    next_away_hour: float | None = None
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    opinions: tuple[Opinion, ...] = ()
    opinion_seconds: float = 0.0

    @property
    def objective(self) -> float:
        """What the plan is worth: all its money with its signs."""
        return self.checked.money.total

    @property
    def bound(self) -> float:
        """No plan is worth more."""
        return max(self.proven, self.objective)

    @property
    def gap(self) -> float:
        """How far from the bound it may be, relative to its worth."""
        return (self.bound - self.objective) / max(1.0, abs(self.objective))

    @property
    def compared(self) -> bool:
        """Whether other methods were asked; without that nothing is called optimal."""
        return bool(self.opinions)

    @property
    def optimal(self) -> bool:
        """Whether it is proven to be the best there is, and nothing speaks against the proof."""
        return self.gap <= OPTIMAL_GAP and self.compared and not self.doubts

    @property
    def cash_per_hour(self) -> float | None:
        """Money that changes hands over all hours, at the bench and away; None where there is none."""
        hours = self.checked.bench_hours + self.checked.away_hours
        return self.checked.money.cash / hours if hours > 0 else None
