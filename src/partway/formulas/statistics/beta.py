"""A chance learned from trials that went well or not: the beta distribution and its incomplete integral.

Source: Gelman and others, Bayesian Data Analysis, 3rd ed., section 2.4 (from memory); the integral by the continued
fraction of the NIST Digital Library of Mathematical Functions, 8.17.22, evaluated by Lentz's method (3.10.15).
"""

from __future__ import annotations

import math
from functools import lru_cache

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, within

STEPS = 400  # of the continued fraction at most; it needs about the root of the greater parameter
TINY = 1e-300


def beta_mean(well: float, badly: float) -> float:
    """Mean of a chance that is Beta(well, badly): well / (well + badly).

    Takes: well and badly, the prior's trials of each sort and one's own together.
    Gives: a chance, 0 to 1.
    Valid: both above 0.
    Source: Bayesian Data Analysis, 3rd ed., section 2.4 (from memory).

    >>> beta_mean(2.0 + 5.0, 2.0 + 1.0)
    0.7
    """
    above_zero(well, "well")
    above_zero(badly, "badly")
    return well / (well + badly)


def beta_below(x: float, well: float, badly: float) -> float:
    """Chance that a Beta(well, badly) is at most x: the regularized incomplete beta function.

    Takes: x, a chance; well and badly, the two parameters.
    Gives: a probability.
    Valid: x from 0 to 1, parameters above 0.
    Source: DLMF 8.17.22 and 8.17.4.

    >>> round(beta_below(0.5, 2.0, 2.0), 12), round(beta_below(0.25, 1.0, 1.0), 12)
    (0.5, 0.25)
    """
    within(x, 0.0, 1.0, "x")
    above_zero(well, "well")
    above_zero(badly, "badly")
    if x in (0.0, 1.0):
        return x
    if x > (well + 1.0) / (well + badly + 2.0):  # where the fraction converges slowly, from the other end
        return 1.0 - beta_below(1.0 - x, badly, well)
    log = math.lgamma(well + badly) - math.lgamma(well) - math.lgamma(badly)
    front = math.exp(log + well * math.log(x) + badly * math.log1p(-x)) / well
    return front / _fraction(x, well, badly)


@lru_cache(maxsize=4096)
def beta_quantile(share: float, well: float, badly: float) -> float:
    """The chance that a Beta(well, badly) stays below in `share` of cases, by halving.

    Takes: share, a probability; well and badly, the two parameters.
    Gives: a chance, to 1e-12.
    Valid: share within 0 to 1, parameters above 0.
    Source: the inverse of `beta_below`.

    >>> round(beta_quantile(0.9, 1.0, 1.0), 9)
    0.9
    """
    within(share, 0.0, 1.0, "share")
    low, high = 0.0, 1.0
    while high - low > 1e-12 * max(low, 1e-3):
        middle = (low + high) / 2.0
        low, high = (middle, high) if beta_below(middle, well, badly) < share else (low, middle)
    return (low + high) / 2.0


def _fraction(x: float, a: float, b: float) -> float:
    """The continued fraction 1 + d1/(1 + d2/(1 + ...)) of DLMF 8.17.22, by Lentz's method."""
    value, above, below = 1.0, 1.0, 0.0
    for step in range(1, STEPS):
        half = step // 2
        if step % 2:
            term = -(a + half) * (a + b + half) * x / ((a + 2 * half) * (a + 2 * half + 1.0))
        else:
            term = half * (b - half) * x / ((a + 2 * half - 1.0) * (a + 2 * half))
        below = 1.0 / ((1.0 + term * below) or TINY)
        above = (1.0 + term / above) or TINY
        value *= above * below
        if abs(above * below - 1.0) < 1e-15:
            return value
    raise BadQuantity(f"{a:g} and {b:g}", "parameters for which the integral converges", "beta distribution")
