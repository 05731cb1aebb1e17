"""Where the buyers of a scenario are: kilometres, points or roads, at least one of them for each."""

from __future__ import annotations

import itertools

from partway.storage.scenario.file_locations import Spot
from partway.storage.scenario.forms import EndTable, HoursTable, RoadTable
from partway.storage.scenario.notes import Notes
from partway.things.scenario import END, HOME, Buyer, Point, Road, TripEnd

Pair = tuple[str, str]  # from, to
LEADS_TO_END = "at = [lat, lon] with [home], or a [[road]] to end"


def read_end(form: EndTable | None, hours: HoursTable, spot: Spot) -> TripEnd | None:
    """Where the trip ends, None: at home. With an end elsewhere there is one trip at most."""
    if form is None:
        return None
    if hours.trips is not None and hours.trips > 1:
        expected = "trips = 1 with [end]: another trip would have to begin there"
        raise spot.refuse(f"{hours.trips} trips, and a table [end]", expected, "hours", "trips")
    return TripEnd(form.name, None if form.at is None else (form.at[0], form.at[1]))


def read_roads(
    forms: list[RoadTable], buyers: tuple[Buyer, ...], ends: bool, spot: Spot, notes: Notes
) -> tuple[Road, ...]:
    """Roads between known places, one for each pair, or for each direction where they lead one way."""
    places = {HOME, *(b.id for b in buyers), *((END,) if ends else ())}
    known = f"place, home{' or end' if ends else ''} or the id of a buyer"
    given: dict[Pair, Road] = {}
    for i, form in enumerate(forms):
        for name, place in (("from", form.from_), ("to", form.to)):
            if place not in places:
                raise spot.unknown(place, known, places, "road", i, name)
        if form.from_ == form.to:
            raise spot.refuse(f"a road from {form.from_} to itself", "two different places", "road", i, "to")
        road = Road(form.from_, form.to, form.km, form.minutes, form.one_way)
        for way in road.ways:
            if way in given:
                raise _twice(road, way, given[way], spot, i)
            given[way] = road
    _note_unused(set(given), buyers, notes)
    return tuple(dict.fromkeys(given.values()))


def _twice(road: Road, way: Pair, before: Road, spot: Spot, i: int) -> Exception:
    if road.one_way or before.one_way:
        expected = "one road for each direction: one_way = true in both where the ways differ"
        return spot.refuse(f"a second road from {way[0]} to {way[1]}", expected, "road", i)
    given = f"a second road between {road.start} and {road.end}"
    return spot.refuse(given, "one road for each pair of places, as it holds both ways", "road", i)


def _note_unused(given: set[Pair], buyers: tuple[Buyer, ...], notes: Notes) -> None:
    for buyer in buyers:
        if not buyer.is_visited and any(buyer.id in pair for pair in given):
            notes.of("Mail-in buyers are not driven to, roads are not used", buyer.id)
        if buyer.is_visited and buyer.km is not None and {(HOME, buyer.id), (buyer.id, HOME)} <= given:
            notes.of("A road from home is given, km is not used", buyer.id)


def check_reach(
    buyers: tuple[Buyer, ...], roads: tuple[Road, ...], home: Point | None, end: TripEnd | None, spot: Spot
) -> None:
    """Refuses a buyer or an end that cannot be reached from home, or from which no way leads home again."""
    visited = [b for b in buyers if b.is_visited]
    places = {HOME, *(b.id for b in visited), *((END,) if end else ())}
    links = [way for r in roads for way in r.ways if {*way} <= places]
    pinned = [b.id for b in visited if b.at is not None] + [HOME] * bool(home) + [END] * bool(end and end.at)
    both = [(HOME, b.id) for b in visited if b.km is not None] + list(itertools.pairwise(pinned))
    links += [*both, *((b, a) for a, b in both)]
    there, back = _reached(HOME, links), _reached(HOME, [(b, a) for a, b in links])
    if end is not None and END not in there:
        raise spot.refuse("no way to it", LEADS_TO_END, "end")
    for i, buyer in enumerate(buyers):
        if buyer.is_visited and buyer.id not in there:
            if buyer.at is not None:
                raise spot.refuse(
                    "a point, but no point for home", "a table [home] with at = [lat, lon]", "buyer", i, "at"
                )
            expected = "km, or at = [lat, lon] with [home], or a [[road]] that leads there from home"
            raise spot.refuse("no way to it", expected, "buyer", i)
        if buyer.is_visited and buyer.id not in back:
            raise spot.refuse("no way back from it", "a [[road]] that leads on from there", "buyer", i)
    if end is not None and END not in back:
        raise spot.refuse("no way back from it", "a [[road]] that leads home from there", "end")


def _reached(start: str, links: list[Pair]) -> set[str]:
    after: dict[str, set[str]] = {}
    for a, b in links:
        after.setdefault(a, set()).add(b)
    reached, frontier = {start}, [start]
    while frontier:
        new = after.get(frontier.pop(), set()) - reached
        reached |= new
        frontier += new
    return reached


def uses_points(buyers: tuple[Buyer, ...], home: Point | None, end: TripEnd | None) -> bool:
    """Whether any way is measured as a straight line between two points."""
    pinned = [b for b in buyers if b.is_visited and b.at is not None]
    return len(pinned) + (home is not None) + (end is not None and end.at is not None) > 1
