"""Rows that every plan satisfies; they are added to the pooled programme only when an answer breaks them.

Reach: what a buyer is sold of a grade came from somewhere. With yes in {0, 1, ...} for the visit (or the
tier) and inflow of a grade = stock + sum of a_j x_j, x_j <= u_j: for every subset T of the inflows,
  kg <= (stock + sum over T of a_j u_j) yes + sum over the others of a_j x_j.
With yes = 0 nothing is sold and the right side is not negative; with yes >= 1 it is at least the whole inflow.
These are the (l, S) inequalities of lot sizing, Barany, Van Roy and Wolsey, "Strong formulations for
multi-item capacitated lot sizing", Management Science 30, 1984. T is best chosen term by term.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partway.planning.model.highs import Values
from partway.planning.model.linear import Linear, Terms
from partway.planning.model.pooled import Pooled

BROKEN = 1e-3  # of the right side


def buyers_of(pooled: Pooled, tour: int) -> set[int]:
    """The buyers a tour stops at."""
    instance = pooled.model.instance
    return {instance.buyer_at[stop] for stop in (instance.tours or ())[tour].stops}


def add_reach(pooled: Pooled, x: Values) -> int:
    """Add the reach rows that x breaks; how many."""
    inflows = _inflows(pooled)
    before = len(pooled.linear.rows)
    for kg, yes, grade in _lots(pooled):
        _reach(pooled, x, kg, yes, inflows[grade])
    return len(pooled.linear.rows) - before


def _lots(pooled: Pooled) -> Iterator[tuple[int, int, int]]:
    """Kilograms, yes or no, and grade of each pooled lot that has a yes or no."""
    columns, lots = pooled.model.columns, pooled.model.instance.lots
    for (i, t, k), kg in columns.lots.items():
        yes = columns.lot_taken.get((i, t, k), columns.visits.get((lots[i].buyer, k)))
        if k <= 0 and yes is not None:
            yield pooled.column[kg], pooled.column[yes], lots[i].grade


@dataclass(frozen=True)
class Inflow:
    """What is there of a grade without doing anything, and the columns that add to it, with the most of each."""

    stock: float
    columns: NDArray[np.int64]
    amounts: Values
    upper: Values

    @classmethod
    def of(cls, linear: Linear, stock: float, terms: Terms) -> Inflow:
        """By the terms that add to the grade."""
        columns = [c for c, _ in terms]
        upper = np.array([linear.upper[c] for c in columns])
        return cls(stock, np.array(columns, dtype=np.int64), np.array([a for _, a in terms]), upper)


def _reach(pooled: Pooled, x: Values, kg: int, yes: int, inflow: Inflow) -> None:
    there, share = x[inflow.columns], float(x[yes])
    with_yes = inflow.upper * min(1.0, share) < there
    most = inflow.stock + float(inflow.amounts[with_yes] @ inflow.upper[with_yes])
    right = most * share + float(inflow.amounts[~with_yes] @ there[~with_yes])
    if float(x[kg]) > right + BROKEN * max(1.0, abs(right)):
        others = zip(inflow.columns[~with_yes].tolist(), (-inflow.amounts[~with_yes]).tolist(), strict=True)
        pooled.linear.row("reach", "", [(kg, 1.0), (yes, -most), *others], upper=0.0)


def _inflows(pooled: Pooled) -> list[Inflow]:
    linear = pooled.linear
    rows = [r for r, family in enumerate(linear.row_families) if family == "grades"]
    return [Inflow.of(linear, -linear.row_lower[r], [(c, a) for c, a in linear.rows[r] if a > 0.0]) for r in rows]
