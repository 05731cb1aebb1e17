"""Shares learned from counts: the Dirichlet distribution.

Source: Gelman and others, Bayesian Data Analysis, 3rd ed., section 3.4 and appendix A (from memory; its example of a
poll is a test).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero


def shares(prior: Sequence[float], counts: Sequence[float]) -> tuple[float, ...]:
    """Mean shares after counts: (a_i + n_i) / sum(a + n).

    Takes: prior, what each share is worth in observations; counts, one's own of each.
    Gives: shares that add up to 1.
    Valid: prior above 0, counts at least 0, as many of one as of the other.
    Source: Bayesian Data Analysis, 3rd ed., section 3.4.

    >>> shares([2.0, 2.0], [6.0, 0.0])
    (0.8, 0.2)
    """
    known = _known(prior, counts)
    total = math.fsum(known)
    return tuple(one / total for one in known)


def share_spread(prior: Sequence[float], counts: Sequence[float], of: Sequence[float]) -> tuple[float, float]:
    """Mean and standard deviation of a sum of shares, sum c_i share_i, after counts.

    With A = sum of a: variance = (sum c^2 a / A - (sum c a / A)^2) / (A + 1).

    Takes: prior and counts, as `shares`; of, the factor c of each share, such as 1 and -1 for a difference.
    Gives: two numbers without unit.
    Valid: as `shares`.
    Source: Bayesian Data Analysis, 3rd ed., appendix A.

    >>> mean, sd = share_spread([1.0, 1.0, 1.0], [727, 583, 137], [1.0, -1.0, 0.0])
    >>> round(mean, 6), round(sd, 6)
    (0.09931, 0.024835)
    """
    known = _known(prior, counts)
    total = math.fsum(known)
    mean = math.fsum(c * a for c, a in zip(of, known, strict=True)) / total
    square = math.fsum(c * c * a for c, a in zip(of, known, strict=True)) / total
    return mean, math.sqrt(max(0.0, square - mean * mean) / (total + 1.0))


def _known(prior: Sequence[float], counts: Sequence[float]) -> list[float]:
    if len(prior) != len(counts) or not prior:
        raise BadQuantity(f"{len(prior)} shares and {len(counts)} counts", "as many, and at least one", "shares")
    for one in prior:
        above_zero(one, "prior")
    for one in counts:
        at_least_zero(one, "count")
    return [a + n for a, n in zip(prior, counts, strict=True)]
