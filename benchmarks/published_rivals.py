"""Instances that others published for CP-SAT and for PyVRP, in the form that is natural for each.

CP-SAT: a circuit whose places may be left out, one for each trip where trips have a limit. PyVRP: places with a prize,
left out or not, and a longest way for each vehicle; it proves nothing, and has no purchasers and no knapsacks.
Both count in whole numbers: ways that are not whole are cut off, to millionths and to ten-thousandths. Where one is not
installed it says so.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

from published_clock import ByProcessor, stopped
from published_problems import Found, Knapsack, Route

UNITS = 1_000_000  # of a unit of way, where not all ways are whole
FEWER = 10_000  # for PyVRP, whose penalties have an upper end
DULL = 5_000  # rounds of PyVRP without anything better, after which it ends


class NotForIt(ValueError):
    """A problem that a solver has no words for."""


def cp_sat(problem: Route | Knapsack, seconds: float, gap: float) -> Found:
    """What CP-SAT finds with one worker."""
    from ortools.sat.python import cp_model

    programme = cp_model.CpModel()
    most = _sack(programme, problem) if isinstance(problem, Knapsack) else _Circuits(programme, problem).most
    programme.maximize(most)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.relative_gap_limit = gap
    with stopped(solver.stop_search, seconds):
        status = solver.solve(programme)
    unit = _units(problem) if isinstance(problem, Route) and problem.driven else 1
    found = solver.objective_value / unit if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return found, solver.best_objective_bound / unit


def _sack(programme: Any, sack: Knapsack) -> Any:
    taken = [programme.new_bool_var("") for _ in sack.worth]
    for row, most in zip(sack.takes, sack.limits, strict=True):
        programme.add(sum(round(a) * c for c, a in zip(taken, row, strict=True)) <= round(most))
    return sum(round(pays) * c for c, pays in zip(taken, sack.worth, strict=True))


class _Circuits:
    """Place 0 stands for the start and the end. `most` is what is to be as large as possible."""

    def __init__(self, programme: Any, route: Route) -> None:
        self.programme, self.route = programme, route
        self.places = [0, *route.stops]
        self.units = _units(route)
        self.long = {leg: _whole(_leg(route, *leg), self.units) for leg in itertools.permutations(self.places, 2)}
        if route.demand:
            self.arcs, visits = [self._loaded()], {}
        else:
            made = [self._circuit() for _ in range(route.trips)]
            self.arcs, visits = [arcs for arcs, _ in made], {i: [at[i] for _, at in made] for i in route.stops}
            for several in visits.values():
                programme.add_at_most_one(several)
        if math.isfinite(route.limit):
            for arcs in self.arcs:
                programme.add(sum(self.long[leg] * c for leg, c in arcs.items()) <= math.ceil(route.limit * self.units))
        prizes = sum(round(prize) * c for i, prize in route.prize.items() for c in visits[i])
        driven = sum(self.long[leg] * c for arcs in self.arcs for leg, c in arcs.items()) if route.driven else 0
        self.most = prizes - driven - self._bought(visits)

    def _circuit(self) -> tuple[dict[tuple[int, int], Any], dict[int, Any]]:
        """One trip: its arcs, and whether it stops at each place."""
        new = self.programme.new_bool_var
        arcs = {leg: new("") for leg in self.long}
        visits = {i: new("") for i in self.places}
        rows = [(self.places.index(i), self.places.index(j), c) for (i, j), c in arcs.items()]
        rows += [(k, k, ~visits[i]) for k, i in enumerate(self.places)]
        self.programme.add_circuit(rows)
        for i in self.route.stops:
            self.programme.add_implication(visits[i], visits[0])
        return arcs, visits

    def _loaded(self) -> dict[tuple[int, int], Any]:
        """All trips at once, with what is on board when each place is left behind."""
        programme, route = self.programme, self.route
        arcs = {leg: programme.new_bool_var("") for leg in self.long}
        programme.add_multiple_circuit([(self.places.index(i), self.places.index(j), c) for (i, j), c in arcs.items()])
        programme.add(sum(c for (i, _), c in arcs.items() if i == 0) <= route.trips)
        kg = {i: round(route.demand[i]) for i in route.stops}
        brought = {i: programme.new_int_var(kg[i], round(route.room), "") for i in route.stops}
        for (i, j), c in arcs.items():
            if i and j:
                programme.add(brought[j] >= brought[i] + kg[j]).only_enforce_if(c)
        return arcs

    def _bought(self, visits: dict[int, list[Any]]) -> Any:
        programme, route = self.programme, self.route
        of: dict[str, list[Any]] = {what: [] for what in route.need}
        cost: Any = 0
        for i, offers in route.offers.items():
            for what, price, most in offers:
                much = programme.new_int_var(0, round(min(most, route.need[what])), "")
                of[what].append(much)
                cost += round(price) * self.units * much
                if i != 1:
                    programme.add(much <= round(most) * sum(visits[i]))
        for what, need in route.need.items():
            programme.add(sum(of[what]) == round(need))
        return cost


def pyvrp(problem: Route | Knapsack, seconds: float, gap: float) -> Found:
    """What PyVRP finds until time is up or it has found nothing better for long; it has no bound."""
    if isinstance(problem, Knapsack) or problem.offers:
        raise NotForIt("PyVRP has no words for it")
    from pyvrp import Model
    from pyvrp.stop import MultipleCriteria, NoImprovement

    model, limit, units = Model(), problem.limit, min(FEWER, _units(problem))
    at = {i: model.add_location(0.0, 0.0) for i in range(1, problem.size + 1)}
    depots = {i: model.add_depot(at[i]) for i in {1, problem.end}}
    model.add_vehicle_type(
        problem.trips,
        [round(problem.room)] if problem.demand else [],
        start_depot=depots[1],
        end_depot=depots[problem.end],
        unit_distance_cost=int(problem.driven),
        **({"max_distance": math.ceil(limit * units)} if math.isfinite(limit) else {}),
    )
    for i in problem.stops:
        kg = [round(problem.demand[i])] if problem.demand else []
        model.add_client(at[i], delivery=kg, prize=round(problem.prize.get(i, 0.0)), required=i in problem.demand)
    for i, j in itertools.permutations(at, 2):
        model.add_edge(at[i], at[j], _whole(problem.leg(i, j), units))
    stop = MultipleCriteria([ByProcessor(seconds), NoImprovement(DULL)])
    result = model.solve(stop, seed=1, display=False)
    if not result.best.is_feasible():
        return None, None
    driven = result.best.distance() / units if problem.driven else 0.0
    return result.best.prizes() - driven, None


def _leg(route: Route, i: int, j: int) -> float:
    return route.leg(i or 1, j or route.end)


def _units(route: Route) -> int:
    return 1 if all(way.is_integer() for way in map(float, route.way.values())) else UNITS


def _whole(way: float, units: int) -> int:
    """To the nearest below, so that what just fits the limit fits it here."""
    return math.floor(way * units)
