"""Means of groups that hold few observations: each is drawn towards what is known of more."""

from __future__ import annotations

import math
from collections.abc import Sequence

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, finite

Z80 = 1.2815515655  # a normal curve holds 80 % within so many standard deviations (normal table)
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


def eight_in_ten(freedom: float) -> float:
    """Student's t, two-sided 80 %: z + (z^3 + z) / (4 f) + (5 z^5 + 16 z^3 + 3 z) / (96 f^2), z = 1.2816.

    Takes: freedom, f, degrees of freedom.
    Gives: a factor on a standard deviation.
    Valid: at least 1; off by 13 % at 1, by 2 % at 2, by less than 1 % beyond.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5, two terms, from memory; its table 26.10
    has 1.372 for 10.

    >>> round(eight_in_ten(10.0), 3)
    1.372
    """
    if math.isnan(freedom) or freedom < 1.0:
        raise BadQuantity(f"{freedom:g}", "at least 1", "degrees of freedom")
    first, second = (Z80**3 + Z80) / 4.0, (5.0 * Z80**5 + 16.0 * Z80**3 + 3.0 * Z80) / 96.0
    return Z80 + first / freedom + second / freedom**2


def next_one(mean: float, apart: Sequence[float]) -> tuple[float, float] | None:
    """Where the next observation of a group lies in 8 of 10 cases, by how far off each was from what the others said.

    mean +- t s, s^2 = sum of squares / n. The misses have in them how observations scatter and how badly the mean is
    known.

    Takes: mean, of the group, foretold; apart, each observation less what was foretold of it without it, of all groups.
    Gives: low and high, in the unit of the mean; None for fewer than two observations.
    Valid: observations that scatter alike in all groups.
    Source: cross-validation by leaving one out (Stone, Journal of the Royal Statistical Society B 36 (1974) 111-147,
    from memory).

    >>> [round(end, 2) for end in next_one(10.0, (-1.0, 1.0, 0.0, -1.0, 1.0)) or ()]
    [8.63, 11.37]
    """
    finite(mean, "mean")
    if len(apart) < 2:
        return None
    half = eight_in_ten(float(len(apart) - 1)) * math.sqrt(math.fsum(one * one for one in apart) / len(apart))
    return mean - half, mean + half
