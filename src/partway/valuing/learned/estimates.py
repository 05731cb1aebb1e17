"""One estimated quantity above 0 and what was seen of it: the range it has now, and what looks like a slip.

The logarithm is taken as normal, its mean and spread learned together (formulas.statistics.normal_gamma). Before
anything was seen `likely` is its middle, and `low` to `high` are the ends of the beta-PERT distribution that all
draws of partway are from: its 10 and 90 % points lie where a normal has them if the ends are ENDS standard deviations
off. Half of that spread is taken as not knowing the kind's mean, half as how far single finds lie apart: the estimate
of the mean is worth MEAN_WORTH observations, that of the spread SPREAD_WORTH (choices of ours, held to the cover of
the ranges over simulated users).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from partway.formulas.statistics.normal_gamma import (
    NORMAL_80,
    NormalKnown,
    next_range,
    next_scale,
    student_quantile,
    updated,
)
from partway.things.estimate import Estimate

MEAN_WORTH, SPREAD_WORTH = 1.0, 4.0  # observations
ENDS = 2.5  # standard deviations of the logarithm from likely to low and high
USUAL = 0.8  # share of cases within what is said to be usual
LEAST_SPREAD = 0.05  # of a logarithm: nothing is known closer than 5 %

RARE, ODD = 0.998, 0.98  # beyond what so many of all cases keep within: a slip, or one if a slip's factor explains it
# What a slip comes to: pounds for kilograms, grams for pounds or ounces, a digit too many, ounces for pounds.
FACTORS = ((2.2046, "lb and kg"), (10.0, "a digit"), (16.0, "oz and lb"), (28.35, "g and oz"), (35.27, "oz and kg"),
           (100.0, "two digits"), (453.6, "g and lb"), (1000.0, "g and kg"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class Slip:
    """An observation far from what is usual: `times` too great (or below 1, too small), and the `why` that explains it,
    empty where none does.
    """

    times: float
    why: str


def as_known(estimate: Estimate) -> NormalKnown:
    """What an estimate above 0 says of the logarithm before anything was seen."""
    wide = max(LEAST_SPREAD, math.log(estimate.high / estimate.low) / (2.0 * ENDS)) if estimate.low > 0.0 else 1.0
    single = wide * NORMAL_80 / student_quantile((1.0 + USUAL) / 2.0, SPREAD_WORTH)
    variance = single * single / (1.0 + 1.0 / MEAN_WORTH)
    return NormalKnown(math.log(estimate.likely), variance, MEAN_WORTH, SPREAD_WORTH)


def as_estimate(known: NormalKnown) -> Estimate:
    """The range whose draws have the 10 and 90 % points of what is known of the next one."""
    _, high = next_range(known, USUAL)
    off = (high - known.mean) * ENDS / NORMAL_80
    return Estimate(math.exp(known.mean - off), math.exp(known.mean), math.exp(known.mean + off))


def usual_range(known: NormalKnown) -> tuple[float, float]:
    """Between what 80 of 100 lie, in the unit of the quantity."""
    low, high = next_range(known, USUAL)
    return math.exp(low), math.exp(high)


def slip_in(known: NormalKnown, log: float) -> Slip | None:
    """Whether one observation looks like a slip by what is known; `log` is its logarithm."""
    off = abs(log - known.mean)
    if off <= next_range(known, ODD)[1] - known.mean:
        return None
    usual = next_range(known, USUAL)[1] - known.mean
    near = [(abs(off - math.log(factor)), why) for factor, why in FACTORS]
    close, why = min(near)
    explained = close <= usual
    if explained or off > next_range(known, RARE)[1] - known.mean:
        return Slip(math.exp(log - known.mean), why if explained else "")
    return None


def without_slips(prior: NormalKnown, logs: Sequence[float], weights: Sequence[float] = ()) -> tuple[NormalKnown, int]:
    """What is known after some observations, and how many of them were left out as slips.

    One or two are held against the estimate; from three on against the middle one of them, since the estimate may be
    wrong. Their order makes no difference.
    """
    against = _middle(prior, logs) if len(logs) > 2 else prior
    of = list(weights) or [1.0] * len(logs)
    kept = [(log, weight) for log, weight in sorted(zip(logs, of, strict=True)) if slip_in(against, log) is None]
    known = updated(prior, [log for log, _ in kept], [weight for _, weight in kept])
    return known, len(logs) - len(kept)


def _middle(prior: NormalKnown, logs: Sequence[float]) -> NormalKnown:
    """What the middle one and the usual distance from it say, as if learned from all: one slip moves neither."""
    middle = median(logs)
    spread = 1.4826 * median([abs(log - middle) for log in logs])  # of a normal: Hampel 1974, from memory
    n = len(logs)
    variance = (prior.n * prior.variance + (n - 1) * spread * spread) / (prior.n + n - 1)
    return NormalKnown(middle, variance, float(n), prior.n + n - 1)


def moved(known: NormalKnown, by: float) -> NormalKnown:
    """The same for a quantity `by` times as great."""
    return replace(known, mean=known.mean + math.log(by))


def mean_spread(known: NormalKnown) -> float:
    """How far the mean may be off: one standard deviation of the logarithm, next to that of a single one."""
    return next_scale(known) * math.sqrt(1.0 / (known.k + 1.0))
