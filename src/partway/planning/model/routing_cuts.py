"""Rows that every plan satisfies; they are added to the pooled programme only when an answer breaks them.

Fit (Hall's condition for loads): buyers reached by some of the trips only are brought no more than those
trips carry. For any set S of buyers, loads to S <= payload x number of trips that stop in S: a trip that
misses S brings it nothing and any other at most one payload. Hall, "On representatives of subsets", J. London
Math. Soc. 10, 1935: for payload alone, all such rows together are also enough.

Reach: what a buyer is sold of a grade came from somewhere. With yes in {0, 1, ...} for the visit (or the
tier) and inflow of a grade = stock + sum of a_j x_j, x_j <= u_j: for every subset T of the inflows,
  kg <= (stock + sum over T of a_j u_j) yes + sum over the others of a_j x_j.
With yes = 0 nothing is sold and the right side is not negative; with yes >= 1 it is at least the whole inflow.
These are the (l, S) inequalities of lot sizing, Barany, Van Roy and Wolsey, "Strong formulations for
multi-item capacitated lot sizing", Management Science 30, 1984. T is best chosen term by term.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations

from partway.planning.model.highs import Values
from partway.planning.model.linear import Terms
from partway.planning.model.pooled import Pooled, fit_rows, load_of

MOST_TRIPS_FOR_FIT = 8  # 2 ** trips sets are looked at
KG_OVER = 1e-5
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


def _reach(pooled: Pooled, x: Values, kg: int, yes: int, inflow: tuple[float, Terms]) -> None:
    stock, terms = inflow
    upper, share = pooled.linear.upper, min(1.0, float(x[yes]))
    with_yes = [(c, a) for c, a in terms if upper[c] * share < x[c]]
    others = [(c, -a) for c, a in terms if upper[c] * share >= x[c]]
    most = stock + sum(a * upper[c] for c, a in with_yes)
    right = most * float(x[yes]) - sum(a * float(x[c]) for c, a in others)
    if float(x[kg]) > right + BROKEN * max(1.0, abs(right)):
        pooled.linear.row("reach", "", [(kg, 1.0), (yes, -most), *others], upper=0.0)


def _inflows(pooled: Pooled) -> list[tuple[float, Terms]]:
    """Per grade what is there without doing anything, and the columns that add to it."""
    linear = pooled.linear
    rows = [r for r, family in enumerate(linear.row_families) if family == "grades"]
    return [(-linear.row_lower[r], [(c, a) for c, a in linear.rows[r] if a > 0.0]) for r in rows]
