"""The search where tours are not listed: a first plan from the pooled relaxation, then legs and cuts until time ends.

1. The pooled relaxation with its legs (`edge_search`) says which buyers are worth a stop and how much goes to each.
2. One short round through all of them is cut into trips where the vehicle is full, and where those take too long the
   stops that are worth most are chosen (`first_stops`); with one trip better ones near them go ahead (`climb`). The
   best tours of those stops are found and the plan is solved for them. If the programme is large, other ways to share
   out the stops are tried, and that is all.
3. The relaxation gets more cuts, and what it visits then is tried, too. The pooled programme is solved with whole legs.
   With one trip its stops are planned and then excluded, until nothing better is left. With several the trips that its
   legs make are planned, too.
4. With several trips the whole programme is solved again and again, each time with rows that bound the driving of the
   stops it chose last (`tour_bounds`).
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
from partway.planning.search.climb import Climb
from partway.planning.search.edge_search import MORE_ROUNDS, EdgeSearch
from partway.planning.search.first_stops import LOADED, FirstStops
from partway.planning.search.stages import Fixed, FixedTours
from partway.planning.search.tour_bounds import Stops, TourCuts, Toured
from partway.planning.search.tour_search import LARGE

TINY = 1e-9  # hours
YES = 0.5
RELAXING, DIVING = 0.4, 0.4  # of the time: the rest is for plans, however slowly the relaxation gets near
FROM_WHOLE = 2  # ways to share out whole visits
FEW = 8  # ways to share out that are tried before the whole programme where that is not large
WORTH_HALVING = 2.0  # seconds
FIRST_GAP = 1e-4
MOST_FRONTS = 64  # ways to choose one tour a trip
Better = tuple[Values, Fixed, Toured]  # a point, the bounds that fix its tours, and the tours


class CutSearch:
    """Proposes sets of stops and plans them. `bound` holds for all plans, `done` for those that are settled."""

    def __init__(self, model: Model, loose: Model, gap: float) -> None:
        """`loose` is the relaxation of `model` that the first plan is drawn from."""
        self.model, self.gap = model, gap
        self.bound = math.inf
        self.done = -math.inf
        self.cuts = TourCuts(model)
        self.cuts.add_legs()
        if loose is not model:
            TourCuts(loose).add_legs()
        self.pooled = pool(loose)
        self.edges, self.climb = EdgeSearch(self.pooled, self.cuts), Climb(model, self.cuts)
        self.trips = model.instance.scenario.hours.trips
        self.large = sum(loose.linear.integer) > LARGE
        self.tried: set[Stops] = set()
        self.ranked: list[tuple[float, int, Stops]] = []  # by what their relaxation is worth
        self.settled = self.edges_over = self.climbed = self.tight = False
        self.planned: Toured | None = None  # the tours of the best plan
        self.settled_stops: list[Stops] = []
        self.first: FirstStops | None = None
        self.proposals: Iterator[Stops] | None = None

    def step(self, objective: float, seconds: float) -> Better | None:
        """Try once more: a plan better than `objective`, the bounds that fix its tours, and the tours; or None."""
        if self.climb.new and (stops := self.climb.from_home()):
            return self._quick(stops, objective, seconds)
        if self.proposals is None:
            self.edges.relax(RELAXING * seconds)
            self._bounded(self.edges.bound)
            self.proposals = self._shares(seconds)
            return None if self._near(objective) else self._first(objective, seconds)
        if (self.large or len(self.tried) < FEW) and (stops := self._untried()) is not None:
            return self._quick(stops, objective, seconds)
        if self.planned is not None and not (self.large or self.climbed):
            self.climbed = True
            return self._climb(self.planned, objective, seconds)
        if self.ranked and (self.large or not self.settled):
            self.settled = True
            return self._best(heapq.heappop(self.ranked)[-1], objective, seconds)
        if self.large:
            return None
        if not self.tight:
            return self._tighter(objective, seconds)
        return self._whole(objective, seconds) if self.edges_over else self._by_edges(objective, seconds)

    @property
    def exhausted(self) -> bool:
        """Whether no more steps are worth taking. A large programme is never solved whole: HiGHS would overrun its time
        limit.
        """
        return self.large and self.settled and not self.ranked

    def _tighter(self, objective: float, seconds: float) -> Better | None:
        """More cuts, now that there is a plan, and the plans that the closer relaxation proposes."""
        self.tight, self.climbed = True, False
        self.edges.relax(RELAXING * seconds, MORE_ROUNDS)
        self._bounded(self.edges.bound)
        self.proposals = self._shares(seconds)
        return self._first(objective, seconds)

    def _near(self, objective: float) -> bool:
        """Whether a plan is known that is good enough."""
        return math.isfinite(objective) and self.bound - objective <= self.gap * max(1.0, abs(objective))

    def _bounded(self, bound: float) -> None:
        self.bound = min(self.bound, bound)

    def _shares(self, seconds: float) -> Iterator[Stops]:
        """Ways to share out what the relaxation visits, whole visits first."""
        if self.edges.x is None or not self.trips:
            return
        whole = None if self.large else self.edges.dive(DIVING * seconds)
        self.first = FirstStops(self.cuts, self.pooled, self.edges.x)
        self.climb.learn(self.pooled, self.edges.x)
        if whole is not None:
            some = islice(FirstStops(self.cuts, self.pooled, whole).proposals(), FROM_WHOLE)
            yield from self.climb.proposals(some)
        yield from self.climb.proposals(self.first.proposals())

    def _untried(self) -> Stops | None:
        return next((s for s in self.proposals or () if s not in self.tried), None)

    def _first(self, objective: float, seconds: float) -> Better | None:
        """The better of the first two ways to share out; the first where each takes long."""
        until, best = time.monotonic() + seconds, None
        for stops in filter(None, [self._untried() for _ in range(1 if self.large else 2)]):
            better = self._quick(stops, objective, max(0.0, until - time.monotonic()))
            if better is not None:
                best, objective = better, self.model.linear.value(better[0].tolist())
        return best

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
        self.planned = toured
        return answer.x, fixed.tours, toured

    def _climb(self, toured: Toured, objective: float, seconds: float) -> Better | None:
        """A plan for the best stops near those of the best plan."""
        until = time.monotonic() + seconds
        stops = self.climb.further(toured, 0.5 * seconds)
        return None if stops in self.tried else self._quick(stops, objective, max(0.0, until - time.monotonic()))

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
            front = self.cuts.front(frozenset(buyers))
            fits = [t for t in front if t is None or (most and t.hours <= most.hours + TINY)]
            if fits:
                toured[k] = fits[0]
            stops.append(self.cuts.buyers(toured[k]))
        return x, self.cuts.fixed(tuple(stops), toured), toured

    def _target(self, objective: float) -> float:
        return objective + 0.5 * self.gap * max(1.0, abs(objective)) if math.isfinite(objective) else objective

    def _by_edges(self, objective: float, seconds: float) -> Better | None:
        """Solve the pooled programme with whole legs and plan the trips they make."""
        until, target = time.monotonic() + seconds, self._target(objective)
        some = seconds if self.trips == 1 else 0.5 * seconds
        answer = self.edges.whole(some, 0.4 * self.gap, target)
        self._bounded(max(answer.bound, target, self.done))
        if answer.x is None or answer.objective <= target:
            self.edges_over = self.trips > 1
            return None
        stops = self.edges.trips(answer.x)
        better = self._best(stops, objective, max(0.0, until - time.monotonic()))
        self.edges_over = self.trips > 1
        if not self.edges_over:
            if not self._listed(stops):
                self.done = max(self.done, answer.bound)
            self.edges.exclude(stops[0])
        return better

    def _listed(self, stops: Stops) -> bool:
        """Whether every choice of tours of these stops is planned by `_best`."""
        return all(map(self.cuts.every_tour, stops)) and self._fronts(stops) <= MOST_FRONTS

    def _fronts(self, stops: Stops) -> int:
        return math.prod(len(self.cuts.front(s)) for s in stops)

    def _whole(self, objective: float, seconds: float) -> Better | None:
        """Solve the whole programme with the rows known so far; the stops it chooses give new rows and perhaps a better
        plan.
        """
        while self.settled_stops:
            # Only now: the plan of these stops was cleaned up with the same rows.
            self.cuts.exclude(self.settled_stops.pop())
        until, some = time.monotonic() + seconds, seconds if seconds < WORTH_HALVING else 0.5 * seconds
        target = self._target(objective)
        answer = Solver(self.model.linear, options={**LEAN, **EXACT}).run(some, 0.4 * self.gap, cutoff=target)
        self._bounded(max(answer.bound, target, self.done))
        if answer.x is None or answer.objective <= target:
            return None
        visited = [key for key, c in self.model.columns.visits.items() if answer.x[c] > YES]
        stops = tuple(frozenset(b for b, trip in visited if trip == k) for k in range(self.trips))
        new = self.cuts.add_tours(stops)
        if new and self.first is not None:
            stops = next(self.first.fitting(stops))
            # What is left of them was planned before more often than not.
            return None if stops in self.tried else self._best(stops, objective, max(0.0, until - time.monotonic()))
        if not new:
            # Their rows are all there and they came again, so only planning them by every tour can settle them.
            self.settled_stops.append(stops)
            if not self._listed(stops):
                self.done = max(self.done, answer.bound)
        return self._best(stops, objective, max(0.0, until - time.monotonic()))
