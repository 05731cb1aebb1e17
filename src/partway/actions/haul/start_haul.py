"""Accept a trip of a plan: the haul is set out on with what is in the bins, and its note says what for."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal

from partway.actions.haul import hauls
from partway.actions.haul.results import HaulResult
from partway.actions.recording.context import Context, Recorded, decides
from partway.actions.recording.questions import Asked
from partway.actions.recording.words import mass
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.fold import standing
from partway.quantities import MG_PER_KG
from partway.reports.haul.load_sheet import to_come
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario
from partway.valuing.planned_lots import Drive, planned_note

AS_PLANNED = (("yes", "set out all the same: I open them before I leave"),)


@decides(shipped)
def accept(
    book: Book, context: Context, plan: Plan, trip: int, scenario: Scenario, unopened: bool | None = None
) -> Recorded[HaulResult]:
    """Set out on a plan's trip, which counts from 1, and on what it counts that is still in unopened finds only where
    `unopened` says so.

    Raises Refused, also where another haul under way has it by now.
    """
    line = next((t for t in plan.trips if t.trip == trip), None)
    if line is None:
        expected = f"a trip from 1 to {len(plan.trips)}" if plan.trips else "a plan that drives somewhere"
        raise Refused(f"trip {trip}", expected, "trip")
    sales = [sale for sale in plan.sales if sale.trip == trip]
    coming = to_come(plan, trip, standing.bins(book))
    if coming and not unopened:
        grades = scenario.grades
        missing = ", ".join(f"{mass(book, round(kg * MG_PER_KG))} of {grades[g].name}" for g, kg in coming.items())
        expected = "what is in the bins: open the finds first, or plan with what is in the bins"
        raise Asked(f"{missing}, still to come out of finds", expected, "trip", option="unopened", choices=AS_PLANNED)
    road = Drive(Decimal(line.km), round(line.hours * 60.0))
    return hauls.set_out(book, context, line.stops, planned_note(sales, scenario.units, road), _made(plan, scenario))


def _made(plan: Plan, scenario: Scenario) -> dict[str, float]:
    """What the plan makes of each grade, beyond what was in the bins when it was made: kilograms."""
    used: defaultdict[str, float] = defaultdict(float)
    for sale in plan.sales:
        used[sale.grade] += sale.mass_kg
    for kept in plan.kept:
        if kept.grade is not None:
            used[kept.grade] += kept.mass_kg
    return {grade: max(0.0, kg - scenario.stock.get(grade, 0.0)) for grade, kg in used.items()}
