"""Adds up a tour road by road from the scenario's own roads, for the check of a plan.

It shares only the length of a straight line with `roads` and `ways`, which decide what is driven.
"""

from __future__ import annotations

import itertools
import math

from partway.planning.tours.roads import HOME, great_circle_km
from partway.planning.tours.tours import Tour
from partway.things.scenario import Buyer, Scenario, Vehicle

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


def cheapest_trip(scenario: Scenario, buyer: Buyer) -> float:
    """What the cheapest round trip to a buyer costs: fuel, and the wage of driving and time on site.

    Each place is reached as cheaply as from any place reached before it, until nothing gets cheaper (Bellman and Ford).
    """
    vehicle, wage = scenario.vehicle, scenario.hours.wage
    if vehicle is None:
        return math.inf
    cost = {HOME: 0.0} | {b.id: math.inf for b in scenario.buyers if b.is_visited}
    for _ in cost:
        for a, b in itertools.permutations(cost, 2):
            leg = _road(scenario, vehicle, a, b)
            if leg is not None:
                cost[b] = min(cost[b], cost[a] + leg[0] * vehicle.cost_per_km + leg[1] * wage)
    return 2.0 * cost[buyer.id] + buyer.minutes / 60.0 * wage
