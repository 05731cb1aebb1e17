"""Rows that every plan satisfies, of the pooled programme and of one with fixed tours; added only when an answer
breaks them.

Reach: what a buyer is sold of a grade came from somewhere. With yes in {0, 1, ...} for the visit (or the
tier) and inflow of a grade = stock + sum of a_j x_j, x_j <= u_j: for every subset T of the inflows,
  kg <= (stock + sum over T of a_j u_j) yes + sum over the others of a_j x_j.
With yes = 0 nothing is sold and the right side is not negative; with yes >= 1 it is at least the whole inflow.
These are the (l, S) inequalities of lot sizing, Barany, Van Roy and Wolsey, "Strong formulations for
multi-item capacitated lot sizing", Management Science 30, 1984. T is best chosen term by term.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partway.planning.model.highs import Values
from partway.planning.model.linear import Linear, Terms
from partway.planning.model.milp import Model
from partway.planning.model.pooled import Pooled

BROKEN = 1e-3  # of the right side


def buyers_of(pooled: Pooled, tour: int) -> set[int]:
    """The buyers a tour stops at."""
    instance = pooled.model.instance
    return {instance.buyer_at[stop] for stop in (instance.tours or ())[tour].stops}


def add_reach(pooled: Pooled, x: Values) -> int:
    """Add the reach rows that x breaks; how many."""
    lots = [
        ReachLot(pooled.column[kg], pooled.column[yes], grade) for k, grade, kg, yes in _lots(pooled.model) if k <= 0
    ]
    every = range(len(pooled.linear.names))
    return ReachRows(pooled.linear, lots, _inflows(pooled.linear, pooled.linear, every)).add(x)


def reach_of_part(model: Model, part: Linear, number: Mapping[int, int]) -> ReachRows:
    """The reach rows of a model without some columns; `number` has what is left by the columns of the model.

    They say of one trip's lot what they say of all trips' together: its kilograms came out of the same inflow.
    """
    lots = [
        ReachLot(number[kg], number[yes], grade) for _, grade, kg, yes in _lots(model) if kg in number and yes in number
    ]
    return ReachRows(part, lots, _inflows(model.linear, part, number))


@dataclass(frozen=True)
class ReachLot:
    """The columns of a lot's kilograms and of its yes or no, and its grade."""

    kg: int
    yes: int
    grade: int


@dataclass(frozen=True)
class ReachRows:
    """The reach rows of a programme: of each lot with a yes or no, by what there is of its grade."""

    linear: Linear
    lots: Sequence[ReachLot]
    inflows: Sequence[Inflow]

    def add(self, x: Values) -> int:
        """Add those that x breaks; how many."""
        before = len(self.linear.rows)
        for lot in self.lots:
            if x[lot.kg] > BROKEN:  # no right side is below nothing
                _reach(self.linear, x, lot.kg, lot.yes, self.inflows[lot.grade])
        return len(self.linear.rows) - before


def _lots(model: Model) -> Iterator[tuple[int, int, int, int]]:
    """Trip, grade, kilograms and yes or no of each lot that has one."""
    columns, lots = model.columns, model.instance.lots
    for (i, t, k), kg in columns.lots.items():
        yes = columns.lot_taken.get((i, t, k), columns.visits.get((lots[i].buyer, k)))
        if yes is not None:
            yield k, lots[i].grade, kg, yes


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


def _reach(linear: Linear, x: Values, kg: int, yes: int, inflow: Inflow) -> None:
    there, share = x[inflow.columns], float(x[yes])
    with_yes = inflow.upper * min(1.0, share) < there
    most = inflow.stock + float(inflow.amounts[with_yes] @ inflow.upper[with_yes])
    right = most * share + float(inflow.amounts[~with_yes] @ there[~with_yes])
    if float(x[kg]) > right + BROKEN * max(1.0, abs(right)):
        others = zip(inflow.columns[~with_yes].tolist(), (-inflow.amounts[~with_yes]).tolist(), strict=True)
        linear.row("reach", "", [(kg, 1.0), (yes, -most), *others], upper=0.0)


def _inflows(whole: Linear, part: Linear, number: Mapping[int, int] | range) -> list[Inflow]:
    """Of each grade what the rows of the whole say of it, in the columns of a part."""
    rows = [r for r, family in enumerate(whole.row_families) if family == "grades"]
    return [
        Inflow.of(part, -whole.row_lower[r], [(number[c], a) for c, a in whole.rows[r] if a > 0.0 and c in number])
        for r in rows
    ]
