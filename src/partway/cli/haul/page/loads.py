"""The loads on a printed plan: each trip with its stops in order, then the mail."""

from __future__ import annotations

from partway.cli.haul.page.sheet import PlanSheet, table_of
from partway.cli.haul.page.why import show_why
from partway.cli.words import hours, times
from partway.reports.haul.plan_lines import SaleLine, TripLine


def show_loads(sheet: PlanSheet) -> None:
    """Each trip with its stops in order, then the mail."""
    for trip in sheet.plan.trips:
        _trip(sheet, trip)
    mailed = [line for line in sheet.plan.sales if line.trip is None]
    if mailed:
        sheet.title("By mail")
        for parcel in sheet.plan.parcels:
            size = sheet.words.mass(parcel.up_to_kg)
            sheet.indented(f"{times(parcel.parcels, 'parcel')} up to {size}, postage {sheet.words.money(parcel.cost)}")
        _lots(sheet, mailed)
        _fees(sheet, None)


def _trip(sheet: PlanSheet, trip: TripLine) -> None:
    places = (sheet.words.buyer(b) if stop else f"past {sheet.words.buyer(b)}" for b, stop in trip.driven)
    way = " → ".join(["home", *places, f"{trip.ends_at}, where it ends" if trip.ends_at else "home"])
    sheet.title(f"Load {trip.trip}" if len(sheet.plan.trips) > 1 else "The load")
    sheet.indented(f"{way}")
    full = f"{sheet.words.mass(trip.load_kg)}, {trip.load_litres:.0f} L"
    sheet.indented(f"{sheet.words.distance(trip.km)}, {hours(trip.hours)} with time on site, {full} on board")
    _lots(sheet, [line for line in sheet.plan.sales if line.trip == trip.trip])
    _fees(sheet, trip.trip)


def _fees(sheet: PlanSheet, trip: int | None) -> None:
    """What the buyers of a trip keep back of these amounts."""
    for stop in sheet.plan.stops:
        if stop.trip == trip and stop.fee:
            sheet.indented(f"{sheet.words.buyer(stop.buyer)} keeps back {sheet.words.money(stop.fee)} as its fee")


def _lots(sheet: PlanSheet, lines: list[SaleLine]) -> None:
    table = table_of("", "buyer", "grade", "mass", "price", sheet.plan.currency)
    last = ""
    for line in lines:
        buyer = sheet.words.buyer(line.buyer)
        table.add_row(
            str(line.line),
            buyer if buyer != last else "",
            sheet.words.grade(line.grade),
            sheet.words.mass(line.mass_kg),
            _at(sheet, line),
            sheet.words.plain(line.amount),
        )
        last = buyer
    sheet.console.print(table)
    for line in lines:
        show_why(sheet, line.why, str(line.line))


def _at(sheet: PlanSheet, line: SaleLine) -> str:
    if line.each is None or line.pieces is None:
        ends = f" ({' to '.join(sheet.words.price(end) for end in line.ends)})" if line.ends else ""
        return f"{sheet.words.price(line.price_per_kg)}{ends}"
    return f"{line.pieces:.0f} at {sheet.words.plain(line.each)} each"
