"""What it costs to keep a kilogram: its share of the drive it waits for, and its place in a shed that fills up.

    room = trip / (share of a load x least(payload, volume x density)) + trip x crowding / (volume x density)

`trip` is what a round trip to the buyer costs, fuel, driving, time on site and the flat fee of its ticket; what is kept
has to be driven there one day. An ordinary load is a little short of full, since pieces leave gaps. The second term is
0 while the shed is less than half full and rises from there: a full shed turns away what would have been picked up.
Whatever the price, a full load of one grade is therefore never worth keeping (docs/model.md). By mail nothing waits for
a drive.
"""

from __future__ import annotations

import math
from dataclasses import replace

from partway.planning.tours.roads import round_trips
from partway.things.anatomy import Anatomy
from partway.things.defaults import FULL_LOAD, LOAD_DENSITY
from partway.things.limits.room import Room
from partway.things.scenario import Find, Scenario

HALF = 0.5  # of the shed: up to here a place in it is worth nothing
STEEPNESS = 6.0  # trips' worth of a load for each whole shed above half; from a simulated year, see docs/model.md
STEPS = 20.0  # the share in use counts in twentieths, so that not every find makes all prices new


def room_of(scenario: Scenario) -> Room | None:
    """The figures for a scenario; None where a keep factor is set or nobody is driven to."""
    vehicle = scenario.vehicle
    if scenario.keep_factor is not None or vehicle is None:
        return None
    fees = {buyer.id: buyer.ticket_fee for buyer in scenario.buyers}
    trips = tuple((buyer, cost + fees[buyer]) for buyer, cost in round_trips(scenario, vehicle))
    return Room(trips, vehicle.payload_kg, vehicle.volume_l, crowding(share_in_use(scenario))) if trips else None


def with_room(scenario: Scenario) -> Scenario:
    """The same with the figures worked out, so that its vehicle, stock and finds may be left out."""
    return scenario if scenario.room is not None else replace(scenario, room=room_of(scenario))


def room_notes(scenario: Scenario, room: Room | None) -> tuple[str, ...]:
    """What decides by the room there is: how full the shed is, and how much the vehicle is taken to hold."""
    share = share_in_use(scenario)
    if room is None or not room.crowding or share is None:
        return ()
    notes = (f"The shed is {share:.0%} full: what takes room in it is hauled sooner.",)
    if room.volume_l is not None:
        return notes
    litres = room.payload_kg / LOAD_DENSITY
    return (*notes, f"The vehicle is taken to hold {litres:.0f} L for the price of room, at {LOAD_DENSITY:g} kg/L.")


def kept_for(room: Room, buyer: str, density: float) -> float:
    """What it costs to keep one kilogram, of so many kg per litre, for a buyer; nothing where it goes by mail."""
    trip = next((cost for known, cost in room.trips if known == buyer), 0.0)
    litres = room.payload_kg / LOAD_DENSITY if room.volume_l is None else room.volume_l
    return trip / (FULL_LOAD * full_load(room, density)) + trip * room.crowding / (litres * density)


def full_load(room: Room, density: float) -> float:
    """The most kilograms of so many kg per litre that one load takes."""
    return room.payload_kg if room.volume_l is None else min(room.payload_kg, room.volume_l * density)


def crowding(in_use: float | None) -> float:
    """What a place in the shed counts for, in trips for each load of the vehicle."""
    if in_use is None:
        return 0.0
    return STEEPNESS * max(0.0, round(in_use * STEPS) / STEPS - HALF)


def litres_in_use(scenario: Scenario) -> float:
    """Litres that the bins and the finds that wait take in the shed."""
    grades = scenario.grades
    bins = (kg / grades[grade].density.mean for grade, kg in scenario.stock.items() if grade in grades)
    return math.fsum((*bins, *(litres_of(scenario, find) for find in scenario.finds)))


def litres_of(scenario: Scenario, find: Find) -> float:
    """Litres that finds take as they are, by the grade they would ride as; 0 where none is known for them."""
    anatomy = scenario.anatomies[find.kind]
    grade = rides_as(anatomy)
    kg = anatomy.whole.mass.mean if find.mass_kg is None else find.mass_kg
    return 0.0 if grade is None else find.count * kg / scenario.grades[grade].density.mean


def rides_as(anatomy: Anatomy) -> str | None:
    """The first grade the whole is sold as; where it has none, that of the heaviest piece it opens into."""
    piece, seen = anatomy.whole, {anatomy.whole.id}
    while not piece.sells:
        inside = [anatomy.piece(give.piece) for op in anatomy.operations_on(piece.id) for give in op.gives]
        inside = [p for p in inside if p.id not in seen]
        if not inside:
            return None
        piece = max(inside, key=lambda p: p.mass.mean)
        seen.add(piece.id)
    return piece.sells[0].grade


def share_in_use(scenario: Scenario) -> float | None:
    """How full the shed is, 1 being all of it; None where nobody said how large it is."""
    return None if scenario.storage_l is None else litres_in_use(scenario) / scenario.storage_l
