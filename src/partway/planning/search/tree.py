"""Branch and bound over yes and no in the pooled programme; counts of pieces may be fractions here.

Two stages (after Benders' idea of deciding the few hard things first): which tours are driven decides almost
all of a plan, and once that is decided the rest is a knapsack of hours that is solved quickly. So the tree decides
visits, tiers and parcels by what they lose (`branching`) and tours where all else is whole, with warm-started
relaxations and rows about loads wherever a point breaks some (`fit_cuts`); every set of tours it arrives at gets its
best plan from `stages.FixedTours`, with whole counts and separate trips, and is then excluded from the tree. What is
left in the tree bounds every other plan. Land and Doig, "An automatic method of solving discrete programming
problems", Econometrica 28, 1960.
"""

from __future__ import annotations

import heapq
import math
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from partway.planning.model.core import proved_bound
from partway.planning.model.fit_cuts import BROKEN, FitCuts
from partway.planning.model.highs import Solver, Values
from partway.planning.model.linear import Terms
from partway.planning.model.pooled import Pooled
from partway.planning.model.routing_cuts import add_reach
from partway.planning.search.branching import DULL, WHOLE, Losses, product

ROUNDS = 6  # of rows at the root
ROUNDED = 1e-9  # of a bound: some 10,000 terms added in pairs round by some 1e-15 of their sum without signs
JUMP = 1e-4  # of the bound: a dive that is so far below what is open is left for later, once a plan is known
NEARLY = 0.2  # from a whole number: rounded together where a first plan is made in haste
MOST_SPLIT = 24  # relaxations in which counts are split, to show that a set of tours is not worth its programme
WORTH_A_ROW = 1e-3  # of a load: what is broken by less waits until all is whole
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
        self.rows = self.given = len(linear.rows)
        self.lower, self.upper = np.array(linear.lower), np.array(linear.upper)
        self.changed: set[int] = set()
        self.hurried = False
        self.open: list[Branch] = []
        self.solved = 0
        self.losses, self.fit = Losses(), FitCuts(pooled)
        tours = set(pooled.tours.values())
        yes = {c for c, whole in enumerate(pooled.whole(counts=False)) if whole}
        kinds = [yes - tours - {pooled.idle}, tours]
        self.kinds = [np.array(sorted(kind), dtype=np.int64) for kind in kinds]
        self._root()

    def _root(self) -> None:
        self.solver.run()
        node = self.solve({})
        for _ in range(ROUNDS):
            if node is None or not add_reach(self.pooled, node.x) + self.fit.add(node.x, WORTH_A_ROW):
                break
            node = self.solve({})
        self.root = self.rows, self.solver.basis()  # the rows it has now, and where the simplex method ended
        self.push(node)

    def begin_again(self) -> None:
        """Start from the root with all rows and losses known by now: branches taken in haste are worth little."""
        self.open.clear()
        self.push(self.solve({}))

    def proved(self, terms: Terms, most: float) -> tuple[float, float]:
        """No plan is worth more than the first by the rows of the root, and than the second with the row terms <= most.

        Both are what rows and bounds add up to, by the prices that the solver finds for the rows: if these are wrong
        they are only weaker. The tree is left without that row.
        """
        self.solve({})
        alone, linear = self._added_up(), self.pooled.linear
        row = linear.row("said", "", terms, upper=most)
        self.solve({})
        both = self._added_up()
        linear.row_upper[row] = math.inf
        self.solver.free_row(row)
        return alone, both

    def _added_up(self) -> float:
        prices = self.solver.prices()
        return math.inf if prices is None else proved_bound(self.pooled.linear, prices, ROUNDED)

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
        if target == -math.inf and not self.hurried and self.open:
            self.hurried = True
            quick = self._in_haste(self.open[0], until)
            if quick is not None:
                return quick
        while self.bound > target:
            node: Branch | None = heapq.heappop(self.open)
            while node is not None and node.bound > target:
                if time.monotonic() > until:
                    self.push(node)
                    return None
                split = self._split(node.x)
                if self.fit.add(node.x, WORTH_A_ROW if split else BROKEN):
                    node = self.solve(node.bounds)
                elif split:
                    node = self._branch(node, split, target)
                else:
                    return node
                if node is not None and target > -math.inf and node.bound < self.bound - JUMP * abs(self.bound):
                    break
            self.push(node)  # not good enough for now, but what is open has to bound it
        return None

    def _in_haste(self, node: Branch, until: float) -> Branch | None:
        """A node with no fractional yes or no, some of them rounded at a time; None where that leads nowhere.

        What is open stays as it is: this only finds tours for a first plan.
        """
        while time.monotonic() < until:
            some, tours = (k[np.abs(node.x[k] - np.round(node.x[k])) > WHOLE] for k in self.kinds)
            if len(some):
                off = np.abs(node.x[some] - np.round(node.x[some]))
                rounded = {int(c): float(round(float(node.x[c]))) for c in some[off <= max(NEARLY, off.min())]}
            elif self.fit.add(node.x, BROKEN):
                rounded = {}
            elif len(tours):
                most = int(max(tours.tolist(), key=lambda c: float(node.x[c])))
                rounded = {most: float(math.ceil(node.x[most]))}
            else:
                return node
            further = self.solve({**node.bounds, **{c: (v, v) for c, v in rounded.items()}})
            if further is None:
                return None
            node = further
        return None

    def _split(self, x: Values) -> list[int]:
        """Columns that may be branched on, the most promising first; a tour only where all else is whole."""
        for number, kind in enumerate(self.kinds):
            some = kind[np.abs(x[kind] - np.round(x[kind])) > WHOLE].tolist()
            if some:
                return [max(some, key=lambda c: float(x[c]))] if number else self.losses.ordered(some, x)
        return []

    def _branch(self, node: Branch, columns: list[int], target: float) -> Branch | None:
        """Split a node where both sides lose most; go on with the better side and leave the other open."""
        chosen, best, sides, dull = columns[0], -1.0, None, 0
        for column in columns:
            score, tried = self._tried(node, column, target)
            if score > best:
                chosen, best, sides, dull = column, score, tried, 0
            else:
                dull += 1
            if dull == DULL or best == math.inf:
                break
        sides = self._sides(node, chosen) if sides is None else sides
        for other in sides[1:]:
            self.push(other)
        return sides[0] if sides else None

    def _tried(self, node: Branch, column: int, target: float) -> tuple[float, list[Branch] | None]:
        """What splitting a column brings: by what is known of it, else by its two sides, which are then solved."""
        if target == -math.inf or self.losses.sure(column):
            return self.losses.score(column, float(node.x[column])), None
        sides = self._sides(node, column)
        if len(sides) < 2 or sides[1].bound <= target:
            return math.inf, sides  # one side is settled: nothing is better
        return product(node.bound - sides[0].bound, node.bound - sides[1].bound), sides

    def _sides(self, node: Branch, column: int) -> list[Branch]:
        """Both sides of a column that are possible, the better first."""
        value = float(node.x[column])
        low, high = node.bounds.get(column, (float(self.lower[column]), float(self.upper[column])))
        sides = []
        for up, bounds in ((False, (low, math.floor(value))), (True, (math.ceil(value), high))):
            child = self.solve({**node.bounds, column: bounds})
            if child is not None:
                self.losses.learn(column, up, (node.bound - child.bound) / abs(value - bounds[not up]))
                sides.append(child)
        return sorted(sides)

    def without(self, node: Branch, tours: Mapping[int, int]) -> None:
        """Exclude one choice of tours from a node and open the rest.

        A trip that stays home counts as a tour, so every choice has the same number of tours and a different choice
        drives some tour less often than this one. There is one branch for each tour: that one less often, the
        earlier ones at least as often.
        """
        for bounds in self._fewer(node.bounds, {c: n for c, n in self._times(tours).items() if n}):
            self.push(self.solve(bounds))

    def beaten(self, node: Branch, tours: Mapping[int, int], target: float) -> bool:
        """Whether it was shown that no plan in this node with these tours is worth more than the target.

        Counts of pieces are split as well, a few times: where little is missing that takes a tenth of what a programme
        of these tours does. Where it does not get there nothing is said.
        """
        whole, times = np.flatnonzero(self.pooled.whole(counts=True)), self._times(tours)
        none = dict.fromkeys(self.pooled.tours.values(), (0.0, 0.0))
        driven = {c: (float(n), float(n)) for c, n in times.items()}
        drives = self.solve({**node.bounds, **none, **driven})
        left, until = [drives] if drives is not None else [], self.solved + MOST_SPLIT
        while left and left[0].bound > target:
            best = heapq.heappop(left)
            off = np.abs(best.x[whole] - np.round(best.x[whole]))
            if off.max() <= WHOLE or self.solved >= until:
                return False
            for side in self._sides(best, int(whole[off.argmax()])):
                heapq.heappush(left, side)
        return True

    def _times(self, tours: Mapping[int, int]) -> dict[int, int]:
        """How often each tour is driven, by its column; trips that stay home are a tour, too."""
        pooled = self.pooled
        times = {pooled.tours[r]: n for r, n in tours.items()}
        times[pooled.idle] = pooled.trips - sum(tours.values())
        return times

    def _fewer(self, bounds: Bounds, times: Mapping[int, int]) -> Iterator[Bounds]:
        inside = dict(bounds)
        for column, n in times.items():
            low, high = inside.get(column, (float(self.lower[column]), float(self.upper[column])))
            if low <= n - 1:
                yield {**inside, column: (low, min(high, n - 1.0))}
            inside[column] = (max(low, float(n)), high)
