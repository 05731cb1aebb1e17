"""Makes the Scenario that everything is computed from out of the forms of a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from partway.errors import BadScenario
from partway.quantities import shown
from partway.storage.scenario import measures
from partway.storage.scenario.buyers import BuyerReader
from partway.storage.scenario.file_locations import Spot
from partway.storage.scenario.forms import HoursTable, ScenarioFile, VehicleTable
from partway.storage.scenario.materials import Materials, materials_of
from partway.storage.scenario.notes import Notes
from partway.storage.scenario.places import check_reach, read_end, read_roads, uses_points
from partway.things.anatomy import Anatomy
from partway.things.currencies import CURRENCIES
from partway.things.defaults import KMH, LEAVE, ROAD_FACTOR, TRIPS, WHOLE_ABOVE_KG
from partway.things.limits.counting import piece_masses
from partway.things.limits.opening import clock, clock_text
from partway.things.scenario import Buyer, Find, Hours, MassUnit, Scenario, Vehicle


def assemble(form: ScenarioFile, spot: Spot) -> Scenario:
    """The scenario of a file whose shape was checked. Raises Refused on the first thing that is wrong."""
    notes = Notes()
    _check_currency(form, spot)
    hours = _hours(form.hours, any(buyer.open for buyer in form.buyer), spot, notes)
    materials = materials_of(form, spot.where)
    home = (form.home.at[0], form.home.at[1]) if form.home else None
    end = read_end(form.end, form.hours, spot)
    anatomies = materials.anatomies(form.find, spot)
    known = [anatomies[kind] for kind in dict.fromkeys(find.kind for find in form.find)]
    reader = BuyerReader(
        form.scenario,
        materials.grades,
        materials.catalogue.cautions.keys(),
        spot,
        notes,
        piece_masses(known),
        end is not None,
    )
    buyers = reader.read(form.buyer)
    roads = read_roads(form.road, buyers, end is not None, spot, notes)
    check_reach(buyers, roads, home, end, spot)
    vehicle = _vehicle(form.vehicle, buyers, uses_points(buyers, home, end), spot, notes)
    if vehicle is not None and form.scenario.keep_factor is None and form.scenario.storage is None:
        notes.add("storage not given, the shed is counted as less than half full")
    stock = _by_grade(form.stock, materials, spot, "stock")
    finds = _finds(form, spot, notes)
    return Scenario(
        name=form.scenario.name,
        currency=form.scenario.currency,
        on=form.scenario.on,
        hours=hours,
        vehicle=vehicle,
        buyers=buyers,
        finds=finds,
        stock=stock,
        grades=materials.grades,
        anatomies=anatomies,
        cautions=materials.catalogue.cautions,
        roads=roads,
        home=home,
        end=end,
        keep_factor=form.scenario.keep_factor,
        storage_l=_optional(measures.volume, form.scenario.storage, spot("scenario", "storage")),
        inflow_kg_week=_optional(measures.mass, form.scenario.inflow, spot("scenario", "inflow")),
        inflow=_by_grade(form.inflow, materials, spot, "inflow"),
        unit=_unit_spoken(form),
        notes=notes.sentences(),
        listed=_listed(form, anatomies, spot),
    )


def _check_currency(form: ScenarioFile, spot: Spot) -> None:
    code = form.scenario.currency
    if code not in CURRENCIES:
        raise spot.unknown(
            code,
            "ISO 4217 code of a currency in use, three capital letters",
            CURRENCIES,
            "scenario",
            "currency",
        )


def _optional(read: Callable[[object, str], float], text: object, where: str) -> float | None:
    return None if text is None else read(text, where)


def _hours(form: HoursTable, timed: bool, spot: Spot, notes: Notes) -> Hours:
    if form.trips is None:
        notes.add(f"trips not given, taken as {TRIPS}")
    if form.leave is None and timed:
        notes.add(f"leave not given, taken as {clock_text(LEAVE)}")
    trips = TRIPS if form.trips is None else form.trips
    try:
        leave = None if form.leave is None else clock(form.leave)
    except ValueError:
        raise spot.refuse(shown(form.leave), 'a time of the day such as "09:00"', "hours", "leave") from None
    return Hours(form.bench, form.away, form.wage, trips, form.trip, form.helpers or 0, leave)


def _vehicle(
    form: VehicleTable | None, buyers: tuple[Buyer, ...], points: bool, spot: Spot, notes: Notes
) -> Vehicle | None:
    driven = [b.id for b in buyers if b.is_visited]
    if form is None:
        if driven:
            raise spot.refuse("nothing", f"this table with payload, as {driven[0]} is driven to", "vehicle")
        return None
    payload = measures.mass(form.payload, spot("vehicle", "payload"), above_zero=True)
    volume = None if form.volume is None else measures.volume(form.volume, spot("vehicle", "volume"))
    if driven:
        _note_vehicle(form, points, notes)
    return Vehicle(
        payload,
        volume,
        form.cost_per_km or 0.0,
        KMH if form.kmh is None else form.kmh,
        ROAD_FACTOR if form.road_factor is None else form.road_factor,
        WHOLE_ABOVE_KG if form.whole_above is None else measures.mass(form.whole_above, spot("vehicle", "whole_above")),
        None if form.lift is None else measures.mass(form.lift, spot("vehicle", "lift"), above_zero=True),
    )


def _note_vehicle(form: VehicleTable, points: bool, notes: Notes) -> None:
    if form.volume is None:
        notes.add("volume of the vehicle not given, loads are limited by payload alone")
    if form.cost_per_km is None:
        notes.add("cost_per_km not given, driving is counted as costing time only")
    if form.kmh is None:
        notes.add(f"kmh not given, taken as {KMH:g}")
    if form.road_factor is None and points:
        notes.add(f"road_factor not given, taken as {ROAD_FACTOR:g} times the straight line")


def _by_grade(table: Mapping[str, object], materials: Materials, spot: Spot, name: str) -> dict[str, float]:
    for grade in table:
        if grade not in materials.grades:
            raise spot.unknown(grade, "grade", materials.grades, name, grade)
    return {grade: measures.mass(text, spot(name, grade)) for grade, text in table.items()}


def _finds(form: ScenarioFile, spot: Spot, notes: Notes) -> tuple[Find, ...]:
    finds = []
    for i, row in enumerate(form.find):
        if row.count is None:
            notes.of("count not given, taken as 1", row.kind)
        if row.works is None:
            notes.of("works not given, taken as unknown", row.kind)
        kg = None if row.mass is None else measures.mass(row.mass, spot("find", i, "mass"), above_zero=True)
        works, count = row.works or "unknown", 1 if row.count is None else row.count
        if row.chance is not None and works != "unknown":
            given = f"a chance of {row.chance:g} to work, of a find that is said to work: {works}"
            raise BadScenario(given, "a chance only where nobody knows if it works", spot("find", i, "chance"))
        if (row.listed or 0) > count:
            raise spot.refuse(str(row.listed), f"at most the {count} there are", "find", i, "listed")
        finds.append(Find(row.kind, count, works, kg, row.chance, row.listed or 0))
    return tuple(finds)


def _listed(form: ScenarioFile, anatomies: Mapping[str, Anatomy], spot: Spot) -> dict[tuple[str, str, str], int]:
    """What is on offer, by kind, piece and part. Raises Refused for what no anatomy has."""
    found: dict[tuple[str, str, str], int] = {}
    for i, row in enumerate(form.listed):
        if row.kind not in anatomies:
            raise spot.unknown(row.kind, "kind of a find", anatomies, "listed", i, "kind")
        pieces = {piece.id: [part.name for part in piece.parts] for piece in anatomies[row.kind].pieces}
        if row.piece not in pieces:
            raise spot.unknown(row.piece, f"piece of {row.kind}", pieces, "listed", i, "piece")
        if row.part not in pieces[row.piece]:
            raise spot.unknown(row.part, f"part of {row.piece}", pieces[row.piece], "listed", i, "part")
        key = row.kind, row.piece, row.part
        found[key] = found.get(key, 0) + row.count
    return found


def _unit_spoken(form: ScenarioFile) -> MassUnit:
    """The unit that masses are shown in: pounds if most prices are by the pound, else kilograms."""
    texts = [text for buyer in form.buyer for row in buyer.price for text in _texts(row.price)]
    return "lb" if sum("lb" in text.lower() for text in texts) * 2 > len(texts) else "kg"


def _texts(price: object) -> list[str]:
    return [str(text) for text in price] if isinstance(price, list) else [str(price)]
