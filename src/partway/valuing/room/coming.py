"""What comes in each week, and when there is enough of it."""

from __future__ import annotations

import datetime as dt
import math

from partway.things.scenario import Scenario

WEEK = 7  # days
LOOKED_AHEAD = 26 * WEEK  # days: who waits half a year has no date to wait for


def weekly_inflow(scenario: Scenario) -> dict[str, float]:
    """Kilograms of each grade that come in each week; what is only known in all is shared out as the bins are."""
    if scenario.inflow_kg_week is None:
        return dict(scenario.inflow)
    shares = dict(scenario.inflow or scenario.stock)
    total = sum(shares.values())
    return {grade: scenario.inflow_kg_week * kg / total for grade, kg in shares.items()} if total else {}


def reached_on(scenario: Scenario, missing_kg: float, weekly_kg: float) -> str | None:
    """The day on which so much more will have come in, as ISO writes it; None where that is more than half a year."""
    days = math.ceil(missing_kg / weekly_kg * WEEK) if weekly_kg > 0.0 else LOOKED_AHEAD + 1
    return (scenario.on + dt.timedelta(days=days)).isoformat() if days <= LOOKED_AHEAD else None
