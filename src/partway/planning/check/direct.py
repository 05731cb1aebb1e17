"""Adds up a tour road by road from the scenario's own roads, for the check of a plan.

It shares only the length of a straight line with `roads` and `ways`, which decide what is driven.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from partway.planning.tours.roads import HOME, great_circle_km
from partway.planning.tours.tours import Tour
from partway.things.scenario import Scenario, Vehicle

SLACK = 1e-6  # km and hours


def as_long_as(scenario: Scenario, tour: Tour) -> bool:
    """Whether a tour goes from home to home by roads that exist, past its stops in order, as long as it says."""
    vehicle = scenario.vehicle
    places = [HOME, *(b.id for b in scenario.buyers if b.is_visited)]
    if vehicle is None or tour.way[0] or tour.way[-1] or not _in_order(tour.stops, tour.way):
        return False
    driven = [_road(scenario, vehicle, places[a], places[b]) for a, b in itertools.pairwise(tour.way)]
    legs = [leg for leg in driven if leg is not None]
    km, hours = sum(leg[0] for leg in legs), sum(leg[1] for leg in legs)
    return len(legs) == len(driven) and abs(km - tour.km) <= SLACK and abs(hours - tour.hours) <= SLACK


def arrivals(scenario: Scenario, tour: Tour) -> list[tuple[int, float]]:
    """Hours at the wheel from home to each stop, in order; nothing where some road is not there."""
    vehicle = scenario.vehicle
    places = [HOME, *(b.id for b in scenario.buyers if b.is_visited)]
    found, hours, ahead = [], 0.0, list(tour.stops)
    for a, b in itertools.pairwise(tour.way):
        leg = None if vehicle is None else _road(scenario, vehicle, places[a], places[b])
        hours += 0.0 if leg is None else leg[1]
        if ahead and b == ahead[0]:
            found.append((ahead.pop(0), hours))
    return found


def _in_order(stops: tuple[int, ...], way: tuple[int, ...]) -> bool:
    ahead = iter(way)
    return all(stop in ahead for stop in stops)


def _road(scenario: Scenario, vehicle: Vehicle, a: str, b: str) -> tuple[float, float] | None:
    """Km and hours straight from one place to the next: the road given, else km from home, else the straight line."""
    given = [r for r in scenario.roads if {r.start, r.end} == {a, b}]
    if given:
        minutes = given[-1].minutes
        return given[-1].km, given[-1].km / vehicle.kmh if minutes is None else minutes / 60.0
    at = {HOME: scenario.home} | {x.id: x.at for x in scenario.buyers}
    from_home = [x.km for x in scenario.buyers if x.km is not None and {HOME, x.id} == {a, b}]
    start, end = at[a], at[b]
    km = from_home[0] if from_home else None
    if km is None and start is not None and end is not None:
        km = great_circle_km(start, end) * vehicle.road_factor
    return None if km is None else (km, km / vehicle.kmh)


def cheapest_trips(scenario: Scenario) -> dict[str, float]:
    """What the cheapest round trip to each buyer costs: fuel, and the wage of driving and time on site.

    Each place is reached as cheaply as from any place reached before it, until nothing gets cheaper (Bellman and Ford).
    """
    vehicle, wage = scenario.vehicle, scenario.hours.wage
    driven = [b for b in scenario.buyers if b.is_visited]
    if vehicle is None:
        return {}
    cost = {HOME: 0.0} | {b.id: math.inf for b in driven}
    roads = {pair: _road(scenario, vehicle, *pair) for pair in itertools.permutations(cost, 2)}
    legs = {pair: km * vehicle.cost_per_km + hours * wage for pair, (km, hours) in _known(roads)}
    cheaper = True
    while cheaper:
        cheaper = False
        for (a, b), leg in legs.items():
            if cost[a] + leg < cost[b]:
                cost[b], cheaper = cost[a] + leg, True
    return {b.id: 2.0 * cost[b.id] + b.minutes / 60.0 * wage for b in driven}


Leg = tuple[float, float]


def _known(roads: dict[tuple[str, str], Leg | None]) -> Iterator[tuple[tuple[str, str], Leg]]:
    return ((pair, leg) for pair, leg in roads.items() if leg is not None)
