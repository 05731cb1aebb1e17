"""The map of the trips: true to the compass where coordinates are known, else by distance and saying so."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any, cast

import planned
import pytest
from hypothesis import given
from hypothesis import strategies as st
from long_haul import DAY, HOME, exact

from partway.actions.plans.plan import plan
from partway.planning.tours.roads import great_circle_km
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import TripLine
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Point, Quote, Road, Scenario, TripEnd, Vehicle
from partway.web.drawings import map_labels
from partway.web.drawings.map_labels import DOT, LETTER, SIZE, Label, Marked, place_labels
from partway.web.drawings.route_map import RouteMap, route_map

RICH = planned.rich_scenario()


def town(points: dict[str, Point | None], km: float | None = None) -> Scenario:
    """Yards that all take the one grade in stock."""
    quotes = (Quote("iron", exact(1.0), DAY),)
    return Scenario(
        name="town",
        currency="CAD",
        on=DAY,
        hours=Hours(1.0, 9.0, 1.0, 1),
        vehicle=Vehicle(500.0),
        buyers=tuple(Buyer(name, "yard", at=at, km=km, quotes=quotes) for name, at in points.items()),
        finds=(),
        stock={"iron": 100.0},
        grades={"iron": Grade("iron", "iron", "ferrous", exact(0.5))},
        anatomies={},
        home=HOME,
    )


def driven(*trips: tuple[str, ...], km: float = 40.0) -> Plan:
    """As much of a plan as the map reads."""
    lines = tuple(TripLine(n, stops, km, 1.0, 1.0, 1.0) for n, stops in enumerate(trips, start=1))
    return cast(Plan, SimpleNamespace(routes=trips, trips=lines))


def mapped(scenario: Scenario, plan: Plan) -> RouteMap:
    found = route_map(scenario, plan)
    assert found is not None
    return found


def spots(of: RouteMap) -> dict[str, tuple[float, float]]:
    return {place.id: (place.x, place.y) for place in of.places}


NEAR: dict[str, Point | None] = {
    "north": (30.75, -40.5),
    "east": (30.6, -40.3),
    "south-west": (30.5, -40.65),
    "not-visited": (30.62, -40.42),
}


def test_north_is_up_east_is_right_and_distances_are_those_on_the_globe() -> None:
    it = mapped(town(NEAR), driven(("north", "east", "south-west")))
    assert it.to_compass
    at = spots(it)
    assert at["north"][1] < at["home"][1] < at["south-west"][1]
    assert at["south-west"][0] < at["home"][0] < at["east"][0]
    per_km = it.bar.length / it.bar.km
    points = {**NEAR, "home": HOME}
    for a, b in itertools.combinations(at, 2):
        # Haversine (Sinnott 1984), which the map does not use, within what a sphere this small is flat: 0.5 %.
        known = great_circle_km(cast(Point, points[a]), cast(Point, points[b]))
        assert math.dist(at[a], at[b]) / per_km == pytest.approx(known, rel=0.005, abs=0.5 / per_km)


def test_places_across_the_line_of_180_degrees_lie_side_by_side() -> None:
    scenario = replace(town({"over": (0.0, -179.9), "near": (0.01, 179.9)}), home=(0.0, 179.9))
    it = mapped(scenario, driven(("near", "over")))
    at = spots(it)
    assert at["over"][0] > at["home"][0]
    # 0.2 degrees of the equator, 111.2 km each (R1 of GRS80)
    assert math.dist(at["over"], at["home"]) / it.bar.length * it.bar.km == pytest.approx(22.24, rel=0.01)


def test_with_kilometres_alone_places_lie_at_their_distance_and_the_map_says_so() -> None:
    it = mapped(RICH, driven(("yard", "refiner"), ("yard", "depot")))
    assert not it.to_compass
    at, per_km = spots(it), it.bar.length / it.bar.km
    for buyer, km in {"yard": 5.0, "refiner": 7.0, "depot": 6.0}.items():
        assert math.dist(at[buyer], at["home"]) / per_km == pytest.approx(km, abs=0.01)
    assert it.left_out == ()  # the mail-in is no place to drive to
    numbers = {place.id: place.number for place in it.places}
    assert numbers == {"home": "", "yard": "1, 3", "refiner": "2", "depot": "4"}


def test_each_trip_runs_from_home_to_home_through_its_stops_in_order() -> None:
    it = mapped(RICH, plan(RICH))
    at = spots(it)
    routes = plan(RICH).routes
    assert len(it.ways) == len(routes) == 2
    for way, route in zip(it.ways, routes, strict=True):
        ends = [(leg.x1, leg.y1) for leg in way.legs] + [(way.legs[-1].x2, way.legs[-1].y2)]
        assert ends == [at[place] for place in ("home", *route, "home")]


def ending(*stops: str) -> Plan:
    """A trip that ends at the workshop."""
    lines = (TripLine(1, stops, 40.0, 1.0, 1.0, 1.0, ends_at="the workshop"),)
    return cast(Plan, SimpleNamespace(routes=(stops,), trips=lines))


def test_a_trip_that_ends_elsewhere_is_drawn_to_there() -> None:
    end = TripEnd("the workshop", (30.7, -40.2))
    it = mapped(replace(town(NEAR), end=end), ending("north"))  # one stop alone: there are two places to see
    (way,) = it.ways
    at = spots(it)
    assert (way.legs[-1].x2, way.legs[-1].y2, way.end) == (*at["end"], "the workshop")
    assert at["end"][0] > at["home"][0] and at["end"][1] < at["home"][1]  # to the north-east
    assert [(place.name, place.kind, place.number) for place in it.places if place.id == "end"] == [
        ("the workshop", "end", "")
    ]


def test_by_distances_alone_the_end_has_to_have_one() -> None:
    scenario = replace(town({"north": None}, km=8.0), end=TripEnd("the workshop"), home=None)
    assert route_map(scenario, ending("north")) is None
    it = mapped(replace(scenario, roads=(Road("home", "end", 3.0),)), ending("north"))
    at = spots(it)
    assert math.dist(at["end"], at["home"]) / it.bar.length * it.bar.km == pytest.approx(3.0, abs=0.01)


def test_a_place_without_coordinates_is_named_as_left_out() -> None:
    it = mapped(town({**NEAR, "somewhere": None}, km=5.0), driven(("north", "east")))
    assert it.to_compass and it.left_out == ("somewhere",)
    # but where one is driven to, all are drawn by distance
    assert not mapped(town({**NEAR, "somewhere": None}, km=5.0), driven(("north", "somewhere"))).to_compass


def test_a_plan_that_stays_home_or_goes_to_one_place_alone_has_no_map() -> None:
    assert route_map(RICH, driven()) is None
    assert route_map(town(NEAR), driven(("north",))) is None


def box(label: Label) -> tuple[float, float, float, float]:
    """What a label fills, written again from its anchor."""
    wide = LETTER * SIZE * len(label.text)
    left = label.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * wide
    return left, label.y - 0.8 * SIZE, left + wide, label.y + 0.25 * SIZE


def cover(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return min(a[2], b[2]) - max(a[0], b[0]) > 0.2 and min(a[3], b[3]) - max(a[1], b[1]) > 0.2


places = st.lists(
    st.tuples(st.floats(30.4, 30.8), st.floats(-40.8, -40.2), st.text("abcdef -", min_size=1, max_size=40)),
    min_size=2,  # one place alone has no map
    max_size=12,
)


@given(places)
def test_no_name_covers_another_or_a_place_and_all_stays_in_the_drawing(given: list[tuple[float, float, str]]) -> None:
    points: dict[str, Point | None] = {f"b{n}": (lat, lon) for n, (lat, lon, _) in enumerate(given)}
    scenario = town(points)
    names = [name for *_, name in given]
    scenario = replace(scenario, buyers=tuple(replace(b, name=n) for b, n in zip(scenario.buyers, names, strict=True)))
    it = mapped(scenario, driven(tuple(points)))
    labels = [(place.id, box(place.label)) for place in it.places if place.label is not None]
    dots = {p.id: (p.x - DOT, p.y - DOT, p.x + DOT, p.y + DOT) for p in it.places}
    assert not any(cover(a, b) for (_, a), (_, b) in itertools.combinations(labels, 2))
    assert not any(cover(b, dot) for of, b in labels for place, dot in dots.items() if place != of)
    for b in [*(b for _, b in labels), *dots.values()]:
        assert b[0] >= -0.1 and b[1] >= -0.1 and b[2] <= it.width + 0.1 and b[3] <= it.height + 0.1


@pytest.mark.parametrize(
    ("line", "crosses"),
    [((0, 0, 100, 100), True), ((0, 50, 100, 50), True), ((0, 0, 100, 0), False), ((0, 90, 30, 100), False)],
)
def test_lines_through_a_box(line: Any, crosses: bool) -> None:
    assert map_labels._crosses(line, (40.0, 40.0, 60.0, 60.0)) is crosses


def test_a_name_stands_on_the_side_where_no_line_runs() -> None:
    right = place_labels([Marked(500, 500, "yard")], [], (1000, 1000), (0, 0, 1, 1))[0]
    left = place_labels([Marked(500, 500, "yard")], [(500, 500, 1000, 500)], (1000, 1000), (0, 0, 1, 1))[0]
    assert right is not None and right.anchor == "start"
    assert left is not None and left.anchor != "start"
