"""What several groups say together, and each one of them in the light of the others.

Source: DerSimonian and Laird, Meta-analysis in clinical trials, Controlled Clinical Trials 7, 1986, 177-188; Gelman and
others, Bayesian Data Analysis, 3rd ed., section 5.5 (eight schools). Both from memory; the eight schools are a test.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero


def pooled_mean(means: Sequence[float], errors: Sequence[float], apart: float = 0.0) -> tuple[float, float]:
    """Mean of all groups and its standard error, each group weighted with 1 / (error^2 + apart^2).

    Takes: means, of each group; errors, the standard error of each; apart, how far the groups' true means lie apart
        (tau), all in one unit.
    Gives: two numbers in that unit.
    Valid: errors above 0, apart at least 0, one error for each mean.
    Source: Bayesian Data Analysis, 3rd ed., equation 5.20.

    >>> pooled_mean([1.0, 3.0], [2.0, 2.0])[0]
    2.0
    """
    weights = _weights(means, errors, apart)
    total = math.fsum(weights)
    return math.fsum(w * y for w, y in zip(weights, means, strict=True)) / total, 1.0 / math.sqrt(total)


def apart_squared(means: Sequence[float], errors: Sequence[float]) -> float:
    """How far the groups' true means lie apart, squared: DerSimonian and Laird's tau^2, 0 where nothing speaks for it.

    tau^2 = max(0, (Q - (n - 1)) / (sum w - sum w^2 / sum w)), with w = 1 / error^2 and Q = sum w (y - mean)^2.

    Takes: means and errors, as `pooled_mean`.
    Gives: the unit squared.
    Valid: as `pooled_mean`; one group lies apart from nothing: 0.
    Source: DerSimonian and Laird, 1986, equation 8.

    >>> apart_squared([1.0, 5.0], [1.0, 1.0]), apart_squared([1.0], [1.0])
    (7.0, 0.0)
    """
    weights = _weights(means, errors, 0.0)
    if len(means) == 1:
        return 0.0
    total = math.fsum(weights)
    mean, _ = pooled_mean(means, errors)
    spread = math.fsum(w * (y - mean) ** 2 for w, y in zip(weights, means, strict=True))
    return max(0.0, (spread - (len(means) - 1)) / (total - math.fsum(w * w for w in weights) / total))


def drawn_together(means: Sequence[float], errors: Sequence[float], apart: float) -> tuple[float, ...]:
    """Each group's mean in the light of all: between its own and the mean of all, the nearer to it the less it knows.

    theta = (y / error^2 + m / apart^2) / (1 / error^2 + 1 / apart^2); all are m where apart is 0.

    Takes: means, errors and apart, as `pooled_mean`.
    Gives: means in the same unit.
    Valid: as `pooled_mean`.
    Source: Bayesian Data Analysis, 3rd ed., equation 5.17.

    >>> drawn_together([0.0, 4.0], [1.0, 1.0], 1.0)
    (1.0, 3.0)
    """
    middle, _ = pooled_mean(means, errors, apart)
    between = apart * apart
    return tuple((y * between + middle * e * e) / (between + e * e) for y, e in zip(means, errors, strict=True))


def _weights(means: Sequence[float], errors: Sequence[float], apart: float) -> list[float]:
    if len(means) != len(errors) or not means:
        raise BadQuantity(f"{len(means)} means and {len(errors)} errors", "as many, and at least one", "groups")
    at_least_zero(apart, "apart")
    for error in errors:
        above_zero(error, "error")
    return [1.0 / (error * error + apart * apart) for error in errors]
