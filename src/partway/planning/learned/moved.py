"""What was proved at other prices, moved to today's before any tree is made: by the relaxation it was proved with.

Every plan of today is one of then (`statement.allows_no_more`), so it is a point of the relaxation of then, with the
rows that were added at the root, and is worth there what its columns are worth today. Rows and bounds add up to no less
(`model/core`), whatever prices of rows the solver finds from where it stood.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from partway.planning.instance.frozen import Instance, Lot
from partway.planning.learned.programmes import Root, pooled_costs, same_pieces
from partway.planning.learned.statement import Statement, allows_no_more
from partway.planning.model.columns import Columns
from partway.planning.model.core import proved_bound
from partway.planning.model.costs import costs
from partway.planning.model.highs import Solver
from partway.planning.model.linear import Linear
from partway.planning.model.milp import Model

ROUNDED = 1e-9  # of a bound, as at the root of a tree


@dataclass(frozen=True, slots=True)
class MovedBound:
    """No plan of today is worth more than `alone` by rows and bounds, and than `both` with what was proved as a row."""

    alone: float
    both: float


def moved(said: Statement, root: Root, model: Model) -> MovedBound | None:
    """The bounds for the plans of `model`; None where what was proved says nothing of them in the columns it had."""
    linear = _at_prices_of(root, model.instance)
    sound = linear is not None and said.sound and root.sound and said.is_in(linear)
    if linear is None or not sound or not allows_no_more(model.linear, said.linear):
        return None
    solver = Solver(linear, relaxed=True)
    solver.begin(root.basis)
    alone = _added_up(solver)
    row = linear.row("said", "", said.terms, upper=said.bound - said.linear.constant)
    solver.add_row(linear.rows[row], -math.inf, linear.row_upper[row])
    return MovedBound(alone, _added_up(solver))


def _added_up(solver: Solver) -> float:
    prices = None if solver.again() is None else solver.prices()
    return math.inf if prices is None else proved_bound(solver.linear, prices, ROUNDED)


def _at_prices_of(root: Root, instance: Instance) -> Linear | None:
    """The pooled programme of then with what its columns are worth today; what nobody buys any more is nothing.

    None where the two do not have the same pieces, or where somebody buys what nobody bought.
    """
    number = _lots(root.model.instance, instance)
    if number is None or not same_pieces(root.model.instance, instance):
        return None
    then, pooled = root.pooled.model, root.pooled
    columns = _renumbered(then.columns, number)
    linear = pooled.linear.at_costs(pooled_costs(pooled, costs(instance, columns, len(then.linear.names))))
    for (i, _, _), column in then.columns.lots.items():
        if i not in number:
            linear.upper[pooled.column[column]] = 0.0
    return linear


def _lots(then: Instance, today: Instance) -> Mapping[int, int] | None:
    """The lots of today by the numbers they had; None where one was not there, or was of other sizes."""
    had = {(lot.buyer, lot.grade): (i, _sizes(lot)) for i, lot in enumerate(then.lots)}
    number = {}
    for j, lot in enumerate(today.lots):
        i, sizes = had.get((lot.buyer, lot.grade), (-1, None))
        if sizes != _sizes(lot):
            return None
        number[i] = j
    return number


def _sizes(lot: Lot) -> tuple[tuple[float, float], ...]:
    return tuple((tier.low, tier.high) for tier in lot.tiers)


def _renumbered(columns: Columns, number: Mapping[int, int]) -> Columns:
    """The columns of then by the numbers that lots have today, without those of lots that are none any more."""
    lots = {(number[i], t, k): c for (i, t, k), c in columns.lots.items() if i in number}
    blocks = {(s, number[i], k): c for (s, i, k), c in columns.blocks.items() if i in number}
    return replace(columns, lots=lots, blocks=blocks)
