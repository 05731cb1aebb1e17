"""Accept a trip of a plan: the haul is set out on, and its note says what for."""

from __future__ import annotations

from decimal import Decimal

from partway.actions.haul import hauls
from partway.actions.haul.results import HaulResult
from partway.actions.recording.context import Context, Recorded, decides
from partway.errors import Refused
from partway.ledger.book import Book
from partway.reports.haul.plan import Plan
from partway.things.scenario import MassUnit
from partway.valuing.planned_lots import Drive, planned_note


@decides()
def accept(book: Book, context: Context, plan: Plan, trip: int, unit: MassUnit) -> Recorded[HaulResult]:
    """Set out on a plan's trip, which counts from 1. Raises Refused."""
    line = next((t for t in plan.trips if t.trip == trip), None)
    if line is None:
        expected = f"a trip from 1 to {len(plan.trips)}" if plan.trips else "a plan that drives somewhere"
        raise Refused(f"trip {trip}", expected, "trip")
    sales = [sale for sale in plan.sales if sale.trip == trip]
    road = Drive(Decimal(line.km), round(line.hours * 60.0))
    return hauls.start(book, context, line.stops, planned_note(sales, unit, road))
