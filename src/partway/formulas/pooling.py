"""Means of groups that hold few observations: each is drawn towards what is known of more."""

from __future__ import annotations

import math
from collections.abc import Sequence

from partway.formulas.checked import above_zero, at_least_zero, finite
from partway.formulas.weighing import coverage

COUNTS_FOR = (
    4.0  # observations that what is known of more groups counts for, as of a kind of one's own (catalogue/seen)
)


def drawn_to(mean: float, weight: float, known: float, counts_for: float = COUNTS_FOR) -> float:
    """The mean of a group, drawn towards what is known of more: (weight x mean + k x known) / (weight + k).

    Takes: mean, of the group; weight, how many observations it holds; known, the mean it is drawn to; counts_for, k,
    the observations that `known` counts for.
    Gives: the unit of the means.
    Valid: weight of at least 0, counts_for above 0. It is the posterior mean of a normal mean whose prior has the
    variance of one observation divided by k.
    Source: Gelman et al., Bayesian Data Analysis, 3rd edition, section 2.5 (normal mean, known variance), from memory.

    >>> drawn_to(20.0, 4.0, 10.0), drawn_to(20.0, 0.0, 10.0)
    (15.0, 10.0)
    """
    at_least_zero(weight, "number of observations")
    above_zero(counts_for, "observations that the known mean counts for")
    finite(known, "known mean")
    return (weight * mean + counts_for * known) / (weight + counts_for) if weight else known


def next_one(mean: float, apart: Sequence[float]) -> tuple[float, float] | None:
    """Where the next observation of a group lies in 8 of 10 cases, by how far off each was from what the others said.

    mean +- 0.64 t s, s^2 = sum of squares / n. The misses have in them how observations scatter and how badly the mean
    is known. 0.64 is what a normal curve's 80 % takes of its 95.45 % (1.2816 / 2).

    Takes: mean, of the group, foretold; apart, each observation less what was foretold of it without it, of all groups.
    Gives: low and high, in the unit of the mean; None for fewer than two observations.
    Valid: observations that scatter alike in all groups.
    Source: cross-validation by leaving one out (Stone, Journal of the Royal Statistical Society B 36 (1974) 111-147,
    from memory); t: JCGM 100:2008 (GUM), annex G.4; the 0.64: normal table.

    >>> [round(end, 2) for end in next_one(10.0, (-1.0, 1.0, 0.0, -1.0, 1.0)) or ()]
    [8.36, 11.64]
    """
    finite(mean, "mean")
    if len(apart) < 2:
        return None
    half = 0.6408 * coverage(float(len(apart) - 1)) * math.sqrt(math.fsum(one * one for one in apart) / len(apart))
    return mean - half, mean + half
