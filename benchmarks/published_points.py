"""Orienteering by points: how much score can be collected from a start to an end within a limit.

Two forms, told apart by the first line:
- one trip: a line with the limit and 1, then x, y and score of each point, the start first and the end second
  (Tsiligirides, "Heuristic methods applied to orienteering", Journal of the Operational Research Society 35, 1984;
  Chao, Golden and Wasil, European Journal of Operational Research 88, 1996, "A fast and effective heuristic");
- a team: `n`, `m` and `tmax` with the number of points, of trips, and the limit of each, then the points, the start
  first and the end last (Chao, Golden and Wasil, "The team orienteering problem", the same volume).

A score becomes what a yard pays for a kilogram of a grade that only it wants. The limit becomes hours at 1 km/h, and
driving costs nothing. One trip ends where it is said (`Scenario.end`). Several cannot (docs/decisions/0024), but need
not: with one-way roads out of home as long as from the start, and back as long as to the end, a round trip from home is
a trip from start to end. So that no way leads through home, which stands for both, the way out is longer by more than
any way, and so is the limit of each trip: that changes no trip.
"""

from __future__ import annotations

import itertools
import math
from pathlib import Path

from published_problems import FAR, Published, Route, Unread, place, sells, wanted

from partway.things.scenario import HOME, Hours, Road, Vehicle

SAME = 1e-9  # of the limit: sums of square roots have no last digit, and nobody says how others rounded


def points(path: Path, text: str) -> Published:
    """One file of either form. Raises Unread."""
    rows = [line.split() for line in text.splitlines() if line.strip()]
    if rows and rows[0][0] == "n":
        return _team(path.stem, rows)
    numbers = [[_number(path, word) for word in row] for row in rows]
    if len(numbers) < 4 or len(numbers[0]) != 2 or any(len(row) != 3 for row in numbers[1:]):
        raise Unread(f"{path.name}: expected a limit and a number of trips, then x, y and score of each point")
    (limit, trips), start, end, *between = numbers
    return _published(path.stem, [start, *between, end], limit, int(trips))


def _number(path: Path, word: str) -> float:
    try:
        return float(word)
    except ValueError:
        raise Unread(f"{path.name}: {word}: expected a number") from None


def _team(name: str, rows: list[list[str]]) -> Published:
    head = {row[0]: row[1] for row in rows[:3] if len(row) == 2}
    given = [[float(word) for word in row] for row in rows[3:]]
    if set(head) != {"n", "m", "tmax"} or len(given) != int(head["n"]) or any(len(row) != 3 for row in given):
        raise Unread(f"{name}: expected n, m, tmax, and then x, y and score of n points")
    return _published(name, given, float(head["tmax"]), int(head["m"]))


def _published(name: str, given: list[list[float]], limit: float, trips: int) -> Published:
    closed = given[0][:2] == given[-1][:2]
    at = given[:-1] if closed else given
    way = {(i, j): math.dist(at[i - 1][:2], at[j - 1][:2]) for i, j in itertools.combinations(range(1, len(at) + 1), 2)}
    end = 1 if closed else len(at)
    prize = {i: row[2] for i, row in enumerate(at, 1) if i not in (1, end) and row[2] > 0}
    route = Route(len(at), way, end, trips, limit * (1.0 + SAME), prize)
    quotes = {i: [wanted(f"p{i}", pays, 1.0)] for i, pays in prize.items()}
    stock = {f"p{i}": 1.0 for i in prize}
    apart = _out_and_back(route) if trips > 1 and not closed else None
    longer = _beyond(route) if apart else 0.0
    most = route.limit + longer
    hours = Hours(1.0, most * trips, 0.0, trips, trip=most if trips > 1 else None)
    scenario = sells(name, route, quotes, stock, hours, Vehicle(FAR, None, 0.0, 1.0), apart)
    return Published(name, "orienteering" if trips == 1 else "team", route, scenario, lambda worth: worth, most=True)


def _beyond(route: Route) -> float:
    """What the way out is longer by: more than any way through home could save."""
    return float(math.ceil(2.0 * max(route.way.values())))


def _out_and_back(route: Route) -> tuple[Road, ...]:
    out = [Road(HOME, place(route, i), route.leg(1, i) + _beyond(route), one_way=True) for i in route.stops]
    back = [Road(place(route, i), HOME, route.leg(i, route.end), one_way=True) for i in route.stops]
    between = itertools.combinations(route.stops, 2)
    return (*out, *back, *(Road(place(route, i), place(route, j), route.leg(i, j)) for i, j in between))
