"""Kilometres and hours between places: roads given, points on a map, or out and back through home.

A trip may end elsewhere than at home. Ways are then found among all places, home and the end among them, and only
after that the end takes the place of home as where ways lead to: no way passes the one as if it were the other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from partway.errors import BadScenario
from partway.planning.tours.ways import Between, Way, drive_cost, shortest_ways, undominated_ways
from partway.things.scenario import END, HOME, Buyer, Point, Scenario, Vehicle

ONE_TRIP = "trips = 1: one trip of a plan ends elsewhere, and others would have to begin there"
EARTH_RADIUS_KM = 6371.0088  # mean radius R1 of GRS80: Moritz, "Geodetic Reference System 1980", J. Geodesy 74, 2000


def great_circle_km(a: Point, b: Point) -> float:
    """Kilometres between two points given as (latitude, longitude) in degrees, by the haversine formula.

    Equation: 2 R asin sqrt(sin^2(dlat/2) + cos lat_a cos lat_b sin^2(dlon/2)); a sphere, within 0.6 %
    of the ellipsoid. Source: Sinnott, "Virtues of the haversine", Sky and Telescope 68, 1984.
    """
    lat_a, lon_a, lat_b, lon_b = map(math.radians, (*a, *b))
    h = math.sin((lat_b - lat_a) / 2) ** 2
    h += math.cos(lat_a) * math.cos(lat_b) * math.sin((lon_b - lon_a) / 2) ** 2
    return 2 * EARTH_RADIUS_KM * math.asin(min(1.0, math.sqrt(h)))


@dataclass(frozen=True)
class Roads:
    """The cheapest ways between `places`, place 0 being home: km and hours, shape (places, places).

    Ways to place 0 (column 0) lead to where trips end, which is home again where `last` is 0; else the end has the
    number `last` in what ways pass, one above all places, and [0, 0] is the way from home to it.

    `uniform` says that hours are km / kmh everywhere, so the shortest tour is also the quickest. `ways` are all
    that no other beats in cost and hours, the cheapest first; `complete` is False where some were left out.
    """

    places: tuple[str, ...]
    km: NDArray[np.float64]
    hours: NDArray[np.float64]
    uniform: bool
    notes: tuple[str, ...] = ()
    ways: Mapping[tuple[int, int], tuple[Way, ...]] = field(default_factory=dict)
    complete: bool = True
    last: int = 0

    def between(self, a: int, b: int) -> tuple[Way, ...]:
        """The ways worth driving from one place to another; where none are listed, straight there."""
        return self.ways.get((a, b)) or (Way(float(self.km[a, b]), float(self.hours[a, b])),)

    def quickest(self) -> NDArray[np.float64]:
        """Hours of the quickest ways, shape (places, places)."""
        hours = self.hours.copy()
        for (a, b), ways in self.ways.items():
            hours[a, b] = ways[-1].hours
        return hours


def round_trips(scenario: Scenario, vehicle: Vehicle) -> tuple[tuple[str, float], ...]:
    """What a trip to each buyer alone costs, by its id: fuel, and the wage of driving and time on site.

    A buyer that cannot be reached, or from which no way leads on, is left out.
    """
    visited = [b for b in scenario.buyers if b.is_visited]
    if not visited:
        return ()
    known = _roads_known(scenario, visited, vehicle)
    cost = _cost(known.km, known.hours, vehicle.cost_per_km, scenario.hours.wage)
    ways = shortest_ways(cost, known.km, known.hours)
    found = []
    for i, buyer in enumerate(visited, start=1):
        if (0, i) in ways and (i, known.last) in ways:
            there, back = ways[0, i][0], ways[i, known.last][0]
            hours = there.hours + back.hours + buyer.minutes / 60.0
            found.append((buyer.id, vehicle.cost_per_km * (there.km + back.km) + scenario.hours.wage * hours))
    return tuple(found)


def _roads_known(scenario: Scenario, visited: list[Buyer], vehicle: Vehicle) -> Roads:
    """Each road by itself, infinite where there is none; nothing is joined yet. The end is among the places."""
    places = (HOME, *(b.id for b in visited), *((END,) if scenario.end else ()))
    at = {HOME: scenario.home, END: scenario.end.at if scenario.end else None} | {b.id: b.at for b in visited}
    km = np.full((len(places), len(places)), np.inf)
    np.fill_diagonal(km, 0.0)
    notes: list[str] = []
    _straight_lines(places, at, vehicle, km, notes)
    for i, buyer in enumerate(visited, start=1):
        if buyer.km is not None:
            km[0, i] = km[i, 0] = buyer.km
    hours = km / vehicle.kmh
    uniform = _roads_given(scenario, places, km, hours, vehicle)
    return Roads(places, km, hours, uniform, tuple(notes), last=len(visited) + 1 if scenario.end else 0)


def measure(scenario: Scenario, vehicle: Vehicle) -> Roads:
    """Ways between home and every buyer that is driven to.

    A road in the file is taken before the straight line between two points. Two buyers with neither are joined by
    other roads, in the end through home. Raises BadScenario for a buyer or an end that cannot be reached at all or
    that nothing leads back from, and for several trips with an end elsewhere.
    """
    if scenario.end is not None and scenario.hours.trips > 1:
        given = f"{scenario.hours.trips} trips, and an end elsewhere ({scenario.end.name})"
        raise BadScenario(given, ONE_TRIP, "hours.trips")
    visited = [b for b in scenario.buyers if b.is_visited]
    known = _roads_known(scenario, visited, vehicle)
    km, hours, uniform, notes = known.km, known.hours, known.uniform, list(known.notes)
    cost = _cost(km, hours, vehicle.cost_per_km, scenario.hours.wage)
    ways, complete = (shortest_ways(cost, km, hours), True) if uniform else undominated_ways(cost, km, hours)
    _check_joined(known.places, ways)
    straight_on = any(HOME not in (r.start, r.end) for r in scenario.roads)
    if len(visited) > 1 and any(b.at is None for b in visited) and not straight_on:
        notes.append("Where no way between two buyers is given, it is counted as out and back through home.")
    if scenario.end is not None and visited:
        notes.append(f"The way home from {scenario.end.name} is not counted.")
    for pair, found in ways.items():
        km[pair], hours[pair] = found[0].km, found[0].hours
    return _to_the_end(Roads(known.places, km, hours, uniform, tuple(notes), ways, complete, known.last))


def _check_joined(places: tuple[str, ...], ways: Between) -> None:
    for i, place in enumerate(places):
        where = "end" if place == END else f"buyer[{place}]"
        if i and (0, i) not in ways:
            raise BadScenario("no way to it", "km, at = [lat, lon] with [home], or a [[road]]", where)
        if i and (i, 0) not in ways:
            raise BadScenario("no way back from it", "a [[road]] that leads on from there and in the end home", where)


def _to_the_end(roads: Roads) -> Roads:
    """The same ways, of which those to place 0 lead to the end in place of home."""
    n = roads.last
    if not n:
        return roads
    km, hours = roads.km[:n, :n].copy(), roads.hours[:n, :n].copy()
    km[:, 0], hours[:, 0] = roads.km[:n, n], roads.hours[:n, n]
    ways = {(a, b): found for (a, b), found in roads.ways.items() if a < n and 0 < b < n}
    ways |= {(a, 0): roads.ways[a, n] for a in range(n)}
    return replace(roads, places=roads.places[:n], km=km, hours=hours, ways=ways)


def _straight_lines(
    places: tuple[str, ...],
    at: dict[str, Point | None],
    vehicle: Vehicle,
    km: NDArray[np.float64],
    notes: list[str],
) -> None:
    used = False
    for i, a in enumerate(places):
        for j, b in enumerate(places[:i]):
            point_a, point_b = at[a], at[b]
            if point_a is not None and point_b is not None:
                km[i, j] = km[j, i] = great_circle_km(point_a, point_b) * vehicle.road_factor
                used = True
    if used:
        notes.append(f"Ways between points are straight lines times {vehicle.road_factor:g}.")


def _roads_given(
    scenario: Scenario,
    places: tuple[str, ...],
    km: NDArray[np.float64],
    hours: NDArray[np.float64],
    vehicle: Vehicle,
) -> bool:
    index = {place: i for i, place in enumerate(places)}
    uniform = True
    for road in scenario.roads:
        if road.start in index and road.end in index:
            uniform = uniform and road.minutes is None
            for a, b in road.ways:
                km[index[a], index[b]] = road.km
                hours[index[a], index[b]] = road.km / vehicle.kmh if road.minutes is None else road.minutes / 60.0
    return uniform


def _cost(km: NDArray[np.float64], hours: NDArray[np.float64], cost_per_km: float, wage: float) -> NDArray[np.float64]:
    """What each road costs; infinite where there is none, whatever a kilometre costs."""
    cost = np.full_like(km, np.inf)
    known = np.isfinite(km)
    cost[known] = drive_cost(km[known], hours[known], cost_per_km, wage)
    return cost
