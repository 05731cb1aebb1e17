"""Ways between places: the great circle against a published value, chains of ways against scipy."""

from __future__ import annotations

import datetime as dt
import random

import numpy as np
import pytest
from scipy.sparse.csgraph import floyd_warshall

from partway.errors import BadScenario
from partway.planning.tours.roads import EARTH_RADIUS_KM, Roads, great_circle_km, measure
from partway.things.scenario import HOME, Buyer, Hours, Point, Road, Scenario, Vehicle


def roads(
    *buyers: Buyer,
    ways: tuple[Road, ...] = (),
    home: Point | None = None,
    wage: float = 12.0,
    cost_per_km: float = 0.3,
) -> Roads:
    """The ways of a scenario with nothing else in it; 60 km/h, straight lines times 1.25."""
    vehicle = Vehicle(100.0, None, cost_per_km, 60.0, 1.25)
    scenario = Scenario(
        name="ways",
        currency="EUR",
        on=dt.date(2026, 3, 14),
        hours=Hours(1.0, 1.0, wage),
        vehicle=vehicle,
        buyers=buyers,
        finds=(),
        stock={},
        grades={},
        anatomies={},
        roads=ways,
        home=home,
    )
    return measure(scenario, vehicle)


def yard(name: str, km: float | None = None, at: Point | None = None) -> Buyer:
    """A buyer one drives to."""
    return Buyer(name, "yard", km=km, at=at)


def test_great_circle_between_two_airports() -> None:
    # Check 35: Rosetta Code, task "Haversine formula": (36.12, -86.67) to (33.94, -118.40) is
    # 2886.44444283798 km for a radius of 6371.0 km, hence 2886.448 km for 6371.0088 km.
    km = great_circle_km((36.12, -86.67), (33.94, -118.40))
    assert km == pytest.approx(2886.448, abs=5e-4)
    assert km * 6371.0 / EARTH_RADIUS_KM == pytest.approx(2886.44444283798, rel=1e-12)


def test_great_circle_on_the_ellipsoid_is_close() -> None:
    # Check 35: GRS80 geodesic Flinders Peak - Buninyon, 54 972.271 m (Geocentric Datum of Australia
    # technical manual, Vincenty test line). A sphere is within 0.6 % of it.
    flinders = (-(37 + 57 / 60 + 3.72030 / 3600), 144 + 25 / 60 + 29.52440 / 3600)
    buninyon = (-(37 + 39 / 60 + 10.15610 / 3600), 143 + 55 / 60 + 35.38390 / 3600)
    assert great_circle_km(flinders, buninyon) == pytest.approx(54.972271, rel=0.006)


def test_great_circle_of_simple_arcs() -> None:
    # A quarter and half of a circumference, by the definition of the circle.
    assert great_circle_km((0.0, 0.0), (0.0, 90.0)) == pytest.approx(EARTH_RADIUS_KM * np.pi / 2, rel=1e-12)
    assert great_circle_km((90.0, 0.0), (-90.0, 55.0)) == pytest.approx(EARTH_RADIUS_KM * np.pi, rel=1e-12)
    assert great_circle_km((50.0, 3.0), (50.0, 3.0)) == 0.0
    over = great_circle_km((10.0, 179.5), (10.0, -179.5))
    assert over == pytest.approx(great_circle_km((10.0, 0.0), (10.0, 1.0)), rel=1e-9)


def test_buyers_known_by_kilometres_alone_are_joined_through_home() -> None:
    found = roads(yard("a", 5.0), yard("b", 7.0))
    assert found.places == (HOME, "a", "b")
    assert found.km.tolist() == [[0, 5, 7], [5, 0, 12], [7, 12, 0]]
    assert found.hours == pytest.approx(found.km / 60.0)
    assert found.uniform
    assert any("through home" in note for note in found.notes)


def test_a_road_between_buyers_is_used_and_leads_further() -> None:
    found = roads(yard("a", 5.0), yard("b", 20.0), ways=(Road("a", "b", 3.0),))
    assert found.km[1, 2] == found.km[2, 1] == 3.0
    assert found.km[0, 2] == 8.0, "through a is shorter than the way given"
    assert found.uniform


def test_a_road_from_home_beats_the_kilometres_and_the_line() -> None:
    here, there = (47.0, 9.0), (47.1, 9.0)
    found = roads(yard("a", 5.0, there), ways=(Road("a", HOME, 30.0),), home=here)
    assert found.km[0, 1] == 30.0


def test_kilometres_beat_the_line_and_lines_are_lengthened() -> None:
    here, there, beyond = (47.0, 9.0), (47.1, 9.0), (47.1, 9.1)
    found = roads(yard("a", 40.0, there), yard("b", at=beyond), home=here, wage=0.0)
    straight = great_circle_km(here, beyond) * 1.25
    assert found.km[0, 2] == pytest.approx(straight)
    between = great_circle_km(there, beyond) * 1.25
    assert found.km[1, 2] == pytest.approx(between)
    assert found.km[0, 1] == pytest.approx(min(40.0, straight + between))
    assert any("1.25" in note for note in found.notes)


def test_minutes_of_a_road_replace_its_kilometres_over_speed() -> None:
    found = roads(yard("a", 5.0), yard("b", 7.0), ways=(Road("a", "b", 4.0, minutes=30.0),), wage=0.0)
    assert found.km[1, 2] == 4.0
    assert found.hours[1, 2] == 0.5
    assert found.hours[0, 1] == pytest.approx(5.0 / 60.0)
    assert not found.uniform


@pytest.mark.parametrize(("wage", "km", "hours"), [(0.0, 4.0, 0.5), (12.0, 12.0, 0.2)])
def test_the_cheaper_chain_is_taken_time_included(wage: float, km: float, hours: float) -> None:
    # 4 km in 30 minutes costs 1.20 + 6.00; 12 km through home in 12 minutes 3.60 + 2.40.
    ways = (Road("a", "b", 4.0, minutes=30.0),)
    found = roads(yard("a", 5.0), yard("b", 7.0), ways=ways, wage=wage)
    assert found.km[1, 2] == pytest.approx(km)
    assert found.hours[1, 2] == pytest.approx(hours)


def test_ways_cost_nothing_and_still_have_a_shortest() -> None:
    found = roads(yard("a", 5.0), yard("b", 7.0), ways=(Road("a", "b", 3.0),), wage=0.0, cost_per_km=0.0)
    assert found.km.tolist() == [[0, 5, 7], [5, 0, 3], [7, 3, 0]]


@pytest.mark.parametrize("seed", range(10))
def test_closure_is_the_shortest_way_through_any_chain(seed: int) -> None:
    rng = random.Random(seed)
    names = [f"b{i}" for i in range(6)]
    buyers = [yard(name, rng.uniform(1.0, 30.0) if i < 2 else None) for i, name in enumerate(names)]
    pairs = [(a, b) for i, a in enumerate(names) for b in names[:i]]
    links = [(f"b{i}", f"b{i + 1}") for i in range(5)]
    ways = [Road(a, b, rng.uniform(1.0, 20.0)) for a, b in pairs if (b, a) in links or rng.random() < 0.3]
    direct = np.full((7, 7), np.inf)
    for i, buyer in enumerate(buyers, start=1):
        if buyer.km is not None:
            direct[0, i] = direct[i, 0] = buyer.km
    for road in ways:
        i, j = names.index(road.start) + 1, names.index(road.end) + 1
        direct[i, j] = direct[j, i] = road.km
    found = roads(*buyers, ways=tuple(ways))
    assert found.km == pytest.approx(np.asarray(floyd_warshall(direct)), rel=1e-12)


def test_a_buyer_that_nothing_leads_to_is_refused() -> None:
    with pytest.raises(BadScenario, match=r"buyer\[b\].*no way to it"):
        roads(yard("a", 5.0), yard("b"))
    with pytest.raises(BadScenario, match=r"buyer\[b\]"):
        roads(yard("a", 5.0), yard("b", at=(47.0, 9.0)))


def test_mail_ins_are_not_on_the_map() -> None:
    found = roads(yard("a", 5.0), Buyer("post", "mail-in", at=(1.0, 1.0)), home=(47.0, 9.0))
    assert found.places == (HOME, "a")
