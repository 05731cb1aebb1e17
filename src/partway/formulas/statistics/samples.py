"""Mean and spread of a few measured numbers, and whether groups of them differ."""

from __future__ import annotations

import math
from collections.abc import Sequence

from partway.errors import BadQuantity


def mean_and_spread(values: Sequence[float]) -> tuple[float, float]:
    """Mean and standard deviation, n - 1 below: in two passes, each exactly summed.

    Takes: values, in any one unit.
    Gives: both in that unit.
    Valid: at least two values.
    Source: the definitions; NIST Statistical Reference Datasets are a test.

    >>> mean_and_spread([1.0, 3.0])
    (2.0, 1.4142135623730951)
    """
    _enough(values)
    mean = math.fsum(values) / len(values)
    rest = math.fsum(value - mean for value in values) / len(values)  # what rounding the mean left
    apart = math.fsum((value - mean - rest) ** 2 for value in values)
    return mean + rest, math.sqrt(apart / (len(values) - 1))


def variance_ratio(groups: Sequence[Sequence[float]]) -> float:
    """F of a one-way analysis of variance: variance between groups over that within them.

    Takes: groups, values of each group, in any one unit.
    Gives: a number; large where the groups differ.
    Valid: at least two groups, more values than groups, and some spread within them.
    Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.3 (from memory).

    >>> variance_ratio([[1.0, 2.0, 3.0], [3.0, 4.0, 5.0]])
    6.0
    """
    every = [value for group in groups for value in group]
    if len(groups) < 2 or len(every) <= len(groups) or not all(groups):
        raise BadQuantity(f"{len(groups)} groups of {len(every)} values", "two groups or more, more values", "groups")
    start = every[0]  # differences are exact where values are close together
    near = [[value - start for value in group] for group in groups]
    middle = math.fsum(value for group in near for value in group) / len(every)
    means = [math.fsum(group) / len(group) for group in near]
    between = math.fsum(len(group) * (mean - middle) ** 2 for group, mean in zip(near, means, strict=True))
    inside = math.fsum((value - mean) ** 2 for group, mean in zip(near, means, strict=True) for value in group)
    if not inside > 0.0:
        raise BadQuantity("values all alike within their groups", "some spread within the groups", "groups")
    return (between / (len(groups) - 1)) / (inside / (len(every) - len(groups)))


def _enough(values: Sequence[float]) -> None:
    if len(values) < 2:
        raise BadQuantity(f"{len(values)} values", "two or more", "values")
