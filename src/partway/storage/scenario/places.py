"""Where the buyers of a scenario are: kilometres, points or roads, at least one of them for each."""

from __future__ import annotations

import itertools

from partway.storage.scenario.buyers import HOME
from partway.storage.scenario.file_locations import Spot
from partway.storage.scenario.forms import RoadTable
from partway.storage.scenario.notes import Notes
from partway.things.scenario import Buyer, Point, Road


def read_roads(forms: list[RoadTable], buyers: tuple[Buyer, ...], spot: Spot, notes: Notes) -> tuple[Road, ...]:
    """Roads between known places, one for each pair."""
    places = {HOME, *(b.id for b in buyers)}
    pairs: set[frozenset[str]] = set()
    for i, form in enumerate(forms):
        for name, place in (("from", form.from_), ("to", form.to)):
            if place not in places:
                raise spot.unknown(place, "place, home or the id of a buyer", places, "road", i, name)
        pair = frozenset((form.from_, form.to))
        if len(pair) == 1:
            raise spot.refuse(f"a road from {form.from_} to itself", "two different places", "road", i, "to")
        if pair in pairs:
            given = f"a second road between {form.from_} and {form.to}"
            raise spot.refuse(given, "one road for each pair of places, as it holds both ways", "road", i)
        pairs.add(pair)
    _note_unused(pairs, buyers, notes)
    return tuple(Road(f.from_, f.to, f.km, f.minutes) for f in forms)


def _note_unused(pairs: set[frozenset[str]], buyers: tuple[Buyer, ...], notes: Notes) -> None:
    for buyer in buyers:
        if not buyer.is_visited and any(buyer.id in pair for pair in pairs):
            notes.of("Mail-in buyers are not driven to, roads are not used", buyer.id)
        if buyer.is_visited and buyer.km is not None and frozenset((HOME, buyer.id)) in pairs:
            notes.of("A road from home is given, km is not used", buyer.id)


def check_reach(buyers: tuple[Buyer, ...], roads: tuple[Road, ...], home: Point | None, spot: Spot) -> None:
    """Refuses a buyer that is driven to but cannot be reached from home."""
    visited = {b.id for b in buyers if b.is_visited}
    links = [(r.start, r.end) for r in roads if {r.start, r.end} <= visited | {HOME}]
    links += [(HOME, b.id) for b in buyers if b.km is not None]
    pinned = [b.id for b in buyers if b.is_visited and b.at is not None] + ([HOME] if home else [])
    links += list(itertools.pairwise(pinned))
    reached = _connected(HOME, links)
    for i, buyer in enumerate(buyers):
        if buyer.is_visited and buyer.id not in reached:
            if buyer.at is not None:
                raise spot.refuse(
                    "a point, but no point for home", "a table [home] with at = [lat, lon]", "buyer", i, "at"
                )
            expected = "km, or at = [lat, lon] with [home], or a [[road]] that leads there from home"
            raise spot.refuse("no way to it", expected, "buyer", i)


def _connected(start: str, links: list[tuple[str, str]]) -> set[str]:
    neighbours: dict[str, set[str]] = {}
    for a, b in links:
        neighbours.setdefault(a, set()).add(b)
        neighbours.setdefault(b, set()).add(a)
    reached, frontier = {start}, [start]
    while frontier:
        new = neighbours.get(frontier.pop(), set()) - reached
        reached |= new
        frontier += new
    return reached


def uses_points(buyers: tuple[Buyer, ...], home: Point | None) -> bool:
    """Whether any way is measured as a straight line between two points."""
    pinned = [b for b in buyers if b.is_visited and b.at is not None]
    return len(pinned) + (home is not None) > 1
