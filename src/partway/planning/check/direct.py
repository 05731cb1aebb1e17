"""Adds up a tour road by road from the scenario's own roads, for the check of a plan.

It shares only the length of a straight line with `roads` and `ways`, which decide what is driven.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

from partway.planning.tours.roads import great_circle_km
from partway.planning.tours.tours import Tour
from partway.things.scenario import END, HOME, Scenario, Vehicle

SLACK = 1e-6  # km and hours


def as_long_as(scenario: Scenario, tour: Tour) -> bool:
    """Whether a tour goes from home to where trips end, by roads that exist, past its stops in order, as long as it
    says.
    """
    vehicle, places = scenario.vehicle, _places(scenario)
    last = places.index(END) if scenario.end else 0
    if vehicle is None or tour.way[0] or tour.way[-1] != last or not _in_order(tour.stops, tour.way):
        return False
    driven = [_road(scenario, vehicle, places[a], places[b]) for a, b in itertools.pairwise(tour.way)]
    legs = [leg for leg in driven if leg is not None]
    km, hours = sum(leg[0] for leg in legs), sum(leg[1] for leg in legs)
    return len(legs) == len(driven) and abs(km - tour.km) <= SLACK and abs(hours - tour.hours) <= SLACK


def arrivals(scenario: Scenario, tour: Tour) -> list[tuple[int, float]]:
    """Hours at the wheel from home to each stop, in order; nothing where some road is not there."""
    vehicle, places = scenario.vehicle, _places(scenario)
    found, hours, ahead = [], 0.0, list(tour.stops)
    for a, b in itertools.pairwise(tour.way):
        leg = None if vehicle is None else _road(scenario, vehicle, places[a], places[b])
        hours += 0.0 if leg is None else leg[1]
        if ahead and b == ahead[0]:
            found.append((ahead.pop(0), hours))
    return found


def _places(scenario: Scenario) -> list[str]:
    """By number: home, who is driven to, and last where trips end if not at home."""
    return [HOME, *(b.id for b in scenario.buyers if b.is_visited), *([END] if scenario.end else [])]


def _in_order(stops: tuple[int, ...], way: tuple[int, ...]) -> bool:
    ahead = iter(way)
    return all(stop in ahead for stop in stops)


def _road(scenario: Scenario, vehicle: Vehicle, a: str, b: str) -> tuple[float, float] | None:
    """Km and hours straight from one place to the next: the road given, else km from home, else the straight line."""
    ends = {(r.start, r.end) if r.one_way else frozenset((r.start, r.end)): r for r in scenario.roads}
    road = ends.get((a, b)) or ends.get(frozenset((a, b)))
    if road is not None:
        return road.km, road.km / vehicle.kmh if road.minutes is None else road.minutes / 60.0
    at = {HOME: scenario.home, END: scenario.end.at if scenario.end else None} | {x.id: x.at for x in scenario.buyers}
    from_home = [x.km for x in scenario.buyers if x.km is not None and {HOME, x.id} == {a, b}]
    start, end = at[a], at[b]
    km = from_home[0] if from_home else None
    if km is None and start is not None and end is not None:
        km = great_circle_km(start, end) * vehicle.road_factor
    return None if km is None else (km, km / vehicle.kmh)


def cheapest_trips(scenario: Scenario) -> dict[str, float]:
    """What the cheapest trip to each buyer alone costs: fuel, and the wage of driving and time on site.

    There from home, and on to where trips end; infinite where one cannot come there, or not on.
    """
    vehicle, wage = scenario.vehicle, scenario.hours.wage
    driven = [b for b in scenario.buyers if b.is_visited]
    if vehicle is None:
        return {}
    roads = {pair: _road(scenario, vehicle, *pair) for pair in itertools.permutations(_places(scenario), 2)}
    legs = {pair: km * vehicle.cost_per_km + hours * wage for pair, (km, hours) in _known(roads)}
    there = _cheapest(HOME, legs)
    on = _cheapest(END if scenario.end else HOME, {(b, a): leg for (a, b), leg in legs.items()})
    ways = {b.id: there.get(b.id, math.inf) + on.get(b.id, math.inf) for b in driven}
    return {b.id: ways[b.id] + b.minutes / 60.0 * wage for b in driven}


def _cheapest(start: str, legs: dict[tuple[str, str], float]) -> dict[str, float]:
    """What the cheapest way to each place costs that can be reached.

    Each is reached as cheaply as from any place reached before it, until nothing gets cheaper (Bellman and Ford).
    """
    cost = {start: 0.0}
    cheaper = True
    while cheaper:
        cheaper = False
        for (a, b), leg in legs.items():
            if a in cost and cost[a] + leg < cost.get(b, math.inf):
                cost[b], cheaper = cost[a] + leg, True
    return cost


Leg = tuple[float, float]


def _known(roads: dict[tuple[str, str], Leg | None]) -> Iterator[tuple[tuple[str, str], Leg]]:
    return ((pair, leg) for pair, leg in roads.items() if leg is not None)
