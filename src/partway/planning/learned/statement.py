"""What a search proved at other prices, and what follows from it at these: a row that every plan satisfies.

A search that ended says of all plans x of its programme that their worth was at most B: c x <= B. Prices change what
a plan is worth and not what may be done, so that is a row of the programme at any prices c', and for any prices of
rows, weights as good as others, rows and bounds allow no more than what they add up to (`model/core`). Where the price
that changed is of no matter for the best plan, that is B moved along, and the search is over before it began.

What it rests on is looked at anew. The programme of today has to allow no more than the old one did, compared number by
number; the plan of then has to be worth what it was, and no more than B; and B has to be of a search of its own, not
itself moved along, so that a proof rests on one search and not on all before it.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from partway.planning.learned.names import same_as
from partway.planning.model.highs import Values
from partway.planning.model.linear import Linear, Terms

ROUNDING = 1e-9  # of the worth


@dataclass(frozen=True)
class Statement:
    """No plan of a programme was worth more than `bound`; its `plan` was worth `worth`.

    `names` and `costs` are of the columns of its pooled programme. `seal` is of all figures here: what was changed
    since is not believed.
    """

    linear: Linear = field(repr=False)
    names: Sequence[str] = field(repr=False)
    costs: Sequence[float] = field(repr=False)
    plan: Values = field(repr=False)
    worth: float
    bound: float
    seal: int

    @classmethod
    def of(cls, linear: Linear, pooled: Linear, plan: Values, bound: float) -> Statement:
        """Said by a search that ended, of its programme and of the same with its trips pooled."""
        names, costs, worth = tuple(pooled.names), tuple(pooled.objective), linear.value(plan.tolist())
        return cls(linear, names, costs, plan, worth, bound, _seal(linear, costs, worth, bound))

    @property
    def terms(self) -> Terms:
        """What it says of the columns of its pooled programme."""
        return [(c, cost) for c, cost in enumerate(self.costs) if cost]

    def is_in(self, pooled: Linear) -> bool:
        """Whether it speaks of the columns of a pooled programme, in their order."""
        return list(self.names) == pooled.names and len(self.costs) == len(pooled.names)

    @property
    def sound(self) -> bool:
        """Whether it is as it was made, and its plan no better than it says that any is."""
        anew = self.linear.value(self.plan.tolist())
        slack = ROUNDING * max(1.0, abs(self.worth))
        sealed = self.seal == _seal(self.linear, self.costs, self.worth, self.bound)
        return sealed and abs(anew - self.worth) <= slack and self.worth <= self.bound + slack

    def row(self, linear: Linear, pooled: Linear) -> tuple[Terms, float] | None:
        """The row for the pooled programme of today, and its upper side; None where it says nothing of today's plans.

        `linear` is today's programme.
        """
        number = same_as(pooled.names, self.names)
        if not self.sound or not allows_no_more(linear, self.linear):
            return None
        terms = [(c, self.costs[old]) for c, old in enumerate(number) if old is not None and self.costs[old]]
        return None if None in number else (terms, self.bound - self.linear.constant)


def _seal(linear: Linear, costs: Sequence[float], worth: float, bound: float) -> int:
    """Of the figures to the last bit: Python's own hash takes -1 and -2 for the same."""
    return zlib.crc32(np.array([*linear.objective, linear.constant, *costs, worth, bound], dtype=float).tobytes())


def allows_no_more(new: Linear, old: Linear) -> bool:
    """Whether every point of one programme is one of another, where columns that it lacks are 0."""
    number = same_as(new.names, old.names)
    if None in number:
        return False
    there = [c for c in number if c is not None]
    lacking = set(range(len(old.names))) - set(there)
    if any(old.lower[c] > 0.0 or old.upper[c] < 0.0 for c in lacking):
        return False
    within = all(
        old.lower[o] <= new.lower[c] and new.upper[c] <= old.upper[o] and new.integer[c] >= old.integer[o]
        for c, o in enumerate(there)
    )
    return within and _rows_hold(new, old, {o: c for c, o in enumerate(there)})


def _rows_hold(new: Linear, old: Linear, number: dict[int, int]) -> bool:
    """Whether each row of the old programme is one of the new, or one that bounds alone keep."""
    if (new.rows, new.row_lower, new.row_upper) == (old.rows, old.row_lower, old.row_upper):
        return all(o == c for o, c in number.items())
    rows, named = _Rows(new), dict(zip(new.row_names, range(len(new.rows)), strict=False))
    for name, terms, low, high in zip(old.row_names, old.rows, old.row_lower, old.row_upper, strict=True):
        left = [(number[c], v) for c, v in terms if c in number]
        r = named.get(name, -1)
        same = r >= 0 and (new.rows[r], new.row_lower[r], new.row_upper[r]) == (left, low, high)
        if not same and not _kept_by_bounds(new, left, low, high) and not rows.have(left, low, high):
            return False
    return True


class _Rows:
    """The rows of a programme, to be found whatever they are called: for the few that are not found by their name."""

    def __init__(self, linear: Linear) -> None:
        self.linear = linear

    def have(self, terms: Terms, low: float, high: float) -> bool:
        """Whether there is a row with these terms in any order, and these sides."""
        return (frozenset(terms), low, high) in self._all

    @cached_property
    def _all(self) -> set[tuple[frozenset[tuple[int, float]], float, float]]:
        linear = self.linear
        return set(zip(map(frozenset, linear.rows), linear.row_lower, linear.row_upper, strict=True))


def _kept_by_bounds(linear: Linear, terms: Terms, low: float, high: float) -> bool:
    least = math.fsum(v * (linear.lower[c] if v > 0.0 else linear.upper[c]) for c, v in terms)
    most = math.fsum(v * (linear.upper[c] if v > 0.0 else linear.lower[c]) for c, v in terms)
    return low <= least and most <= high
