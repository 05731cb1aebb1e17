"""The check no plan escapes: every constraint again, and the money from scratch, without the solver.

It reads the scenario's own quotes, refusals, roads and anatomies rather than the model made from them,
so that a mistake in the model shows here. What must never happen, worst first: docs/never.md.
"""

from __future__ import annotations

from dataclasses import dataclass

from partway.planning.check.figures import check_figures
from partway.planning.check.rules.caps import check_caps
from partway.planning.check.rules.clock import check_hours, check_open
from partway.planning.check.rules.lots import check_counted, check_lots
from partway.planning.check.rules.material import check_grades, check_hazards, check_pieces
from partway.planning.check.rules.money import Money, money_of
from partway.planning.check.rules.trips import check_parcels, check_trips
from partway.planning.check.rules.whole import check_lifting, check_whole
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance


@dataclass(frozen=True, slots=True)
class Checked:
    """A decision that passed, with its money and hours recomputed."""

    decision: Decision
    money: Money
    bench_hours: float
    away_hours: float


def verify(instance: Instance, decision: Decision) -> Checked:
    """Recheck a decision and recompute its money; raises PlanUnsound naming the first thing that fails."""
    checked = recount(instance, decision)
    check_figures(instance)
    return checked


def recount(instance: Instance, decision: Decision) -> Checked:
    """As `verify`, but without checking the figures of the instance, which do not depend on the decision."""
    check_hazards(instance, decision)
    check_pieces(instance, decision)
    check_grades(instance, decision)
    check_lots(instance, decision)
    check_whole(instance, decision)
    check_counted(instance, decision)
    check_lifting(instance, decision)
    check_trips(instance, decision)
    check_parcels(instance, decision)
    check_open(instance, decision)
    bench, away = check_hours(instance, decision)
    check_caps(instance, decision)
    return Checked(decision, money_of(instance, decision, bench + away), bench, away)


def worth_of(instance: Instance, checked: Checked) -> float:
    """What a checked decision is worth in an instance that differs only in its prices."""
    return money_of(instance, checked.decision, checked.bench_hours + checked.away_hours).total
