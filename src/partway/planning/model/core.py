"""Whole columns that no better plan has elsewhere than at one of their bounds, by the prices of the relaxation's rows.

For any numbers y, one a row, and d = c - A'y: whatever keeps to the rows and bounds is worth at most

    L - sum over columns of |d_j| x (distance of x_j from its best bound),
    L = constant + sum over rows of y_i x (its upper side where y_i > 0, its lower side where y_i < 0)
                 + sum over columns of d_j x (their upper bound where d_j > 0, their lower where d_j < 0).

So a whole column with |d_j| > L - W is at its best bound in every plan worth more than W. The relaxation's duals make L
small, but nothing rests on the solver: L and d are worked out here, and hold for any y. Geoffrion, "Lagrangean
relaxation for integer programming", Mathematical Programming Study 2, 1974; Crowder, Johnson and Padberg, "Solving
large-scale zero-one linear programming problems", Operations Research 31, 1983.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from partway.planning.model.highs import Values
from partway.planning.model.linear import Linear

Fixed = Mapping[int, tuple[float, float]]
MARGIN = 1e-7  # of the bound, or of one currency unit: far above what adding up rounds


@dataclass(frozen=True)
class PricedRows:
    """`bound` on all that a programme may be worth; `loss` of moving a column by one from its `best` bound."""

    bound: float
    loss: Values
    best: Values
    whole: Sequence[bool]

    @classmethod
    def by(cls, linear: Linear, fixed: Fixed, prices: Values) -> PricedRows:
        """By a price for each row, with other bounds on some columns. The bound is infinite if they say nothing."""
        low, high = np.array(linear.lower), np.array(linear.upper)
        for column, (least, most) in fixed.items():
            low[column], high[column] = least, most
        sides = np.where(prices > 0.0, linear.row_upper, linear.row_lower)
        paid = np.where(np.isfinite(sides), prices, 0.0)
        reduced = np.array(linear.objective, dtype=float) - linear.matrix.times(paid, len(low))
        best = np.where(reduced > 0.0, high, low)
        bound = linear.constant + _sum(paid, sides) + _sum(reduced, best)
        return cls(bound, np.abs(reduced), best, linear.integer)

    def settled(self, worth: float) -> Fixed:
        """Whole columns that every plan worth more than this has at their best bound."""
        return self._dearer(self.bound - worth + MARGIN * max(1.0, abs(self.bound)))

    def core(self) -> Fixed:
        """Whole columns that cost anything to move: without them a good plan is found quickly, if not the best."""
        return self._dearer(MARGIN)

    def _dearer(self, loss: float) -> Fixed:
        dearer = np.flatnonzero(self.loss > loss).tolist()
        return {c: (float(self.best[c]), float(self.best[c])) for c in dearer if self.whole[c]}


def proved_bound(linear: Linear, prices: Values, margin: float = MARGIN) -> float:
    """No point of the programme is worth more, whatever the prices are; infinite where they say nothing.

    `margin`: for what adding up rounds, as a share of the bound.

    They are those of its first rows: rows added since would only lower the bound.
    """
    if not np.isfinite(prices).all():
        return math.inf
    bound = PricedRows.by(linear.first(len(prices)), {}, prices).bound
    return bound + margin * max(1.0, abs(bound)) if math.isfinite(bound) else math.inf


def _sum(amounts: Values, of: Values) -> float:
    """The sum of products, in which nothing of what has no end is nothing."""
    some = amounts != 0.0
    return float(amounts[some] @ of[some])
