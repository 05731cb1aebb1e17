"""Which tours to drive: the tree proposes sets of them, each is bounded, then planned, the most promising first.

Each set of tours is solved in steps (`stages.FixedTours`), each slower and closer than the one before: the pooled
relaxation, then counts as fractions, then counts rounded, then whole. A set takes its next step only if nothing else
left could be worth more, so most sets are never solved beyond the tree. In a small programme the last step costs no
more than the two before it, which are then skipped.
"""

from __future__ import annotations

import heapq
import math
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from partway.planning.model.highs import SolverAnswer, Values
from partway.planning.model.milp import Model
from partway.planning.model.pooled import Pooled
from partway.planning.model.same_choices import same_choices
from partway.planning.search.stages import Fixed, FixedTours, fix_tours
from partway.planning.search.tree import Branch, Tree

SAME = 0.1  # of the gap: a plan worth so little less than its bound is not looked for again
ROUNDING = 0.01  # of the gap: what cleaning up a plan may cost
FIRST_GAP = 1e-3  # good enough for a plan that is shown within a second
ENOUGH = 0.98  # of the gap below the bound: nothing better is looked for
NEAR = 2.5  # gaps: a plan that is so near what a set of tours may be worth is enough to look only for better ones
LITTLE = 6e-4  # of the bound: what a few relaxations may take off it
LARGE = 2000  # whole counts from which the steps between are worth their time


Key = tuple[tuple[int, int], ...]  # how often each tour is driven


@dataclass(order=True)
class Candidate:
    """A set of tours, not planned yet: with the best node that drives it, or its own programme once that was made."""

    minus_bound: float
    number: int
    fixed: FixedTours | None = field(compare=False)
    node: Branch | None = field(compare=False, default=None)

    @property
    def bound(self) -> float:
        """No plan with these tours is worth more, but for those in what the tree has open."""
        return -self.minus_bound


class TourSearch:
    """The open nodes, the sets of tours found and those bounded. `done` is the bound of the fully planned ones."""

    def __init__(self, model: Model, pooled: Pooled, gap: float) -> None:
        """`pooled` is the relaxation of `model` that the tree looks for tours in."""
        self.model, self.gap = model, gap
        self.tree = Tree(pooled)
        self.found: list[Branch] = []
        self.candidates: list[Candidate] = []
        self.seen: set[Key] = set()
        self.waiting: dict[Key, Candidate] = {}  # sets of tours whose programme was not made yet
        self.first: tuple[Key, FixedTours] | None = None  # that the first plan was made for
        self.done = -math.inf
        self.large = sum(pooled.model.linear.integer) > LARGE
        self.tree.hurried = not self.large

    @property
    def open(self) -> float:
        """Upper bound on every plan that was neither returned nor ruled out."""
        return max(self.tree.bound, _top(self.found), _top(self.candidates))

    def step(self, objective: float, seconds: float) -> Values | None:
        """Take the most promising step; returns a plan if it led to one. `objective` is the best so far."""
        first = self.large and objective == -math.inf
        if self.candidates and _top(self.candidates) >= self.open:
            return self._plan(heapq.heappop(self.candidates), objective, seconds)
        if self.found and (first or _top(self.found) >= self.open):
            return self._driven(heapq.heappop(self.found), objective, seconds)
        target = max(self._target(objective), _top(self.found), _top(self.candidates))
        node = self.tree.dive(target, time.monotonic() + seconds)
        if node is not None:
            heapq.heappush(self.found, node)
        return None

    def _target(self, objective: float, share: float = 0.9) -> float:
        return objective + share * self.gap * max(1.0, abs(objective)) if math.isfinite(objective) else objective

    def _driven(self, node: Branch, objective: float, seconds: float) -> Values | None:
        """Plan a set of tours, or in a large programme only note it; then exclude it from its node."""
        tours = self.tree.pooled.chosen(node.x)
        key = tuple(sorted(tours.items()))
        if key in self.seen:
            self._seen_again(key, node)
            self.tree.without(node, tours)
            return None
        if not self.large and self._beaten(node, tours, objective):
            return None
        if self.large and objective == -math.inf:
            self.first = key, self._chosen(node, tours, seconds)
            answer = self.first[1].nearest(seconds, FIRST_GAP, objective)
            if answer.x is not None:
                self.tree.begin_again()  # a first plan is shown before its tours are settled
                self.found.clear()
                return answer.x
        self.seen.add(key)
        self.tree.without(node, tours)
        if self.large:
            self.waiting[key] = Candidate(-node.bound, len(self.seen), None, node)
            heapq.heappush(self.candidates, self.waiting[key])
            return None
        fixed = self._chosen(node, tours, seconds)
        # the best plan so far may be one of other prices only as long as no set of tours was planned
        start = objective == -math.inf or len(self.seen) == 1
        choices = same_choices(self.model, self.tree.pooled, node.x, fixed.tours) if start else {}
        return self._best(fixed, objective, seconds, choices)

    def _beaten(self, node: Branch, tours: Mapping[int, int], objective: float) -> bool:
        """Whether relaxations alone show that these tours hold nothing better in this node, which is then done."""
        target = self._target(objective)
        if objective == -math.inf or node.bound - target > LITTLE * max(1.0, abs(node.bound)):
            return False
        if not self.tree.beaten(node, tours, target):
            return False
        self.done = max(self.done, target)
        self.tree.without(node, tours)
        return True

    def _seen_again(self, key: Key, node: Branch) -> None:
        """A set of tours turned up in another node, with other choices: if it waits, it is worth as much as the better
        of both.
        """
        waits = self.waiting.get(key)
        if waits is not None and node.bound > waits.bound:
            waits.minus_bound, waits.node = -node.bound, node
            heapq.heapify(self.candidates)

    def _chosen(self, node: Branch, tours: Mapping[int, int], seconds: float) -> FixedTours:
        """The programme with these tours, in a large one with each yes or no as in the node."""
        fixed = FixedTours(self.model, fix_tours(self.model, tours))
        if self.large:
            choices = same_choices(self.model, self.tree.pooled, node.x, fixed.tours)
            fixed.chosen(choices, seconds)
        return fixed

    def _plan(self, candidate: Candidate, objective: float, seconds: float) -> Values | None:
        """Take the next steps with a set of tours; nothing that is open is worth more than its bound by now."""
        node, fixed = candidate.node, candidate.fixed
        if fixed is not None:
            return self._planned(candidate.bound, fixed, objective, seconds)
        if node is None:
            raise AssertionError("a set of tours with neither its node nor its programme")
        tours = self.tree.pooled.chosen(node.x)
        key = tuple(sorted(tours.items()))
        self.waiting.pop(key, None)
        as_good = node.bound - SAME * self.gap * max(1.0, abs(node.bound))
        known = self.first is not None and self.first[0] == key and self.first[1].worth.objective >= as_good
        fixed = self.first[1] if self.first is not None and known else self._chosen(node, tours, seconds)
        if fixed.worth.objective >= as_good:
            fixed.worth = replace(fixed.worth, bound=candidate.bound)
            return self._planned(candidate.bound, fixed, objective, seconds)
        target = self._target(objective)
        worth = fixed.bound(seconds, 0.2 * self.gap, target)
        bound = min(worth.bound, candidate.bound)
        if worth.x is not None and bound > target:
            heapq.heappush(self.candidates, Candidate(-bound, candidate.number, fixed))
        else:
            self.done = max(self.done, bound)
        return None

    def _planned(self, bound: float, fixed: FixedTours, objective: float, seconds: float) -> Values | None:
        """Take the steps in turn until the plan is as good as these tours allow."""
        best, reached, highest = None, objective, bound
        enough = bound - ENOUGH * self.gap * max(1.0, abs(bound))
        near = bound - objective <= NEAR * self.gap * max(1.0, abs(bound))
        steps: list[tuple[Callable[..., SolverAnswer], float]]
        steps = [(fixed.nearest, 0.3), *([] if near else [(fixed.plan, 0.9)]), (fixed.best, 0.3)]
        for solve, share in steps:
            answer = solve(seconds, share * self.gap, reached, enough=enough)
            bound = min(highest, answer.bound)
            if answer.x is not None and answer.objective > reached:
                best, reached = answer.x, answer.objective
            if bound <= self._target(reached, 1.0 - ROUNDING):
                break
        self.done = max(self.done, bound)
        return best

    def _best(self, fixed: FixedTours, objective: float, seconds: float, choices: Fixed) -> Values | None:
        answer = fixed.best(seconds, 0.9 * self.gap, objective, choices)
        self.done = max(self.done, answer.bound)
        return answer.x if answer.objective > objective else None


def _top(heap: list[Branch] | list[Candidate]) -> float:
    return heap[0].bound if heap else -math.inf
