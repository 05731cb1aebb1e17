"""The bound that follows at today's prices from what a search proved at others, worked out without the solver."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.planning.learned.statement import Statement
from partway.planning.model.core import proved_bound
from partway.planning.model.milp import Model
from partway.planning.search.tree import Tree

ROUNDED = 1e-9  # of the bound: some 10,000 terms added in pairs round by some 1e-15 of their sum without signs


@dataclass(frozen=True)
class Carried:
    """`bound`: no plan is worth more, by a `Statement`; `alone`: by the rows of today. Infinite where not known."""

    bound: float = math.inf
    alone: float = math.inf


def carried(tree: Tree, model: Model, said: Statement) -> Carried:
    """What follows from a statement; the tree is at its root, and is left without the row.

    Both bounds are what rows and bounds add up to, by the prices that the solver finds for the rows: if these are wrong
    the bounds are only weaker.
    """
    linear = tree.pooled.linear
    row = said.row(model.linear, linear)
    if row is None or tree.solve({}) is None:
        return Carried()
    prices = tree.solver.prices()
    alone = math.inf if prices is None else proved_bound(linear, prices)
    number = linear.row("said", "", row[0], upper=row[1])
    prices = None if tree.solve({}) is None else tree.solver.prices()
    bound = math.inf if prices is None else proved_bound(linear, prices, ROUNDED)
    linear.row_upper[number] = math.inf
    tree.solver.row_sides(number, -math.inf, math.inf)
    return Carried(bound, alone)
