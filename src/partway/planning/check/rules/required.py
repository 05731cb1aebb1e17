"""What a rule of the check says when it does not hold, and how far figures may be apart by rounding."""

from __future__ import annotations

from partway.errors import PlanUnsound

KG_SLACK = 1e-6
MILLIGRAM = 1e-6
HOUR_SLACK = 1e-6
UNIT_SLACK = 1e-6


def require(holds: bool, what: str) -> None:
    """Raise PlanUnsound, naming what does not hold."""
    if not holds:
        raise PlanUnsound(f"the plan failed its own check: {what}")
