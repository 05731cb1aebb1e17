"""A normal quantity learned from a few observations: conjugate update of its mean and variance together.

The prior says a mean, how far single ones lie apart, and how many observations each of the two is worth. Source of all:
Gelman and others, Bayesian Data Analysis, 3rd ed., section 3.3; Hoff, A First Course in Bayesian Statistical Methods,
2009, section 5.3 (from memory; the figures of its example are a test).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero
from partway.formulas.statistics.beta import beta_quantile

NORMAL_80 = 1.2815515655446004  # a normal curve holds 80 % within so many standard deviations (normal table)


@dataclass(frozen=True, slots=True)
class NormalKnown:
    """What is known of a normal quantity: `mean` worth `k` observations, `variance` of single ones worth `n`."""

    mean: float
    variance: float
    k: float
    n: float


def updated(prior: NormalKnown, values: Sequence[float], weights: Sequence[float] = ()) -> NormalKnown:
    """What is known after some values: the normal model with a normal-inverse-chi-squared prior.

    mean = (k m + sum w y) / (k + sum w);
    n' s'^2 = n s^2 + sum w (y - y_mean)^2 + k W / (k + W) (y_mean - m)^2, with W = sum w and n' = n + W.

    Takes: prior, what was known; values, observations in the same unit; weights, how many observations each counts
        for, 1 where none are given.
    Gives: what is known now.
    Valid: k, n and variance above 0; weights above 0, one for each value.
    Source: Bayesian Data Analysis, 3rd ed., section 3.3.

    >>> now = updated(NormalKnown(1.9, 0.01, 1.0, 1.0), [1.64, 1.70, 1.72, 1.74, 1.82, 1.82, 1.82, 1.90, 2.08])
    >>> round(now.mean, 3), round(now.variance, 6)
    (1.814, 0.015324)
    """
    above_zero(prior.variance, "variance")
    above_zero(prior.k, "k")
    above_zero(prior.n, "n")
    if not values:
        return prior
    if weights and len(weights) != len(values):
        raise BadQuantity(f"{len(weights)} weights", f"{len(values)}, one for each value", "weights")
    of = list(weights) or [1.0] * len(values)
    for weight in of:
        above_zero(weight, "weight")
    total = math.fsum(of)
    seen = math.fsum(w * y for w, y in zip(of, values, strict=True)) / total
    apart = math.fsum(w * (y - seen) ** 2 for w, y in zip(of, values, strict=True))
    moved = prior.k * total / (prior.k + total) * (seen - prior.mean) ** 2
    k, n = prior.k + total, prior.n + total
    return NormalKnown((prior.k * prior.mean + total * seen) / k, (prior.n * prior.variance + apart + moved) / n, k, n)


def next_scale(known: NormalKnown) -> float:
    """Scale of the next one: s sqrt(1 + 1/k), of a Student t with n degrees of freedom around the mean.

    Takes: known, what is known of the quantity.
    Gives: the same unit.
    Valid: k above 0.
    Source: Bayesian Data Analysis, 3rd ed., section 3.3.

    >>> next_scale(NormalKnown(0.0, 4.0, 1.0, 3.0)) == math.sqrt(8.0)
    True
    """
    above_zero(known.k, "k")
    return math.sqrt(known.variance * (1.0 + 1.0 / known.k))


def next_range(known: NormalKnown, share: float) -> tuple[float, float]:
    """The range in which the next one lies in `share` of cases: mean -+ t s sqrt(1 + 1/k).

    Takes: known, what is known of the quantity; share, a probability.
    Gives: low and high, the same unit.
    Valid: share between 0 and 1.
    Source: Bayesian Data Analysis, 3rd ed., section 3.3.

    >>> low, high = next_range(NormalKnown(0.0, 0.5, 1.0, 1e6), 0.8)
    >>> round(high, 4)
    1.2816
    """
    off = student_quantile((1.0 + share) / 2.0, known.n) * next_scale(known)
    return known.mean - off, known.mean + off


def mean_range(known: NormalKnown, share: float) -> tuple[float, float]:
    """The range in which the mean lies in `share` of cases: mean -+ t s / sqrt(k).

    Takes: known, what is known of the quantity; share, a probability.
    Gives: low and high, the same unit.
    Valid: share between 0 and 1.
    Source: Bayesian Data Analysis, 3rd ed., section 3.3.

    >>> low, high = mean_range(NormalKnown(1.814, 0.015324, 10.0, 10.0), 0.95)
    >>> round(low, 4), round(high, 4)
    (1.7268, 1.9012)
    """
    off = student_quantile((1.0 + share) / 2.0, known.n) * math.sqrt(known.variance / known.k)
    return known.mean - off, known.mean + off


@lru_cache(maxsize=1024)
def student_quantile(share: float, freedom: float) -> float:
    """Where a Student t lies below in `share` of cases.

    With x from a Beta(freedom/2, 1/2): t = sqrt(freedom (1 - x) / x).

    Takes: share, a probability of at least a half; freedom, degrees of freedom.
    Gives: a number of scales.
    Valid: share from 0.5 to below 1, freedom above 0.
    Source: DLMF 8.17 with Student's density; the values of JCGM 100:2008, table G.2, are a test.

    >>> round(student_quantile(0.97725, 10.0), 2), round(student_quantile(0.9, 4.0), 4)
    (2.28, 1.5332)
    """
    at_least_zero(share - 0.5, "share over a half")
    above_zero(1.0 - share, "1 less share")
    above_zero(freedom, "degrees of freedom")
    if freedom > 1e5:  # Cornish-Fisher to the first order: DLMF has no simpler inverse
        z = _normal_quantile(share)
        return z + (z**3 + z) / (4.0 * freedom)
    if share == 0.5:
        return 0.0
    x = beta_quantile(2.0 * (1.0 - share), freedom / 2.0, 0.5)
    return math.sqrt(freedom * (1.0 - x) / x)


def _normal_quantile(share: float) -> float:
    from statistics import NormalDist

    return NormalDist().inv_cdf(share)
