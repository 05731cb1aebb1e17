"""The search where tours are not listed: a first plan from the pooled relaxation, then tour rows until time ends.

1. The pooled relaxation says which buyers are worth a stop and how much goes to each.
2. One short round through all of them is cut into trips where the vehicle is full, and stops are dropped until the
   trips fit the hours (`first_stops`). The best tours of those stops are found and the plan is solved for them.
3. The whole programme is solved again and again, each time with rows that bound the driving of the stops it chose last
   (`tour_bounds`). If the programme is too large for that, other ways to share out the stops are tried.

No trip of more than twelve stops is planned. `bound` holds for longer trips too, until the programme keeps choosing
one; from then on only `within`, the bound for trips of up to twelve stops, gets better.
"""

from __future__ import annotations

import heapq
import math
import time
from collections.abc import Iterator
from itertools import islice, product

from partway.planning.model.highs import EXACT, LEAN, Solver, Values
from partway.planning.model.milp import Model
from partway.planning.model.pooled import pool
from partway.planning.model.routing_cuts import add_reach
from partway.planning.search.first_stops import LOADED, FirstStops
from partway.planning.search.stages import Fixed, FixedTours
from partway.planning.search.tour_bounds import MOST_CUT, Stops, TourCuts
from partway.planning.search.tour_search import LARGE
from partway.planning.tours.tours import MOST_EXACT, Tour

ROUNDS_OF_REACH = 4
TINY = 1e-9  # hours
YES = 0.5
FEW = 8  # ways to share out that are tried before the whole programme where that is not large
WORTH_HALVING = 2.0  # seconds
FIRST_GAP = 1e-4
MOST_FRONTS = 64  # ways to choose one tour a trip
Toured = dict[int, Tour | None]
Better = tuple[Values, Fixed, Toured]  # a point, the bounds that fix its tours, and the tours


class CutSearch:
    """Proposes sets of stops and plans them. `bound` holds for all plans, `within` for plans of up to twelve stops a
    trip.
    """

    def __init__(self, model: Model, loose: Model, gap: float) -> None:
        """`loose` is the relaxation of `model` that the first plan is drawn from."""
        self.model, self.gap = model, gap
        self.bound = self.within = math.inf
        self.done = -math.inf
        self.limited = False
        self.cuts = TourCuts(model)
        self.cuts.add_legs()
        if loose is not model:
            TourCuts(loose).add_legs()
        self.pooled = pool(loose)
        self.trips = model.instance.scenario.hours.trips
        self.large = sum(loose.linear.integer) > LARGE
        self.tried: set[Stops] = set()
        self.ranked: list[tuple[float, int, Stops]] = []  # by what their relaxation is worth
        self.settled = False
        self.settled_stops: list[Stops] = []
        self.first: FirstStops | None = None
        self.proposals: Iterator[Stops] | None = None
        self.x: Values | None = None

    def step(self, objective: float, seconds: float) -> Better | None:
        """Try once more: a plan better than `objective`, the bounds that fix its tours, and the tours; or None."""
        if self.proposals is None:
            self._relax(seconds)
            self.proposals = self._shares()
        stops = next((s for s in self.proposals if s not in self.tried), None)
        if stops is not None and (self.large or len(self.tried) < FEW):
            return self._quick(stops, objective, seconds)
        if self.ranked and (self.large or not self.settled):
            self.settled = True
            return self._best(heapq.heappop(self.ranked)[-1], objective, seconds)
        return None if self.large else self._whole(objective, seconds)

    @property
    def exhausted(self) -> bool:
        """Whether no more steps are worth taking. A large programme is never solved whole: HiGHS would overrun its time
        limit.
        """
        return self.large and self.settled and not self.ranked

    def _relax(self, seconds: float) -> None:
        for _ in range(ROUNDS_OF_REACH):
            answer = Solver(self.pooled.linear, relaxed=True).run(seconds)
            if answer.x is None:
                return
            self.x = answer.x
            self._bounded(answer.bound)
            if not add_reach(self.pooled, answer.x):
                return

    def _bounded(self, bound: float) -> None:
        self.within = min(self.within, bound)
        if not self.limited:
            self.bound = self.within

    def _shares(self) -> Iterator[Stops]:
        """Ways to share out what the relaxation visits."""
        if self.x is None or not self.trips:
            return iter(())
        self.first = FirstStops(self.cuts, self.pooled, self.x)
        return self.first.proposals()

    def _quick(self, stops: Stops, objective: float, seconds: float) -> Better | None:
        """A plan for these stops, rounded from their relaxation."""
        self.tried.add(stops)
        toured = self._toured(stops)
        fixed = FixedTours(self.model, self.cuts.fixed(stops, toured))
        worth = fixed.guess(seconds)
        answer = fixed.nearest(seconds, FIRST_GAP, objective) if worth.bound > objective else worth
        heapq.heappush(self.ranked, (-worth.bound, len(self.tried), stops))
        if answer.x is None or answer.objective <= objective:
            return None
        return answer.x, fixed.tours, toured

    def _toured(self, stops: Stops) -> Toured:
        """The cheapest tours of these stops, or the quickest where those are too long."""
        hours, toured = self.model.instance.scenario.hours, dict(enumerate(self.cuts.front(s)[0] for s in stops))
        site = [sum(map(self.model.instance.on_site_hours, s)) for s in stops]
        each = [site[k] + (tour.hours if tour else 0.0) for k, tour in toured.items()]
        if sum(each) > hours.away + TINY or max(each, default=0.0) > hours.one_trip + TINY:
            return dict(enumerate(self.cuts.front(s)[-1] for s in stops))
        return toured

    def _best(self, stops: Stops, objective: float, seconds: float) -> Better | None:
        """The best plan for these stops, over all tours worth driving. Raises `done` to its bound."""
        self.tried.add(stops)
        until, best = time.monotonic() + seconds, None
        for tours in islice(product(*(self.cuts.front(s) for s in stops)), MOST_FRONTS):
            toured: Toured = dict(enumerate(tours))
            fixed = FixedTours(self.model, self.cuts.fixed(stops, toured))
            answer = fixed.best(max(0.0, until - time.monotonic()), 0.5 * self.gap, objective)
            self.done = max(self.done, answer.bound)
            if answer.x is not None and answer.objective > objective:
                best, objective = (answer.x, fixed.tours, toured), answer.objective
        return best

    def without_empty_stops(self, x: Values, toured: Toured) -> Better:
        """Drop stops without a sale unless the shorter list takes longer to drive."""
        columns, lots = self.model.columns, self.model.instance.lots
        used = [set[int]() for _ in range(self.trips)]
        x, toured = x.copy(), dict(toured)
        for (i, t, k), c in columns.lots.items():
            if x[c] > LOADED and k >= 0:
                used[k].add(lots[i].buyer)
            elif (i, t, k) in columns.lot_taken:
                x[columns.lot_taken[i, t, k]] = 0.0
        stops = []
        for k, buyers in enumerate(used):
            most = toured[k]
            fits = [
                t for t in self.cuts.front(frozenset(buyers)) if t is None or (most and t.hours <= most.hours + TINY)
            ]
            if fits:
                toured[k] = fits[0]
            stops.append(self.cuts.buyers(toured[k]))
        return x, self.cuts.fixed(tuple(stops), toured), toured

    def _whole(self, objective: float, seconds: float) -> Better | None:
        """Solve the whole programme with the rows known so far; the stops it chooses give new rows and perhaps a better
        plan.
        """
        while self.settled_stops:
            # Only now: the plan of these stops was cleaned up with the same rows.
            self.cuts.exclude(self.settled_stops.pop())
        until, some = time.monotonic() + seconds, seconds if seconds < WORTH_HALVING else 0.5 * seconds
        target = objective + 0.5 * self.gap * max(1.0, abs(objective)) if math.isfinite(objective) else objective
        answer = Solver(self.model.linear, options={**LEAN, **EXACT}).run(some, 0.4 * self.gap, cutoff=target)
        self._bounded(max(answer.bound, target, self.done))
        if answer.x is None or answer.objective <= target:
            return None
        visited = [key for key, c in self.model.columns.visits.items() if answer.x[c] > YES]
        stops = tuple(frozenset(b for b, trip in visited if trip == k) for k in range(self.trips))
        if any(len(s) > MOST_EXACT for s in stops):
            self._too_many(stops)
            return None
        new = self.cuts.add_tours(stops)
        if new and self.first is not None:
            stops = self.first.fitting(stops)
            # What is left of them was planned before more often than not.
            return None if stops in self.tried else self._best(stops, objective, max(0.0, until - time.monotonic()))
        if not new:
            # Their rows are all there and they came again, so only planning them by every tour can settle them.
            self.settled_stops.append(stops)
            if not all(map(self.cuts.every_tour, stops)) or self._fronts(stops) > MOST_FRONTS:
                self.done = max(self.done, answer.bound)
        return self._best(stops, objective, max(0.0, until - time.monotonic()))

    def _too_many(self, stops: Stops) -> None:
        """For a trip of more than twelve stops: add its tour rows; if it is chosen even so, forbid such trips."""
        if any(len(s) > MOST_CUT for s in stops) or not self.cuts.add_tours(stops):
            self.limited = True
            self.cuts.add_most_stops()

    def _fronts(self, stops: Stops) -> int:
        return math.prod(len(self.cuts.front(s)) for s in stops)
