"""The first plan of a large instance, before its programme is made: see `planning/hasty`."""

from __future__ import annotations

import contextlib
import math

from partway.errors import SolverFailed
from partway.planning.check.verify import recount
from partway.planning.hasty.first_plan import torn_down
from partway.planning.instance.frozen import Instance
from partway.planning.learned.programmes import Programmes
from partway.planning.search.found import SearchFound
from partway.planning.search.run import SearchRun

MANY = 4000  # pieces from which the programme takes longer to make than a plan should
LISTED = 5  # times as many where tours are listed: of their programme a plan comes sooner (month-116: 1.1 s, so 4.7)
NEAR = 1e-2  # of the haul: nearer is left to the search
STEPS = 4
SHARE = 0.3  # of the time


def in_haste(instance: Instance, seconds: float) -> SearchFound | None:
    """A plan that passes its check, with no bound; None where the instance is not large, or nothing came of it."""
    if len(instance.nodes) < MANY * (1 if instance.tours is None else LISTED):
        return None
    torn = torn_down(instance)
    run = SearchRun(Programmes(torn.haul), SHARE * seconds, NEAR, None, None)
    run.steps = STEPS
    with contextlib.suppress(SolverFailed):
        run.solve()
        if not run.not_packed:
            decision = torn.whole_plan(run.found().decision)
            return SearchFound(decision, recount(instance, decision).money.total, math.inf, optimal=False)
    return None
