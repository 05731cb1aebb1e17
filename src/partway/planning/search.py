"""From a model to the best decision the time allows, with an honest bound.

Where tours are listed (up to twelve places) `tour_search` decides them; beyond that `far_search`. A plan with
no place to drive to is one programme, solved as it is.
"""

from __future__ import annotations

import contextlib
import math
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from partway.errors import SolverFailed
from partway.planning.blocks import not_packed
from partway.planning.decision import Decision
from partway.planning.extract import extract
from partway.planning.far_search import FarSearch, Toured
from partway.planning.highs import EXACT, Solver, Values
from partway.planning.instance import Instance
from partway.planning.milp import MAIL, Model, formulate
from partway.planning.stages import Driven, Fixed, polish
from partway.planning.tour_search import TourSearch

MOST_SETS = 10  # of tours that get a plan of their own
LEAST_SECONDS = 1.0  # for the last clean-up, however late it is
WORTH_TELLING = 0.9  # of the gap told last


@dataclass(frozen=True, slots=True)
class Found:
    """The best decision, its objective in currency units, and a bound no plan can beat.

    `optimal` says that the bound is within the gap asked for, relative to max(1, |objective|).
    """

    decision: Decision
    objective: float
    bound: float
    optimal: bool


OnProgress = Callable[[float, float], None]  # objective, bound
OnFound = Callable[[Found], None]


def search(
    instance: Instance,
    seconds: float = 10.0,
    gap: float = 1e-6,
    on_progress: OnProgress | None = None,
    on_found: OnFound | None = None,
) -> Found:
    """Solve an instance within about `seconds`; raises SolverFailed where the solver fails.

    `on_progress` hears of each better plan with the bound known then. `on_found` gets the plan itself, and gets it
    again with each bound that closes much of the gap, so that a search can be left at any time with what it has.
    """
    until, packed, known = time.monotonic() + seconds, frozenset[int](), _Known(gap, on_progress, on_found)
    while True:
        model = formulate(instance, packed=packed)
        loose = formulate(instance, loose=True) if model.columns.blocks else model
        known.restricted = model.restricted
        run = _Search(model, loose, max(0.0, until - time.monotonic()), gap, known.progress, known.found)
        run.solve()
        known.bounded(run.bound)
        if not run.not_packed:
            return known.better(run.found())
        if run.not_packed <= packed:
            raise SolverFailed("no way found to put what is mailed into its parcels")
        packed |= run.not_packed


class _Known:
    """The best plan of all runs: a later run, with the parcels packed, tells only of plans that are better.

    The bound of a `restricted` run does not hold for every plan and is left out.
    """

    def __init__(self, gap: float, on_progress: OnProgress | None, on_found: OnFound | None) -> None:
        self.gap, self.on_progress, self.on_found = gap, on_progress, on_found
        self.best: Found | None = None
        self.bound, self.restricted = math.inf, False

    def bounded(self, bound: float) -> None:
        """Learn the bound of a run."""
        if not self.restricted:
            self.bound = min(self.bound, bound)

    def progress(self, objective: float, bound: float) -> None:
        """Pass on what a run tells of its best plan."""
        if self.on_progress is not None and (self.best is None or objective >= self.best.objective):
            self.on_progress(objective, max(objective, self.bound) if self.restricted else bound)

    def found(self, found: Found) -> None:
        """Pass on a plan, unless there is a better one."""
        if self.best is None or found.objective >= self.best.objective:
            self.best = self._sure(found) if self.restricted else found
            if self.on_found is not None:
                self.on_found(self.best)

    def better(self, last: Found) -> Found:
        """The last run's result or a better plan of an earlier one, with the bound that holds for every plan."""
        return self._sure(last if self.best is None or last.objective >= self.best.objective else self.best)

    def _sure(self, found: Found) -> Found:
        bound = max(self.bound, found.objective)
        return replace(found, bound=bound, optimal=bound - found.objective <= self.gap * max(1.0, abs(found.objective)))


class _Search:
    """What is known so far: the best plan with the tours it drives, and a bound on all plans."""

    def __init__(
        self,
        model: Model,
        loose: Model,
        seconds: float,
        gap: float,
        on_progress: OnProgress | None,
        on_found: OnFound | None,
    ) -> None:
        self.loose = loose
        self.model, self.gap, self.on_progress, self.on_found = model, gap, on_progress, on_found
        self.told = math.inf
        self.until = time.monotonic() + seconds
        self.best: Values | None = None
        self.toured: Toured | None = None
        self.objective, self.bound = -math.inf, math.inf
        self.not_packed: frozenset[int] = frozenset()  # buyers whose parcels need patterns, which ends this search

    def solve(self) -> None:
        """Search in the way that suits the model."""
        if self.model.columns.tours:
            self.by_tours()
        elif self.model.columns.tour_money:
            self.far()
        else:
            self.at_once()
        if self.best is None and not self.not_packed:
            self._stay_home()

    @property
    def left(self) -> float:
        return 0.0 if self.not_packed else max(0.0, self.until - time.monotonic())

    @property
    def slack(self) -> float:
        return self.gap * max(1.0, abs(self.objective))

    @property
    def closed(self) -> bool:
        return self.best is not None and self.bound - self.objective <= self.slack

    def found(self) -> Found:
        """The result; where time ended before any plan, one that drives nowhere."""
        if self.best is None:
            raise SolverFailed("no plan found")
        return self._found(self.best)

    def _found(self, best: Values) -> Found:
        decision = extract(self.model, best, self.toured)
        return Found(decision, self.objective, max(self.bound, self.objective), self.closed)

    def tell(self, *, new: bool = False) -> None:
        """Hand over the best plan if it is `new`, or if much of its gap has closed."""
        left_open = self.bound - self.objective
        if self.on_found is None or self.best is None or not (new or left_open < WORTH_TELLING * self.told):
            return
        self.told = left_open
        self.on_found(self._found(self.best))

    def take(self, x: Values, fixed: Fixed | None = None, toured: Toured | None = None) -> None:
        """Keep a plan, cleaned up, if it is the best so far."""
        x = polish(self.model, x, max(LEAST_SECONDS, self.left), fixed)
        value = self.model.linear.value(x.tolist())
        if value > self.objective and self._packs(x, toured):
            self.best, self.toured, self.objective = x, toured, value
            if self.on_progress is not None:
                self.on_progress(value, max(self.bound, value))
            self.tell(new=True)

    def _packs(self, x: Values, toured: Toured | None) -> bool:
        """Whether the parcels hold what is mailed whole; where they do not, the search ends (see `not_packed`)."""
        if any(k == MAIL for _, _, k in self.model.columns.blocks):
            self.not_packed |= not_packed(self.model.instance, extract(self.model, x, toured))
        return not self.not_packed

    def at_once(self) -> None:
        """The whole programme in one go, for anything better than what is known."""
        answer = Solver(self.model.linear, options=EXACT).run(self.left, 0.9 * self.gap, cutoff=self.objective)
        if answer.status == "optimal" or answer.x is not None or self.best is not None:
            self.bound = min(self.bound, answer.bound)
        if answer.x is not None and answer.objective > self.objective:
            self.take(answer.x)

    def by_tours(self) -> None:
        """Step by step through sets of tours until none left could be better.

        Where whole counts cost much (few pieces, little time) too many sets look promising: then all at once.
        """
        tours = TourSearch(self.model, self.loose, self.gap)
        while self.left > 0.0 and not self.closed:
            if len(tours.seen) >= MOST_SETS:
                self.at_once()
                break
            x = tours.step(self.objective, self.left)
            self.bound = min(self.bound, max(tours.open, tours.done, self.objective))
            self.tell()
            if x is not None:
                self.take(x)
            if tours.open <= self.objective:
                break

    def far(self) -> None:
        """Step by step through sets of stops; a large programme may run out of them before time is up."""
        stops = FarSearch(self.model, self.loose, self.gap)
        while self.left > 0.0 and not self.closed and not stops.exhausted:
            better = stops.step(self.objective, self.left)
            self.bound = min(self.bound, stops.bound)
            self.tell()
            if better is not None:
                self.take(*better)
                x, _, toured = better
                with contextlib.suppress(SolverFailed):  # those stops may be planned and left out already
                    self.take(*stops.without_empty_stops(x, toured))

    def _stay_home(self) -> None:
        columns = self.model.columns
        away = [c for (_, k), c in columns.visits.items() if k >= 0]
        away += [*columns.tours.values(), *columns.tour_money.values(), *columns.tour_hours.values()]
        home: Fixed = dict.fromkeys(away, (0.0, 0.0))
        driven = Driven(self.model, home)
        driven.bound(math.inf, 1e-3, -math.inf)
        answer = driven.nearest(math.inf, 1e-3, -math.inf)
        if answer.x is not None:
            self.take(answer.x, home, {} if columns.tour_money else None)
