"""From a model to the best decision the time allows, with an honest bound."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from partway.errors import SolverFailed
from partway.planning.decision import Decision
from partway.planning.extract import extract
from partway.planning.highs import Solver, Values
from partway.planning.instance import Instance
from partway.planning.milp import Model, formulate


@dataclass(frozen=True, slots=True)
class Found:
    """The best decision, its objective as the solver counts it, and a bound no plan can beat."""

    decision: Decision
    objective: float
    bound: float
    optimal: bool


OnProgress = Callable[[float, float], None]  # objective, bound


def search(instance: Instance, seconds: float = 10.0, gap: float = 1e-6, on_progress: OnProgress | None = None) -> Found:
    """Solve an instance; raises SolverFailed where not even the empty plan was found."""
    model = formulate(instance)
    began = time.monotonic()
    solver = Solver(model.linear)
    answer = solver.run(seconds, gap)
    if answer.x is None:
        raise SolverFailed(f"no plan found ({answer.status})")
    left = max(1.0, seconds - (time.monotonic() - began))
    x = polish(model, solver, answer.x, left)
    return Found(extract(model, x), model.linear.value(x.tolist()), answer.bound, answer.status == "optimal")


def polish(model: Model, solver: Solver, x: Values, seconds: float) -> Values:
    """Fix every whole number and solve for the kilograms again, so that rounding leaves no dust."""
    linear = model.linear
    whole = {c: round(float(x[c])) for c, integer in enumerate(linear.integer) if integer}
    fixed = Solver(linear, relaxed=True)
    fixed.bounds({c: (float(v), float(v)) for c, v in whole.items()})
    answer = fixed.run(seconds)
    if answer.x is None:
        raise SolverFailed("the rounded plan is not feasible")
    return answer.x
