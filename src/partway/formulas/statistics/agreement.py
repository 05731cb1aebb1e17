"""What a few readings tell: how far apart two scales may honestly be, whether one reads lighter than the other, and
what groups of few observations have in common.

Errors that are known by their limits alone are taken as rectangular and independent (JCGM 100:2008 (GUM), clause
4.3.7). What the sum of several goes beyond is worked out exactly, not by a normal curve: where one scale's tolerance
outweighs all else, a normal curve is off by more than the rate that is stated.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from operator import mul

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, finite, within
from partway.formulas.statistics.normal_gamma import student_quantile
from partway.formulas.weighing import coverage

STEPS = 10**6  # whole steps that all widths together are cut into, so that the sums below are exact
PARTS_MOST = 10  # each more doubles the work
COUNTS_FOR = 4.0  # observations that what is known of more groups counts for, as in catalogue/seen
ALIKE = 3  # so many rectangular parts stand for more alike ones: their sum is normal to the eye


@dataclass(frozen=True, slots=True)
class Agreement:
    """Differences of paired readings: their mean with the range it is known to, and the limits of a single pair.

    `low` and `high` are infinite for a single pair, of which nobody knows how far the next one is off.
    """

    count: int
    mean: float
    sd: float
    low: float
    high: float
    limits: tuple[float, float]


def agreement(differences: Sequence[float]) -> Agreement:
    """How two ways of measuring agree: mean and standard deviation of the differences, mean +- t s / sqrt(n), and the
    limits mean +- 2 s within which 95 of 100 pairs differ.

    Takes: differences, one for each pair, all in one unit; logarithms of ratios are differences, too.
    Gives: the same unit.
    Valid: at least one difference; differences that scatter alike whatever is measured.
    Source: Bland and Altman, Lancet 1986; i: 307-310 (limits with 2 sd); the range of the mean: GUM, annex G.4.

    >>> found = agreement([0.1, -0.1, 0.3, 0.1])
    >>> round(found.mean, 2), round(found.sd, 3)
    (0.1, 0.163)
    """
    if not differences:
        raise BadQuantity("no pair", "at least one", "differences")
    for one in differences:
        finite(one, "difference")
    n = len(differences)
    mean = math.fsum(differences) / n
    if n == 1:
        return Agreement(1, mean, math.inf, -math.inf, math.inf, (-math.inf, math.inf))
    sd = math.sqrt(math.fsum((one - mean) ** 2 for one in differences) / (n - 1))
    half = coverage(float(n - 1)) * sd / math.sqrt(n)
    return Agreement(n, mean, sd, mean - half, mean + half, (mean - 2.0 * sd, mean + 2.0 * sd))


def share_of_each(share: float, count: int) -> float:
    """The rate of false alarms of each of several independent checks that gives the stated one together.

    1 - (1 - share)^(1 / count)

    Takes: share, the rate together (0.05 for 5 %); count, how many checks.
    Gives: a rate.
    Valid: share above 0 and below 1; count at least 1.
    Source: Sidak, Journal of the American Statistical Association 62 (1967) 626-633, from memory.

    >>> round(share_of_each(0.05, 5), 5)
    0.01021
    """
    within(share, 1e-9, 1.0 - 1e-9, "rate of false alarms")
    above_zero(float(count), "number of checks")
    return -math.expm1(math.log1p(-share) / count)


def parts_for(half: float, times: int) -> tuple[float, ...]:
    """The rectangular parts that stand for several independent ones alike: themselves, or three of the same variance.

    Takes: half, half the width of each; times, how many there are.
    Gives: half widths, in the unit of `half`.
    Valid: half of at least 0; a few or many times, none for 0.
    Source: variances add (GUM, clause 5.1.2); the sum of three rectangles is close to normal, by experience.

    >>> parts_for(1.0, 2), [round(part, 3) for part in parts_for(1.0, 12)]
    ((1.0, 1.0), [2.0, 2.0, 2.0])
    """
    if times <= ALIKE:
        return (half,) * times
    return (half * math.sqrt(times / ALIKE),) * ALIKE


@lru_cache(maxsize=512)
def gone_beyond(halves: tuple[float, ...], share: float) -> float:
    """What the sum of independent rectangular errors, each within plus or minus its half width, goes beyond upwards in
    that share of cases: x with P(sum > x) = share.

    P(sum > x) = 1 / (n! product of 2 a) x sum over all signs of (product of the signs) x max(0, signs . a - x)^n

    Takes: halves, half the width of each part, in one unit; share, above 0 and below a half.
    Gives: the same unit.
    Valid: 1 to 10 parts, some of them above 0.
    Source: the volume of a cube's corner cut off by a plane, by inclusion and exclusion (the Irwin-Hall distribution
    with unequal widths), worked out in whole numbers.

    >>> round(gone_beyond((1.0,), 0.05), 4), round(gone_beyond((1.0, 1.0), 0.02), 4)
    (0.9, 1.6)
    """
    within(share, 1e-9, 0.5, "share of cases")
    known = [half for half in halves if half > 0.0]
    if not 1 <= len(known) <= PARTS_MOST:
        raise BadQuantity(f"{len(known)} parts above 0", f"1 to {PARTS_MOST}", "half widths")
    step = math.fsum(known) / STEPS
    whole = [max(1, round(half / step)) for half in known]
    signs = product((1, -1), repeat=len(whole))
    corners = [(math.prod(each), sum(map(mul, each, whole))) for each in signs]
    wanted = share * math.factorial(len(whole)) * math.prod(2 * a for a in whole)
    low, high = 0, sum(whole)
    while high - low > 1:
        middle = (low + high) // 2
        beyond = sum(sign * (at - middle) ** len(whole) for sign, at in corners if at > middle)
        low, high = (middle, high) if beyond > wanted else (low, middle)
    return high * step


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
    half = student_quantile(0.9, float(len(apart) - 1)) * math.sqrt(math.fsum(one * one for one in apart) / len(apart))
    return mean - half, mean + half
