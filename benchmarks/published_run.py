"""One solver on one published instance, run in a process of its own by `published.py`: prints one line of JSON.

Figures are the published ones, seconds of the processor; ours pay for making the instance and the programme, others for
theirs. Each solver is imported only where it runs: HiGHS and OR-tools, which has a HiGHS of its own, do not get on in
one process.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from typing import Any

from published_clock import by_the_processor
from published_problems import Found, Knapsack, Published, Route
from published_rivals import NotForIt, cp_sat, pyvrp
from published_sets import Unread, every

GAP = 1e-6
NOT_INSTALLED, NOT_FOR_IT = "not installed", "not for it"
Report = dict[str, Any]


def highs(problem: Route | Knapsack, seconds: float, gap: float) -> Found:
    """Plain HiGHS."""
    import published_plain

    by_the_processor()
    return published_plain.highs(problem, seconds, gap)


RIVALS: dict[str, Callable[[Route | Knapsack, float, float], Found]] = {
    "highs": highs,
    "cp-sat": cp_sat,
    "pyvrp": pyvrp,
}


def ours(one: Published, seconds: float) -> Report:
    """Search for so many seconds of the processor; every plan is checked by `verify`, without the solver."""
    from partway.planning.check.verify import verify
    from partway.planning.instance.build import build
    from partway.planning.search.search import search

    by_the_processor()
    heard: list[tuple[float, float]] = []
    began = time.process_time()
    instance = build(one.scenario)

    def told(worth: float, _: float) -> None:
        if not heard or heard[0][1] <= 0.0:  # a plan that stays at home is not counted as the first
            heard[:] = [(time.process_time() - began, worth)]

    found = search(instance, seconds, GAP, told)
    took = time.process_time() - began
    worth = verify(instance, found.decision).money.total
    when, first = heard[0]
    return {
        "found": one.figure(worth),
        "bound": one.figure(found.bound),
        "proven": found.optimal,
        "first": one.figure(first),
        "first_seconds": when,
        "seconds": took,
        "doubts": list(found.doubts),
    }


def theirs(one: Published, solver: str, seconds: float) -> Report:
    """The same problem given to another solver, or why it is not."""
    began = time.process_time()
    try:
        found, bound = RIVALS[solver](one.problem, seconds, GAP)
    except ImportError:
        return {"not": NOT_INSTALLED}
    except NotForIt:
        return {"not": NOT_FOR_IT}
    took = time.process_time() - began
    sign, given = 1.0 if one.most else -1.0, one.problem.given if isinstance(one.problem, Route) else 0.0
    proven = found is not None and bound is not None and bound - found <= GAP * max(1.0, abs(found))
    return {
        "found": None if found is None else sign * found + given,
        "bound": None if bound is None else sign * bound + given,
        "proven": proven,
        "seconds": took,
    }


def main(solver: str, path: str, number: str, seconds: str) -> None:
    """Run one solver on the instance of that number in a file."""
    one = next(islice(every(Path(path)), int(number), None))
    if isinstance(one, Unread):
        raise SystemExit(str(one))
    print(json.dumps(ours(one, float(seconds)) if solver == "ours" else theirs(one, solver, float(seconds))))


if __name__ == "__main__":
    main(*sys.argv[1:])
