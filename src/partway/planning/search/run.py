"""One search of one model: step by step through sets of tours or stops, or the whole programme at once."""

from __future__ import annotations

import contextlib
import math
import time
from collections.abc import Callable

from partway.errors import SolverFailed
from partway.planning.decision import Decision
from partway.planning.instance.blocks import not_packed
from partway.planning.learned.memory import LearnedSearch
from partway.planning.learned.moved import MovedBound, moved
from partway.planning.learned.programmes import Programmes, Root
from partway.planning.learned.statement import Statement
from partway.planning.model.extract import extract
from partway.planning.model.highs import EXACT, LEAN, Solver, Values
from partway.planning.model.milp import MAIL, formulate
from partway.planning.search.cut_search import Better, CutSearch
from partway.planning.search.found import OnFound, OnProgress, SearchFound
from partway.planning.search.one_trip import widened, with_one_trip
from partway.planning.search.stages import Fixed, FixedTours, polish
from partway.planning.search.tour_bounds import Toured
from partway.planning.search.tour_search import TourSearch
from partway.planning.search.tree import Tree

MOST_SETS = 10  # of tours that get a plan of their own
LEAST_SECONDS = 20.0  # for the last clean-up, however late it is: without it there is no plan, and it seldom takes one
WORTH_TELLING = 0.9  # of the gap told last
ONE_TRIP = 0.3  # of the time for one trip alone, where there may be more of them


class SearchRun:
    """What is known so far: the best plan with the tours it drives, and a bound on all plans."""

    def __init__(
        self,
        programmes: Programmes,
        seconds: float,
        gap: float,
        on_progress: OnProgress | None,
        on_found: OnFound | None,
    ) -> None:
        self.programmes, self.model = programmes, programmes.model
        self.gap, self.on_progress, self.on_found = gap, on_progress, on_found
        self.told = math.inf
        self.until = time.monotonic() + seconds
        self.best: Values | None = None
        self.toured: Toured | None = None
        self.objective, self.bound = -math.inf, math.inf
        self.elsewhere = False  # whether a plan worth the objective is known that was not found here
        self.proved = math.inf  # a bound worked out from the prices of a relaxation, without the solver
        self.steps = math.inf
        self.known: LearnedSearch | None = None  # what an earlier search of the scenario at other prices learned
        self.tree: Tree | None = None  # where tours are listed
        self.said: Statement | None = None  # what was proved at other prices, where it ended the search
        self.exhausted = False
        self._last: tuple[Values, Toured | None, Decision] | None = None
        self.not_packed: frozenset[int] = frozenset()  # buyers whose parcels need patterns, which ends this search

    def solve(self) -> None:
        """Search in the way that suits the model."""
        if self.model.columns.tours:
            self.by_tours()
        elif self.model.columns.tour_money:
            self.by_cuts()
        else:
            self.at_once()
        if not self.has_plan and not self.not_packed:
            self._stay_home()

    @property
    def left(self) -> float:
        """Seconds until time is up."""
        return 0.0 if self.not_packed else max(0.0, self.until - time.monotonic())

    @property
    def slack(self) -> float:
        """How far below the bound a plan may be and still count as the best, in currency units."""
        return self.gap * max(1.0, abs(self.objective))

    @property
    def has_plan(self) -> bool:
        """Whether there is a plan, of this search or known beforehand."""
        return self.elsewhere or self.best is not None

    @property
    def closed(self) -> bool:
        """Whether the bound shows that no better plan is left to find."""
        return self.has_plan and self.bound - self.objective <= self.slack

    def found(self) -> SearchFound:
        """The best plan. Raises SolverFailed where there is none."""
        if self.best is None:
            raise SolverFailed("no plan found")
        return self._found(self.best)

    def _found(self, best: Values) -> SearchFound:
        decision = self._decided(best, self.toured)
        doubts = self.doubts(decision)
        return SearchFound(decision, self.objective, max(self.bound, self.objective), optimal=False, doubts=doubts)

    def doubts(self, decision: Decision) -> tuple[str, ...]:
        """Codes of doubts about the plan, other than what other methods say."""
        if self.closed:
            return ()
        columns = self.model.columns
        may_drive = bool(columns.tours or columns.tour_money) and not self.exhausted
        return ("no-time-to-drive",) if may_drive and not any(decision.tours) else ()

    def tell(self, *, new: bool = False) -> None:
        """Report the best plan if it is `new`, or if its gap has become much smaller."""
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
        """Whether everything mailed whole fits its parcels; if not, the search ends (see `not_packed`)."""
        if any(k == MAIL for _, _, k in self.model.columns.blocks):
            self.not_packed |= not_packed(self.model.instance, self._decided(x, toured))
        return not self.not_packed

    def _decided(self, x: Values, toured: Toured | None) -> Decision:
        """The decision of a plan, kept for the next time: the last one is asked about most."""
        if self._last is None or self._last[0] is not x or self._last[1] is not toured:
            self._last = x, toured, extract(self.model, x, toured)
        return self._last[2]

    def at_once(self) -> None:
        """Solve the whole programme at once, looking only for a better plan.

        Where there is a plan already, the solver's own searches for a first answer only cost time.
        """
        options = {**LEAN, **EXACT} if self.has_plan else EXACT
        answer = Solver(self.model.linear, options=options).run(self.left, 0.9 * self.gap, cutoff=self.objective)
        if answer.status == "optimal" or answer.x is not None or self.has_plan:
            self.bound = min(self.bound, answer.bound)
        if answer.x is not None and answer.objective > self.objective:
            self.take(answer.x)

    def by_tours(self) -> None:
        """Go through sets of tours until none left could be better.

        Where rounding counts costs much (few pieces, little time) too many sets look promising; then solve all at once.
        """
        self._begin_with_known()
        bounds = self._moved()
        self._end_by(bounds)
        if self.closed:
            return
        tours, steps = TourSearch(self.model, self.programmes.pooled(), self.gap), self.steps
        self.tree = tours.tree
        if bounds is None:
            self._end_by(self._moved_in(self.tree))
        while self.left > 0.0 and steps > 0 and not self.closed:
            steps -= 1
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

    def learned(self, found: SearchFound) -> LearnedSearch | None:
        """What there is to hand on; nothing where tours are not listed. `found` is what came of it in the end."""
        model, best, tree = self.model, self.best, self.tree
        if best is None or (tree is None and self.said is None):
            return None
        said, root = (self.said, self.known.root) if self.known is not None and self.said is not None else (None, None)
        if said is None and tree is not None:
            root = Root.of(model, tree.pooled, tree.given, *tree.root)
            if found.optimal:  # else other methods may have said something else
                said = Statement.of(model.linear, tree.pooled.linear, best, found.bound)
        return LearnedSearch(model.instance.scenario, model.linear.names, best, said, root)

    def _begin_with_known(self) -> None:
        """Take the plan that is known, its kilograms anew; where it cannot be done any more there is none."""
        if self.known is not None:
            with contextlib.suppress(SolverFailed):
                self.take(self.known.plan_in(self.model))

    def _moved(self) -> MovedBound | None:
        """The bounds by what was proved at other prices, without a tree; None where it says nothing of today."""
        known = self.known
        if known is None or known.said is None or known.root is None or not self.has_plan:
            return None
        return moved(known.said, known.root, self.model)

    def _moved_in(self, tree: Tree) -> MovedBound | None:
        """The same by the root of a tree, where grades or pieces have other numbers than they had."""
        said = None if self.known is None or not self.has_plan else self.known.said
        row = None if said is None else said.row(self.model.linear, tree.pooled.linear)
        return None if row is None else MovedBound(*tree.proved(*row))

    def _end_by(self, bounds: MovedBound | None) -> None:
        """Take the bound of what was proved at other prices, where it ends the search; else none of it.

        A plan that is worth more than it shows that what was proved is wrong.
        """
        if bounds is not None and self.known is not None and 0.0 <= bounds.both - self.objective <= self.slack:
            self.bound, self.proved, self.said = bounds.both, bounds.alone, self.known.said

    def by_cuts(self) -> None:
        """Go through sets of stops; a large programme may run out of them before time is up.

        After the first plan the best plan of a single trip is looked for: quick, and a floor for what more trips earn.
        """
        stops, steps = CutSearch(self.model, self.programmes.loose, self.gap), self.steps
        first = True
        while self.left > 0.0 and steps > 0 and not self.closed and not stops.exhausted:
            self._take_stops(stops, self.left, lambda better: better)
            self.bound = min(self.bound, stops.bound)
            self.tell()
            steps -= 1
            if first and stops.trips > 1 and not (stops.large or self.closed):
                self._one_trip(ONE_TRIP * self.left)
            first = False
        self.exhausted, self.proved = stops.exhausted, stops.edges.proved

    def _one_trip(self, seconds: float) -> None:
        """Search with one trip and use its plans here; its bound does not hold for several trips.

        The plan for its first stops may take all the time left; looking for better stops takes at most `seconds`.
        """
        one = with_one_trip(self.model)
        loose = formulate(one.instance, loose=True, known=one.rides) if one.columns.blocks else one
        stops, until, steps = CutSearch(one, loose, self.gap), time.monotonic() + seconds, self.steps
        while steps > 0 and not self._settled(stops):
            left = until - time.monotonic() if stops.settled else self.left
            if left <= 0.0:
                break
            self._take_stops(stops, left, lambda better: widened(better, one, self.model))
            steps -= 1

    def _settled(self, stops: CutSearch) -> bool:
        return stops.exhausted or (self.has_plan and stops.bound - self.objective <= self.slack)

    def _take_stops(self, stops: CutSearch, seconds: float, here: Callable[[Better], Better]) -> None:
        """Take one step; `here` turns its plan into a point of this programme."""
        better = stops.step(self.objective, seconds)
        if better is not None:
            self.take(*here(better))
            x, _, toured = better
            used = stops.without_empty_stops(x, toured)
            if used[-1] != toured:
                with contextlib.suppress(SolverFailed):  # those stops may be planned and left out already
                    self.take(*here(used))

    def _stay_home(self) -> None:
        columns = self.model.columns
        away = [c for (_, k), c in columns.visits.items() if k >= 0]
        away += [*columns.tours.values(), *columns.tour_money.values(), *columns.tour_hours.values()]
        home: Fixed = dict.fromkeys(away, (0.0, 0.0))
        at_home = FixedTours(self.model, home)
        at_home.bound(math.inf, 1e-3, -math.inf)
        answer = at_home.nearest(math.inf, 1e-3, -math.inf)
        if answer.x is not None:
            self.take(answer.x, home, {} if columns.tour_money else None)
