"""From a model to the best decision the time allows, with an honest bound."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass

from partway.errors import SolverFailed
from partway.planning.decision import Decision
from partway.planning.extract import extract
from partway.planning.highs import EXACT, Solver, Values
from partway.planning.instance import Instance
from partway.planning.milp import Model, formulate
from partway.planning.pooled import pool
from partway.planning.stages import best_with, polish
from partway.planning.tree import Tree

DEBUG = False
import os
WHOLE_AFTER = int(os.environ.get("WA", 1))

@dataclass(frozen=True, slots=True)
class Found:
    """The best decision, its objective as the solver counts it, and a bound no plan can beat."""

    decision: Decision
    objective: float
    bound: float
    optimal: bool


OnProgress = Callable[[float, float], None]  # objective, bound


def search(instance: Instance, seconds: float = 10.0, gap: float = 1e-6, on_progress: OnProgress | None = None) -> Found:
    """Solve an instance; raises SolverFailed where not even the empty plan was found."""
    run = _Search(formulate(instance), seconds, gap, on_progress)
    if run.model.columns.tours:
        run.by_tours()
    else:
        run.at_once()
    return run.found()


class _Search:
    """What is known so far: the best plan, and a bound on all plans."""

    def __init__(self, model: Model, seconds: float, gap: float, on_progress: OnProgress | None) -> None:
        self.model, self.gap, self.on_progress = model, gap, on_progress
        self.until = time.monotonic() + seconds
        self.best: Values | None = None
        self.objective, self.bound = -math.inf, math.inf

    def found(self) -> Found:
        if self.best is None:
            raise SolverFailed("no plan found")
        bound = max(self.bound, self.objective)
        return Found(extract(self.model, self.best), self.objective, bound, self.closed)

    @property
    def left(self) -> float:
        return max(0.0, self.until - time.monotonic())

    @property
    def slack(self) -> float:
        return self.gap * max(1.0, abs(self.objective))

    @property
    def closed(self) -> bool:
        return self.best is not None and self.bound - self.objective <= self.slack

    def take(self, x: Values) -> None:
        x = polish(self.model, x, max(1.0, self.left))
        value = self.model.linear.value(x.tolist())
        if value > self.objective:
            self.best, self.objective = x, value
            self.tell()

    def tell(self) -> None:
        if self.on_progress is not None:
            self.on_progress(self.objective, max(self.bound, self.objective))

    def at_once(self) -> None:
        answer = Solver(self.model.linear, options=EXACT).run(self.left, self.gap)
        if answer.x is not None:
            self.bound = answer.bound
            self.take(answer.x)

    def by_tours(self) -> None:
        """Decide tours in a tree, each set of tours by its own best plan, until the rest cannot be better."""
        tree = Tree(pool(self.model))
        done: dict[tuple[tuple[int, int], ...], float] = {}
        while self.left > 0.0 and not self.closed:
            t = time.process_time()
            node = tree.dive(self.objective + 0.9 * self.slack if self.best is not None else -math.inf)
            if DEBUG: print("  dive", time.process_time()-t, tree.solved, node and node.bound, self.objective)
            if node is None:
                self.bound = max([tree.bound, self.objective + 0.9 * self.slack, *done.values()])
                break
            tours = tree.pooled.chosen(node.x)
            key = tuple(sorted(tours.items()))
            if key not in done:
                t = time.process_time()
                plan = best_with(self.model, tours, self.left, 0.5 * self.gap, self.objective)
                if DEBUG: print("  with", time.process_time()-t, plan.status, plan.objective, plan.bound, tours)
                done[key] = plan.bound
                if plan.x is not None:
                    self.take(plan.x)
            tree.without(node, tours)
            self.bound = min(self.bound, max([tree.bound, *done.values()]))
