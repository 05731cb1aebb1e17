"""What an instance that others published asks for, plainly and as a scenario of ours.

The plain form (`Route`, `Knapsack`) is what the other solvers get (`published_rivals.py`); both are made from the same
numbers, so that all solve the same problem.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import END, HOME, Buyer, Hours, Quote, Road, Scenario, TripEnd, Vehicle

DAY = dt.date(2026, 3, 14)
FAR = 1e5  # hours and kilograms that nothing here reaches
Weights = dict[tuple[int, int], float]  # of places 1, 2, ..., the lower number first
Found = tuple[float | None, float | None]  # a figure to be as large as possible, and a bound on it
Offer = tuple[str, float, float]  # what, at which price each, and how many at most


class Unread(ValueError):
    """A file that is none of the forms known here, or an instance that a plan of ours cannot say."""


@dataclass(frozen=True)
class Route:
    """Trips from place 1 to `end` (1: round trips). What is to be had on the way depends on the problem.

    `prize`: whoever stops there has it, once over all trips. `demand`: every place of these is brought as much, on one
    trip, and none carries more than `room`. `offers` and `need`: as much is bought of each as is needed. The figure is
    prizes less what is bought; with `driven` also less the ways.
    """

    size: int
    way: Weights
    end: int = 1
    trips: int = 1
    limit: float = math.inf
    prize: Mapping[int, float] = field(default_factory=dict)
    demand: Mapping[int, float] = field(default_factory=dict)
    room: float = math.inf
    offers: Mapping[int, list[Offer]] = field(default_factory=dict)
    need: Mapping[str, float] = field(default_factory=dict)
    driven: bool = False
    given: float = 0.0  # had in any case, at the start

    def leg(self, a: int, b: int) -> float:
        """The way between two places."""
        return 0.0 if a == b else self.way[min(a, b), max(a, b)]

    @property
    def stops(self) -> list[int]:
        """Every place but the start and the end."""
        return [i for i in range(2, self.size + 1) if i != self.end]


@dataclass(frozen=True)
class Knapsack:
    """Things of whole numbers: what each is worth and what it takes of each limit."""

    worth: tuple[float, ...]
    takes: tuple[tuple[float, ...], ...]  # by limit
    limits: tuple[float, ...]


@dataclass(frozen=True)
class Published:
    """One instance: the problem, its scenario, and the published figure as a function of what a plan is worth."""

    name: str
    kind: str
    problem: Route | Knapsack
    scenario: Scenario
    figure: Callable[[float], float]
    most: bool  # whether the published figure is to be as large as possible


def place(route: Route, number: int) -> str:
    """What the scenario calls a place."""
    if number == 1:
        return HOME
    return END if number == route.end else f"y{number}"


def roads(route: Route) -> tuple[Road, ...]:
    """Every way between two places, in both directions."""
    return tuple(Road(place(route, i), place(route, j), km) for (i, j), km in route.way.items())


def wanted(grade: str, price: float, most: float, least: float = 0.0) -> Quote:
    """A price for at most so much, in one lot of at least so much."""
    return Quote(grade, Estimate.exact(price), DAY, minimum_kg=least, most_kg=most)


def sells(
    name: str,
    route: Route,
    quotes: Mapping[int, list[Quote]],
    stock: Mapping[str, float],
    hours: Hours,
    vehicle: Vehicle,
    ways: tuple[Road, ...] | None = None,
) -> Scenario:
    """Stock alone, sold at the places between; `ways` where they are not just those of the route."""
    ends = route.end not in (1, *quotes) and ways is None
    return Scenario(
        name=name,
        currency="CAD",
        on=DAY,
        hours=hours,
        vehicle=vehicle,
        buyers=tuple(Buyer(place(route, i), "yard", quotes=tuple(quotes.get(i, ()))) for i in route.stops),
        finds=(),
        stock=dict(stock),
        grades={grade: Grade(grade, grade, "copper", Estimate.exact(0.5)) for grade in stock},
        anatomies={},
        roads=roads(route) if ways is None else ways,
        end=TripEnd("the end") if ends else None,
        keep_factor=0.0,
    )
