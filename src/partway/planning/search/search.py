"""From an instance to the best decision the time allows, with an honest bound.

Where tours are listed (up to twelve places) `tour_search` decides them; beyond that `cut_search`. A plan with
no place to drive to is one programme, solved as it is. Before a plan is called optimal other methods are asked.
"""

from __future__ import annotations

import math
import time
from dataclasses import replace

from partway.errors import SolverFailed
from partway.planning.check.second_opinion import Claim, second_opinion
from partway.planning.check.verify import recount
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import LearnedSearch
from partway.planning.learned.programmes import Programmes
from partway.planning.search.found import OnFound, OnProgress, SearchFound
from partway.planning.search.in_haste import in_haste
from partway.planning.search.run import SearchRun

ROUNDING = 1e-9
TWO_METHODS_DISAGREE = "two-methods-disagree"
__all__ = ["OnFound", "OnProgress", "SearchFound", "search"]


def search(
    instance: Instance,
    seconds: float = 10.0,
    gap: float = 1e-6,
    on_progress: OnProgress | None = None,
    on_found: OnFound | None = None,
    steps: float = math.inf,
    known: LearnedSearch | None = None,
) -> SearchFound:
    """Solve an instance within about `seconds`; raises SolverFailed where the solver fails.

    `known` is what a search of the same scenario at other prices learned; of any other it is left out.

    `steps` bounds how often sets of tours or stops are looked at, whatever the clock says.

    `on_progress` is called with each better plan's worth and the bound at that time. `on_found` is called with the
    plan, and again when a new bound makes its gap much smaller, so that a caller can stop at any time with the plan so
    far. Such a plan is never called optimal: other methods are asked last (`second_opinion`), in the time that is left.
    """
    until, packed, so_far = time.monotonic() + seconds, frozenset[int](), _Known(on_progress, on_found)
    known = known if known is not None and known.fits(instance.scenario) else None
    so_far.hasty(in_haste(instance, seconds) if known is None else None)
    while True:
        programmes = Programmes(instance, packed, None if known is None else known.root)
        so_far.restricted = programmes.model.restricted
        run = SearchRun(programmes, max(0.0, until - time.monotonic()), gap, so_far.progress, so_far.found)
        run.steps, run.known = steps, known
        run.objective, run.elsewhere = so_far.floor, so_far.floor > -math.inf
        run.solve()
        so_far.bounded(run.bound)
        if not run.not_packed:
            break
        if run.not_packed <= packed:
            raise SolverFailed("no way found to put what is mailed into its parcels")
        packed |= run.not_packed
    found = _compared(run, so_far.better(_last(run, so_far.best)))
    found = replace(found, learned=None if packed else run.learned(found))
    if on_found is not None:
        on_found(found)
    return found


def _last(run: SearchRun, known: SearchFound | None) -> SearchFound:
    """The plan of a run; what is known already where the run found nothing better."""
    return known if known is not None and run.best is None else run.found()


def _compared(run: SearchRun, found: SearchFound) -> SearchFound:
    """Compare the result with other methods: the best plan of all, called optimal only if they agree."""
    worth = recount(run.model.instance, found.decision).money.total
    claim = Claim(found.decision, worth, found.bound, ended=run.closed or run.left > 0.0)
    second = second_opinion(run.model, claim, run.gap, run.left, run.proved)
    same = math.isclose(second.worth, found.objective, rel_tol=ROUNDING, abs_tol=ROUNDING)
    objective = found.objective if same else second.worth
    bound = max(objective, second.bound)
    closed = bound - objective <= run.gap * max(1.0, abs(objective))
    doubts: tuple[str, ...] = () if second.agree else (TWO_METHODS_DISAGREE,)
    doubts += () if closed else run.doubts(second.decision)
    return SearchFound(
        second.decision, objective, bound, closed and not doubts, doubts, second.opinions, second.seconds
    )


class _Known:
    """The best plan of all runs; a later run, which packs parcels one by one, reports only better plans.

    The bound of a `restricted` run does not hold for every plan and is not used.
    """

    def __init__(self, on_progress: OnProgress | None, on_found: OnFound | None) -> None:
        self.on_progress, self.on_found = on_progress, on_found
        self.best: SearchFound | None = None
        self.bound, self.restricted = math.inf, False
        self.floor = -math.inf  # what the plan made in haste is worth: no worse one is looked for

    def hasty(self, found: SearchFound | None) -> None:
        """Pass on the plan made in haste, if there is one."""
        if found is not None:
            self.progress(found.objective, found.bound)
            self.floor = found.objective
            self.found(found)

    def bounded(self, bound: float) -> None:
        """Learn the bound of a run."""
        if not self.restricted:
            self.bound = min(self.bound, bound)

    def progress(self, objective: float, bound: float) -> None:
        """Pass on what a run tells of its best plan."""
        if self.on_progress is not None and (self.best is None or objective >= self.best.objective):
            self.on_progress(objective, max(objective, self.bound) if self.restricted else bound)

    def found(self, found: SearchFound) -> None:
        """Pass on a plan, unless there is a better one."""
        if self.best is None or found.objective >= self.best.objective:
            self.best = self._sure(found) if self.restricted else found
            if self.on_found is not None:
                self.on_found(self.best)

    def better(self, last: SearchFound) -> SearchFound:
        """The best plan of all runs, with the bound that holds for every plan."""
        return self._sure(last if self.best is None or last.objective >= self.best.objective else self.best)

    def _sure(self, found: SearchFound) -> SearchFound:
        return replace(found, bound=max(self.bound, found.objective))
