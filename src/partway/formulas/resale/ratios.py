"""What a thing fetched against what was expected of it: ratios, log-normal, with mean and spread both learned.

The logarithm of got / expected is normal with an unknown mean and spread: normal-inverse-gamma, which n observations of
mean m and squares S around it turn into another one. Source: Murphy, "Conjugate Bayesian analysis of the Gaussian
distribution", 2007, sections 6.3 to 6.6, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from partway.formulas.checked import above_zero
from partway.formulas.statistics.normal_gamma import NormalKnown, next_range, updated


@dataclass(frozen=True, slots=True)
class LogRatio:
    """What is known of a logarithm: its mean, for how many observations that counts, and the shape and scale of the
    inverse gamma of its variance.
    """

    mean: float
    weight: float
    shape: float
    scale: float

    @property
    def variance(self) -> float:
        """The variance that is expected of one observation around the mean."""
        return self.scale / (self.shape - 1.0)

    @property
    def expected(self) -> float:
        """The mean of the ratio itself: exp(mean + variance / 2)."""
        return math.exp(self.mean + self.variance / 2.0)


def prior_ratio(expected: float, spread: float, weight: float, shape: float) -> LogRatio:
    """What is known of a ratio before anything was seen of it: its mean, and how far single ones lie around it.

    Takes: expected, the mean of the ratio; spread, the standard deviation of its logarithm; weight, for how many
    observations the mean counts; shape, of the inverse gamma, half of how many the spread counts for.
    Gives: a LogRatio, of a ratio without a unit.
    Valid: all above 0, a shape above 1.
    Source: moments of the log-normal and of the inverse gamma distribution.

    >>> round(prior_ratio(1.0, 0.4, 3.0, 3.0).expected, 9)
    1.0
    """
    for value, what in ((expected, "expected ratio"), (spread, "spread"), (weight, "weight"), (shape - 1.0, "shape")):
        above_zero(value, what)
    return LogRatio(math.log(expected) - spread**2 / 2.0, weight, shape, spread**2 * (shape - 1.0))


def after_ratios(known: LogRatio, ratios: Sequence[float]) -> LogRatio:
    """What is known of a ratio after some of it were seen, in whatever order.

    Takes: known, what was known before; ratios, each above 0.
    Gives: a LogRatio, of a ratio without a unit.
    Valid: ratios above 0.
    Source: normal-inverse-gamma update (Murphy 2007, 6.3, from memory).

    >>> round(after_ratios(prior_ratio(1.0, 0.4, 3.0, 3.0), [0.71] * 6).expected, 3)
    0.806
    """
    for ratio in ratios:
        above_zero(ratio, "ratio")
    now = updated(_known(known), sorted(math.log(ratio) for ratio in ratios))
    return LogRatio(now.mean, now.k, now.n / 2.0, now.n * now.variance / 2.0)


def range_of(known: LogRatio, share: float) -> tuple[float, float]:
    """The range in which the given share of the next ratios lies, as many below it as above.

    Takes: known, of the logarithm; share, such as 0.8.
    Gives: low and high, ratios without a unit.
    Valid: share above 0 and below 1.
    Source: the next observation is Student's t with 2 shape degrees of freedom (Murphy 2007, 6.6, from memory).

    >>> [round(end, 3) for end in range_of(prior_ratio(1.0, 0.4, 3.0, 3.0), 0.8)]
    [0.536, 1.589]
    """
    above_zero(share, "share")
    above_zero(1.0 - share, "1 less the share")
    low, high = next_range(_known(known), share)
    return math.exp(low), math.exp(high)


def _known(known: LogRatio) -> NormalKnown:
    """The same in the terms of the normal model: a variance worth twice the shape."""
    return NormalKnown(known.mean, known.scale / known.shape, known.weight, 2.0 * known.shape)
