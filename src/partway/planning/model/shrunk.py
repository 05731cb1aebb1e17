"""A programme without columns that must be 0, so that they do not slow every solve."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

import numpy as np

from partway.planning.model.highs import SolverAnswer
from partway.planning.model.linear import Linear
from partway.planning.model.milp import Model

Fixed = Mapping[int, tuple[float, float]]
NOTHING = (0.0, 0.0)


def idle_columns(model: Model, tours: Fixed) -> set[int]:
    """Columns that fixed tours force to 0: tours not driven, and lots and pieces for buyers a trip does not visit."""
    columns, lots = model.columns, model.instance.lots
    passed = {key for key, c in columns.visits.items() if tours.get(c) == NOTHING}
    idle = {c for c, bounds in tours.items() if bounds == NOTHING}
    for taken in (columns.lots, columns.lot_taken, columns.blocks, columns.loose_pieces):
        # In all four the last of a key is the trip; the lot is the first of a lot's key and the second of a piece's.
        at = 1 if taken is columns.blocks else 0
        idle |= {c for key, c in taken.items() if (lots[key[at]].buyer, key[-1]) in passed}
    return idle | {c for key, c in columns.tickets.items() if key in passed}


class Shrunk:
    """`linear` is the programme without some columns; bounds and answers are translated from and to all of them."""

    def __init__(self, whole: Linear, idle: Collection[int]) -> None:
        """`idle` columns are 0."""
        out = frozenset(idle)
        self.kept = [c for c in range(len(whole.names)) if c not in out]
        self.number = {c: i for i, c in enumerate(self.kept)}
        self.size = len(whole.names)
        self.linear = Linear(constant=whole.constant)
        for of in ("names", "objective", "lower", "upper", "integer"):
            values = getattr(whole, of)
            setattr(self.linear, of, [values[c] for c in self.kept])
        self._rows(whole)

    def _rows(self, whole: Linear) -> None:
        small, number = self.linear, self.number
        for r, terms in enumerate(whole.rows):
            left = [(number[c], v) for c, v in terms if c in number]
            if left or not whole.row_lower[r] <= 0.0 <= whole.row_upper[r]:
                small.rows.append(left)
                small.row_names.append(whole.row_names[r])
                small.row_families.append(whole.row_families[r])
                small.row_lower.append(whole.row_lower[r])
                small.row_upper.append(whole.row_upper[r])

    def bounds(self, fixed: Fixed) -> dict[int, tuple[float, float]]:
        """Bounds of the columns that are left."""
        return {self.number[c]: bounds for c, bounds in fixed.items() if c in self.number}

    def answer(self, answer: SolverAnswer) -> SolverAnswer:
        """The answer with every column."""
        if answer.x is None:
            return answer
        x = np.zeros(self.size)
        x[self.kept] = answer.x
        return replace(answer, x=x, duals=None)
