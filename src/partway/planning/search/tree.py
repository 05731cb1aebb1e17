"""Branch and bound over yes and no in the pooled programme; counts of pieces may be fractions here.

Two stages (after Benders' idea of deciding the few hard things first): which tours are driven decides almost
all of a plan, and once that is decided the rest is a knapsack of hours that is solved quickly. So the tree decides
visits, then tours, then tiers, with warm-started relaxations; every set of tours it arrives at gets its
best plan from `stages.FixedTours`, with whole counts and separate trips, and is then excluded from the tree. What is
left in the tree bounds every other plan. Land and Doig, "An automatic method of solving discrete programming
problems", Econometrica 28, 1960; scores: Benichou and others, Mathematical Programming 1, 1971.
"""

from __future__ import annotations

import heapq
import math
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from partway.planning.model.highs import Solver, Values
from partway.planning.model.pooled import Pooled
from partway.planning.model.routing_cuts import add_fit, add_reach

WHOLE = 1e-6
LEAST_LOSS = 1e-6
ROUNDS_OF_REACH = 6
Bounds = Mapping[int, tuple[float, float]]


@dataclass(order=True)
class Branch:
    """A part of the tree: its bound, and the bounds on columns that define it. Sorted best bound first."""

    minus_bound: float
    number: int
    bounds: Bounds = field(compare=False)
    x: Values = field(compare=False)

    @property
    def bound(self) -> float:
        """No plan in this part is worth more."""
        return -self.minus_bound


class Tree:
    """Open nodes of a pooled programme; `solved` counts relaxations."""

    def __init__(self, pooled: Pooled) -> None:
        self.pooled = pooled
        linear = pooled.linear
        self.solver = Solver(linear, relaxed=True)
        self.rows = len(linear.rows)
        self.lower, self.upper = np.array(linear.lower), np.array(linear.upper)
        self.changed: set[int] = set()
        self.open: list[Branch] = []
        self.solved = 0
        self.loss: dict[tuple[int, bool], float] = {}
        kinds = [set(pooled.visits.values()), set(pooled.together.values()), set(pooled.tours.values())]
        yes = {c for c, whole in enumerate(pooled.whole(counts=False)) if whole}
        kinds.append(yes.difference(*kinds, {pooled.idle}))
        self.kinds = [np.array(sorted(kind), dtype=np.int64) for kind in kinds]
        self._root()

    def _root(self) -> None:
        self.solver.run()
        node = self.solve({})
        for _ in range(ROUNDS_OF_REACH):
            if node is None or not add_reach(self.pooled, node.x):
                break
            node = self.solve({})
        self.push(node)

    def solve(self, bounds: Bounds) -> Branch | None:
        """The relaxation within these bounds and all rows so far."""
        linear = self.pooled.linear
        for r in range(self.rows, len(linear.rows)):
            self.solver.add_row(linear.rows[r], linear.row_lower[r], linear.row_upper[r])
        self.rows = len(linear.rows)
        back = {c: (float(self.lower[c]), float(self.upper[c])) for c in self.changed if c not in bounds}
        self.solver.bounds({**back, **bounds})
        self.changed = set(bounds)
        self.solved += 1
        answer = self.solver.again()
        return None if answer is None else Branch(-answer[0], self.solved, bounds, answer[1])

    def push(self, node: Branch | None) -> None:
        """Leave a node for later."""
        if node is not None:
            heapq.heappush(self.open, node)

    @property
    def bound(self) -> float:
        """No plan in what is open is worth more."""
        return self.open[0].bound if self.open else -math.inf

    def dive(self, target: float, until: float) -> Branch | None:
        """Branch from the best open node down to one with no fractional yes or no. None if none beats the target.

        The other branches stay open, and so does the current node when time reaches `until`.
        """
        while self.bound > target:
            node: Branch | None = heapq.heappop(self.open)
            while node is not None and node.bound > target:
                if time.monotonic() > until:
                    self.push(node)
                    return None
                column = self._fraction(node.x)
                if column is not None:
                    node = self._branch(node, column)
                elif add_fit(self.pooled, node.x, self.pooled.chosen(node.x)):
                    node = self.solve(node.bounds)
                else:
                    return node
            self.push(node)  # not good enough for now, but what is open has to bound it
        return None

    def _branch(self, node: Branch, column: int) -> Branch | None:
        """Solve both sides of a column; go on with the better and leave the other open."""
        value = float(node.x[column])
        low, high = node.bounds.get(column, (float(self.lower[column]), float(self.upper[column])))
        sides = []
        for up, bounds in ((False, (low, math.floor(value))), (True, (math.ceil(value), high))):
            child = self.solve({**node.bounds, column: bounds})
            if child is not None:
                move = math.ceil(value) - value if up else value - math.floor(value)
                self._learn(column, up, (node.bound - child.bound) / move)
                sides.append(child)
        sides.sort()
        for other in sides[1:]:
            self.push(other)
        return sides[0] if sides else None

    def _learn(self, column: int, up: bool, loss: float) -> None:
        known = self.loss.get((column, up), loss)
        self.loss[column, up] = 0.5 * (known + loss)

    def _fraction(self, x: Values) -> int | None:
        """The column to branch on: visits, pairs of buyers on one trip, tours, tiers and parcels."""
        for kind in self.kinds:
            part = np.abs(x[kind] - np.round(x[kind]))
            split = kind[part > WHOLE]
            if len(split):
                return int(max(split, key=lambda c: x[c] if kind is self.kinds[2] else self._score(x, int(c))))
        return None

    def _score(self, x: Values, column: int) -> float:
        down, up = x[column] - math.floor(x[column]), math.ceil(x[column]) - x[column]
        lost_down, lost_up = self.loss.get((column, False), 1.0) * down, self.loss.get((column, True), 1.0) * up
        return float((lost_down + LEAST_LOSS) * (lost_up + LEAST_LOSS))

    def without(self, node: Branch, tours: Mapping[int, int]) -> None:
        """Exclude one choice of tours from a node and open the rest.

        A trip that stays home counts as a tour, so every choice has the same number of tours and a different choice
        drives some tour less often than this one. There is one branch for each tour: that one less often, the
        earlier ones at least as often.
        """
        pooled = self.pooled
        times = {pooled.tours[r]: n for r, n in tours.items()}
        times[pooled.idle] = pooled.trips - sum(tours.values())
        for bounds in self._fewer(node.bounds, {c: n for c, n in times.items() if n}):
            self.push(self.solve(bounds))

    def _fewer(self, bounds: Bounds, times: Mapping[int, int]) -> Iterator[Bounds]:
        inside = dict(bounds)
        for column, n in times.items():
            low, high = inside.get(column, (float(self.lower[column]), float(self.upper[column])))
            if low <= n - 1:
                yield {**inside, column: (low, min(high, n - 1.0))}
            inside[column] = (max(low, float(n)), high)
