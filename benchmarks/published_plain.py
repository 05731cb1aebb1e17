"""Instances that others published for plain HiGHS: one standard programme each, given to it in one piece.

Routes by arcs with flows (Gavish and Graves, "The travelling salesman problem and related problems", 1978): as many
units leave the start as there are stops, or kilograms to bring, and one stays at each, so no round misses the start.
Where several trips have a limit each, a second flow carries the way so far (Kara and Bektas, European Journal of
Operational Research 174, 2006, for distance constraints). Our own plain programme (docs/model.md) is not
among them: it does not know what a tour of more than twelve places costs.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict

from published_problems import Found, Knapsack, Route

from partway.planning.model.highs import Solver
from partway.planning.model.linear import Linear, Terms


def highs(problem: Route | Knapsack, seconds: float, gap: float) -> Found:
    """What HiGHS finds with its default settings and one thread."""
    linear = _sack(problem) if isinstance(problem, Knapsack) else _Arcs(problem).linear
    answer = Solver(linear).run(seconds, gap)
    return answer.objective if answer.x is not None else None, answer.bound if math.isfinite(answer.bound) else None


def _sack(sack: Knapsack) -> Linear:
    linear = Linear()
    taken = [linear.column(f"taken({i})", float(pays), 1.0, integer=True) for i, pays in enumerate(sack.worth)]
    for row, most in zip(sack.takes, sack.limits, strict=True):
        linear.row("limit", "", [(c, float(a)) for c, a in zip(taken, row, strict=True)], upper=float(most))
    return linear


class _Arcs:
    """The programme of a route. Place 0 stands for the start and the end."""

    def __init__(self, route: Route) -> None:
        self.route, self.linear = route, Linear()
        self.out: dict[int, Terms] = defaultdict(list)
        self.into: dict[int, Terms] = defaultdict(list)
        places = [0, *route.stops]
        self.long = {(i, j): _leg(route, i, j) for i, j in itertools.permutations(places, 2)}
        self.arc = {leg: self._arc(leg) for leg in self.long}
        self.visit = {i: self._visit(i) for i in route.stops}
        self.linear.row("trips", "", self.out[0], upper=float(route.trips))
        self.linear.row("home", "", [*self.out[0], *((c, -a) for c, a in self.into[0])], 0.0, 0.0)
        self._flow()
        self._limit()
        self._bought()

    def _arc(self, leg: tuple[int, int]) -> int:
        cost = self.long[leg] if self.route.driven else 0.0
        column = self.linear.column(f"arc({leg[0]}.{leg[1]})", -cost, 1.0, integer=True)
        self.out[leg[0]].append((column, 1.0))
        self.into[leg[1]].append((column, 1.0))
        return column

    def _visit(self, place: int) -> int:
        must = float(place in self.route.demand)
        prize = self.route.prize.get(place, 0.0)
        column = self.linear.column(f"visit({place})", prize, 1.0, integer=True, lower=must)
        for legs in (self.out[place], self.into[place]):
            self.linear.row("ends", str(place), [*legs, (column, -1.0)], 0.0, 0.0)
        return column

    def _flow(self) -> None:
        """A unit, or its demand, comes to each stop and stays there."""
        route, linear = self.route, self.linear
        amount = dict(route.demand) if route.demand else dict.fromkeys(route.stops, 1.0)
        most = route.room if route.demand else float(len(route.stops))
        flow = {leg: linear.column("flow", 0.0) for leg in self.arc}
        for leg, c in flow.items():
            linear.row("carried", "", [(c, 1.0), (self.arc[leg], -most)], upper=0.0)
        for i in route.stops:
            terms: Terms = [(flow[leg], 1.0 if leg[1] == i else -1.0) for leg in flow if i in leg]
            linear.row("stays", str(i), [*terms, (self.visit[i], -amount.get(i, 0.0))], 0.0, 0.0)

    def _limit(self) -> None:
        """One limit is one row; several trips carry the way so far along."""
        route, linear = self.route, self.linear
        if not math.isfinite(route.limit):
            return
        if route.trips == 1:
            linear.row("limit", "", [(c, self.long[leg]) for leg, c in self.arc.items()], upper=route.limit)
            return
        far = {leg: linear.column("far", 0.0) for leg in self.arc}
        for (i, j), c in far.items():
            back = 0.0 if j == 0 else self.long[j, 0]
            linear.row("far", "", [(c, 1.0), (self.arc[i, j], back - route.limit)], upper=0.0)
            if i == 0:
                linear.row("far", "first", [(c, 1.0), (self.arc[i, j], -self.long[i, j])], 0.0, 0.0)
        for i in route.stops:
            so_far: Terms = [(far[leg], 1.0 if leg[0] == i else -1.0) for leg in far if i in leg]
            on: Terms = [(self.arc[leg], -self.long[leg]) for leg in far if leg[0] == i]
            linear.row("so_far", str(i), [*so_far, *on], 0.0, 0.0)

    def _bought(self) -> None:
        of: dict[str, Terms] = defaultdict(list)
        for i, offers in self.route.offers.items():
            for what, price, most in offers:
                column = self.linear.column("bought", -price, most)
                of[what].append((column, 1.0))
                if i != 1:
                    self.linear.row("there", "", [(column, 1.0), (self.visit[i], -most)], upper=0.0)
        for what, much in self.route.need.items():
            self.linear.row("need", what, of[what], much, much)


def _leg(route: Route, i: int, j: int) -> float:
    return route.leg(i or 1, j or route.end)
