"""The pooled programme with its legs: a bound on every plan, and the trips it would drive.

First as a relaxation, with cuts as long as a point breaks some; then with whole legs, visits, tiers and counts, again
until nothing is broken. With one trip the answer is a tour; with several the legs fall apart into trips, which may be
trips that the vehicle cannot load or that take too long: then the bound holds and the plan is looked for elsewhere.
"""

from __future__ import annotations

import math
import time

import numpy as np

from partway.planning.edges.cuts import Cuts
from partway.planning.edges.legs import Legs
from partway.planning.model.core import Fixed, PricedRows, proved_bound
from partway.planning.model.highs import EXACT, LEAN, Solver, SolverAnswer, Values
from partway.planning.model.pooled import Pooled
from partway.planning.model.routing_cuts import add_reach
from partway.planning.model.shrunk import NOTHING, Shrunk
from partway.planning.search.tour_bounds import Stops, TourCuts

MOST_ROUNDS = 60  # of cuts in the relaxation
WORTH_A_ROUND = 1e-7  # of the bound: what a round of cuts has to take off it, over a few rounds
FEW = 4  # rounds that may bring less
MORE_ROUNDS, TEN, PART = 240, 10, 0.01  # beyond MOST_ROUNDS, as long as the last ten brought that part of all that came
ROUNDS_OF_REACH = 4
ROUNDS_KEPT = 8  # after so many, rows that the point does not touch are let go: they come again where they are broken
STUCK, LEAST_STEPS = 4, 2000  # times the steps of the longest solve with cuts: after that a rounding leads nowhere
YES = 0.5
WHOLE = 1e-6


class EdgeSearch:
    """`bound` of the relaxation holds for every plan; `x` is its point, None before it is solved."""

    def __init__(self, pooled: Pooled, tours: TourCuts) -> None:
        self.pooled, self.tours = pooled, tours
        self.legs = Legs(pooled, tours.cost, tours.hours)
        self.cuts = Cuts(self.legs)
        self.bound = self.proved = math.inf
        self.x: Values | None = None
        self.prices: Values | None = None  # of the rows that were there when x was found
        self.until, self.longest = math.inf, 0
        self.solver, self.rows = Solver(pooled.linear, relaxed=True), len(pooled.linear.rows)

    def relax(self, seconds: float, most: int = MOST_ROUNDS) -> None:
        """Solve the relaxation with cuts until none is broken, little is gained, or time or rounds are up.

        The bound is then worked out from its prices, so that it does not rest on the solver's word.
        """
        self._relax(seconds, most)
        if self.prices is not None and "excluded" not in self.pooled.linear.row_families:
            self.proved = min(self.proved, proved_bound(self.pooled.linear, self.prices))
        if math.isfinite(self.proved):
            self.bound = self.proved

    def _relax(self, seconds: float, most: int) -> None:
        self.until = time.monotonic() + seconds
        first = self.solver.run(seconds)
        if first.x is None:
            return
        x = self._learn(first.bound, first.x)
        dull, bounds = 0, [self.bound]
        for number in range(most):
            if number >= MOST_ROUNDS and bounds[-TEN] - bounds[-1] < PART * (bounds[0] - bounds[-1]):
                return
            found = self.cuts.add(x)
            if number < ROUNDS_OF_REACH:
                found += add_reach(self.pooled, x)
            answer = self._again() if found else None
            if answer is None:
                return
            self.longest = max(self.longest, self.solver.simplex_steps)
            dull = dull + 1 if self.bound - answer[0] < WORTH_A_ROUND * max(1.0, abs(answer[0])) else 0
            x = self._learn(*answer)
            if number % ROUNDS_KEPT == ROUNDS_KEPT - 1:
                self._let_go(x)
            bounds.append(self.bound)
            if dull == FEW:
                return

    def _learn(self, bound: float, x: Values) -> Values:
        self.bound, self.x, self.prices = min(self.bound, bound), x, self.solver.prices()
        return x

    def _let_go(self, x: Values) -> None:
        """Without the rows that x, the optimum, does not touch: their prices are nothing, so the bound stays."""
        idle = self.cuts.idle(x)
        if idle:
            self.solver.drop_rows(idle)
            self.pooled.linear.drop_rows(idle)
            self.rows = len(self.pooled.linear.rows)
            self.prices = None if self.prices is None else np.delete(self.prices, idle)

    def _again(self, most: int | None = None) -> tuple[float, Values] | None:
        """Solve the relaxation again with the rows that are new; None if it is infeasible, time is up, or it takes more
        than `most` steps.
        """
        linear = self.pooled.linear
        for r in range(self.rows, len(linear.rows)):
            self.solver.add_row(linear.rows[r], linear.row_lower[r], linear.row_upper[r])
        self.rows = len(linear.rows)
        left = self.until - time.monotonic()
        return self.solver.again(left, most) if left > 0.0 else None

    def dive(self, seconds: float) -> Values | None:
        """A point of the relaxation in which every visit is whole: they are rounded one by one, the surest first.

        None where that leads nowhere; where time is up, as far as it came.
        """
        self.until, x = time.monotonic() + seconds, self.x
        rounded: set[int] = set()
        while x is not None and time.monotonic() <= self.until:
            parts = {c: float(x[c]) for c in self.pooled.visits.values() if abs(x[c] - round(float(x[c]))) > WHOLE}
            if not parts:
                break
            column = min(parts, key=lambda c: (abs(parts[c] - round(parts[c])), c))
            rounded.add(column)
            further = self._rounded(column, float(round(parts[column])))
            x = x if further is None and time.monotonic() > self.until else further
        upper = self.pooled.linear.upper
        self.solver.bounds({c: (0.0, upper[c]) for c in rounded})
        return x

    def _rounded(self, column: int, value: float) -> Values | None:
        """The relaxation with a visit as whole as this, or else one more or less, and the cuts that it breaks."""
        most = max(LEAST_STEPS, STUCK * self.longest)
        for whole in (value, value - 1.0, value + 1.0):
            self.solver.bounds({column: (whole, whole)})
            answer = self._again(most) if whole >= 0.0 else None
            if answer is not None:
                more = self._again(most) if self.cuts.add(answer[1]) else answer
                return None if more is None else more[1]
        return None

    def whole(self, seconds: float, gap: float, target: float) -> SolverAnswer:
        """The programme with everything whole, solved until its legs break no cut; no plan worth `target` or less.

        Its bound holds for every plan that is not excluded. Columns that no plan worth more has elsewhere than at one
        end, by the prices of the relaxation, stay there: most legs are never driven.
        """
        until, bound, settled = time.monotonic() + seconds, math.inf, self._settled(target)
        for _ in range(MOST_ROUNDS):
            small = Shrunk(self.pooled.linear, [c for c, ends in settled.items() if ends == NOTHING])
            solver = Solver(small.linear, options={**LEAN, **EXACT})
            solver.bounds(small.bounds(settled))
            answer = small.answer(solver.run(max(0.0, until - time.monotonic()), gap, cutoff=target))
            bound = min(bound, answer.bound)
            if answer.x is None or not self.cuts.add(answer.x):
                return answer
            if time.monotonic() > until:
                break
        return SolverAnswer("limit", None, -math.inf, bound)

    def _settled(self, target: float) -> Fixed:
        """Columns that every plan worth more than this has at one end."""
        if self.prices is None or not math.isfinite(target):
            return {}
        return PricedRows.by(self.pooled.linear.first(len(self.prices)), {}, self.prices).settled(target)

    def exclude(self, buyers: frozenset[int]) -> None:
        """With one trip: leave out the plans that stop at just these buyers; bounds of `whole` hold for the others."""
        signs = [(c, 1.0 if b in buyers else -1.0) for b, c in self.pooled.visits.items()]
        self.pooled.linear.row("excluded", "", signs, upper=len(buyers) - 1.0)

    def trips(self, x: Values) -> Stops:
        """The buyers of each trip that whole legs make, walked from home; trips that stay home last."""
        left = {leg: round(v) for leg, v in self.legs.driven(x).items() if v > YES}
        made: list[frozenset[int]] = []
        while any(a == 0 for (a, _), n in left.items() if n):
            made.append(self._walk(left))
        made.sort(key=sorted)
        idle = self.pooled.trips - len(made)
        return (*made, *[frozenset[int]()] * max(0, idle))

    def _walk(self, left: dict[tuple[int, int], int]) -> frozenset[int]:
        """One round from home, its legs taken out of `left`."""
        here, stops = 0, set[int]()
        while True:
            leg = next(((a, b) for (a, b), n in left.items() if n and here in (a, b)), None)
            if leg is None:
                return frozenset(stops)
            left[leg] -= 1
            here = leg[1] if leg[0] == here else leg[0]
            if not here:
                return frozenset(stops)
            stops.add(self.pooled.model.instance.buyer_at[here])
