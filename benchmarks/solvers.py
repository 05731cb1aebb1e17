"""One solver on one instance, run in a process of its own by `compare.py`: prints one line of JSON.

Seconds are of the processor, except where a name says wall. Only `ours` pays for making its programme; the
others are timed from a finished programme in memory (CBC from a file, its own clock, reading left out). The limit
of plain and CBC is of the processor, too; ours and CP-SAT know only the wall's clock, so they get more of it where
the machine is busy (`SLACK` times the limit), and what they used is told.
"""

from __future__ import annotations

import json
import math
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import generate

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.highs import Solver
from partway.planning.model.linear import Linear
from partway.planning.model.milp import Model, formulate
from partway.planning.model.pooled import pool
from partway.planning.search.edge_search import EdgeSearch
from partway.planning.search.search import search
from partway.planning.search.stages import polish
from partway.planning.search.tour_bounds import TourCuts

SLACK = 4.0  # times the limit: what a solver that looks at the wall's clock may take of it
GRAMS = 1000  # CP-SAT counts whole grams,
HOURS = 1_000_000  # hours and other sides of rows in millionths,
MONEY = 1_000_000_000  # and money in thousand-millionths of a currency unit
MOST_KG = 1e6  # where the programme itself sets no upper bound
Report = dict[str, Any]


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    """The result of some work and its processor seconds."""
    began = time.process_time()
    return work(), time.process_time() - began


def relaxation(model: Model) -> Linear:
    """What a search solves first, to be taken with every column a fraction.

    Where tours are not listed driving would be free in the programme: there it is all trips as one, with their legs,
    before any cut.
    """
    if not model.columns.tour_money:
        return model.linear
    cuts = TourCuts(model)
    cuts.add_legs()
    return EdgeSearch(pool(model), cuts).pooled.linear


def ours(instance: Instance, seconds: float, gap: float) -> Report:
    """`search` as the product calls it: programme, relaxations, tree, plans, clean-up; the second opinion apart."""
    heard: list[tuple[float, float, float, float]] = []
    model, formulating = timed(lambda: formulate(instance))
    wall, began = time.monotonic(), time.process_time()

    def hear(objective: float, bound: float) -> None:
        heard.append((time.monotonic() - wall, time.process_time() - began, objective, bound))

    found, took = timed(lambda: search(instance, SLACK * seconds, gap, hear))
    total = time.monotonic() - wall
    checked = verify(instance, found.decision).money.total
    held = Solver(relaxation(formulate(instance)), relaxed=True)
    relaxed, relaxing = timed(held.run)
    first = heard[0]
    return {
        "seconds": took - found.opinion_seconds,
        "second_opinion": found.opinion_seconds,
        "wall": total,
        "objective": found.objective,
        "bound": found.bound,
        "checked": checked,
        "formulate": formulating,
        "relaxation": relaxing,
        "relaxation_above": relaxed.objective / found.objective - 1.0,
        "first_wall": first[0],
        "first_seconds": first[1],
        "first_gap": (first[3] - first[2]) / max(1.0, abs(first[2])),
        "columns": len(model.linear.names),
        "rows": len(model.linear.rows),
    }


def plain(instance: Instance, seconds: float, gap: float) -> Report:
    """Every variable whole, given in one piece to HiGHS with its default settings and one thread."""
    solver = Solver(formulate(instance, plain=True).linear)
    wall, began = time.monotonic(), time.process_time()

    def stop_in_time(event: Any) -> None:
        if time.process_time() - began > seconds:
            event.interrupt()

    solver.highs.cbMipInterrupt.subscribe(stop_in_time)
    answer, took = timed(lambda: solver.run(math.inf, gap))
    return {"seconds": took, "wall": time.monotonic() - wall, "objective": answer.objective, "bound": answer.bound}


def cbc(instance: Instance, seconds: float, gap: float, as_plain: bool) -> Report:
    """CBC as it comes with pulp, one thread, on the plain or on our whole programme."""
    import pulp

    model = formulate(instance, plain=as_plain)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "model.mps"
        Solver(_negated(model.linear)).highs.writeModel(str(path))
        limits = ["-ratioGap", str(gap), "-allowableGap", "0", "-threads", "1", "-sec", str(seconds)]
        wall = time.monotonic()
        command = [pulp.apis.PULP_CBC_CMD().path, str(path), *limits, "-solve", "-quit"]
        said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    least = _number(r"Objective value:\s+(\S+)", said)
    bound = _number(r"Lower bound:\s+(\S+)", said)
    took = _number(r"Total time \(CPU seconds\):\s+(\S+)", said)
    if least is None or took is None:
        return {"seconds": took or math.nan, "wall": time.monotonic() - wall, "objective": None, "bound": None}
    closed = "Optimal solution found" in said
    bound = least - abs(least) * gap if bound is None and closed else bound
    return {
        "seconds": took,
        "wall": time.monotonic() - wall,
        "objective": -least,
        "bound": None if bound is None else -bound,
    }


def _number(pattern: str, text: str) -> float | None:
    found = re.findall(pattern, text)
    return float(found[-1]) if found else None


def _negated(linear: Linear) -> Linear:
    """The same programme with costs turned round, to be minimised: CBC does not read the sense from the file."""
    linear.objective = [-value for value in linear.objective]
    return linear


def cp_sat(instance: Instance, seconds: float, gap: float) -> Report:
    """CP-SAT with one worker on the plain programme in whole numbers; its answer is solved again in floats.

    Masses are rounded to grams and money to 1e-9, so its bound belongs to the rounded programme, not to ours.
    """
    model = formulate(instance, plain=True)
    programme, variables = _whole_numbers(model)
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_time_in_seconds = SLACK * seconds
    solver.parameters.relative_gap_limit = gap
    wall = time.monotonic()
    status, took = timed(lambda: solver.solve(programme))
    report: Report = {"seconds": took, "wall": time.monotonic() - wall, "objective": None, "bound": None}
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return report
    whole = model.linear.integer
    point = [solver.value(v) / (1 if w else GRAMS) for v, w in zip(variables, whole, strict=True)]
    claimed = solver.objective_value / MONEY
    import numpy as np

    try:
        checked: float | None = model.linear.value(polish(model, np.array(point), 60.0).tolist())
    except Exception as error:  # noqa: BLE001 - a benchmark says what went wrong and goes on
        checked, report["note"] = None, str(error)
    return {**report, "objective": checked or claimed, "claimed": claimed, "bound": solver.best_objective_bound / MONEY}


def _whole_numbers(model: Model) -> tuple[Any, list[Any]]:
    from ortools.sat.python import cp_model

    linear, programme = model.linear, cp_model.CpModel()
    variables = []
    for c, name in enumerate(linear.names):
        unit = 1 if linear.integer[c] else GRAMS
        variables.append(programme.new_int_var(0, math.floor(min(linear.upper[c], MOST_KG) * unit), name))
    for r, terms in enumerate(linear.rows):
        scale = GRAMS if linear.row_lower[r] == linear.row_upper[r] else HOURS
        factors = [round(a * scale / (1 if linear.integer[c] else GRAMS)) for c, a in terms]
        low, high = linear.row_lower[r], linear.row_upper[r]
        least = cp_model.INT_MIN if low == -math.inf else round(low * scale)
        most = cp_model.INT_MAX if high == math.inf else round(high * scale)
        total = cp_model.LinearExpr.weighted_sum([variables[c] for c, _ in terms], factors)
        programme.add_linear_constraint(total, least, most)
    units = [1 if whole else GRAMS for whole in linear.integer]
    prices = [round(price * MONEY / unit) for price, unit in zip(linear.objective, units, strict=True)]
    programme.maximize(cp_model.LinearExpr.weighted_sum(variables, prices))
    return programme, variables


SOLVERS: dict[str, Callable[[Instance, float, float], Report]] = {
    "ours": ours,
    "plain": plain,
    "cbc": lambda instance, seconds, gap: cbc(instance, seconds, gap, as_plain=False),
    "cbc-plain": lambda instance, seconds, gap: cbc(instance, seconds, gap, as_plain=True),
    "cp-sat": cp_sat,
}


def main(name: str, size: str, seed: str, seconds: str, gap: str) -> None:
    """Run one and print its report, with the most memory it ever held in MB."""
    scenario = generate.scenario(size, int(seed))
    instance, building = timed(lambda: build(scenario))
    report = SOLVERS[name](instance, float(seconds), float(gap))
    used = [resource.getrusage(who).ru_maxrss / 1024 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    print(json.dumps({**report, "build": building, "memory": max(used) if name.startswith("cbc") else used[0]}))


if __name__ == "__main__":
    main(*sys.argv[1:])
