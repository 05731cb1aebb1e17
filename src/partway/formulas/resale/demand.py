"""How soon somebody comes who buys a thing on offer: a constant rate that is learned, also from what did not sell.

Buyers of one part come at a constant rate r, so the wait for the next one is exponential and the number that come in
T days is Poisson with mean r T; where n alike are on offer, r sqrt(n). What is not known of r is a gamma distribution
with shape a and b days (mean a / b): of s sales within d days on offer (those with n on offer counted sqrt(n) times) it
becomes gamma(a + s, b + d), whether or not the last offer sold. Source of the model: Gelman et al., "Bayesian Data
Analysis", 3rd ed., 2013, ch. 2.6 (exponential and Poisson with a gamma prior), from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from partway.formulas.checked import above_zero, at_least_zero, within

LEAST, MOST = 0.01, 0.98  # chances between which a rate can be told from "never" and "at once"


@dataclass(frozen=True, slots=True)
class BuyerRate:
    """What is known of the buyers a day: a gamma distribution of that shape and so many days."""

    shape: float
    days: float

    @property
    def mean(self) -> float:
        """Buyers a day, on average."""
        return self.shape / self.days


def patience(chance: float, days: float) -> float:
    """Days after which a thing that sells with this chance, and if so after so many days on average, is given up.

    At a constant rate r the chance is 1 - exp(-r T) and the mean wait of those that sell is 1/r - T (1 - c) / c; both
    together say T: T = days / (1/x - (1 - c) / c) with x = -ln(1 - c).

    Takes: chance, that it sells at all, 0 to 1; days, that it takes to sell.
    Gives: days.
    Valid: days above 0; a chance outside 0.01 to 0.98 is taken as that end.
    Source: mean of a truncated exponential distribution, integrated by parts.

    >>> round(patience(0.5, 30.0), 1)
    67.8
    """
    within(chance, 0.0, 1.0, "chance")
    above_zero(days, "days to sell")
    c = min(max(chance, LEAST), MOST)
    x = -math.log1p(-c)
    return days / (1.0 / x - (1.0 - c) / c)


def rate_for(chance: float, days: float, shape: float) -> BuyerRate:
    """The rate of which a chance to sell within so many days is expected: b = T / ((1 - c)^(-1/a) - 1).

    Takes: chance, 0 to 1; days, T, within which it holds; shape, a, how many sales the guess counts for.
    Gives: a BuyerRate of that shape, buyers a day.
    Valid: days and shape above 0; a chance outside 0.01 to 0.98 is taken as that end.
    Source: the wait under a gamma-distributed rate is Lomax (Pareto II): P(wait > T) = (b / (b + T))^a; solved for b.

    >>> rate = rate_for(0.5, 60.0, 4.0)
    >>> round(chance_within(rate, 60.0), 6)
    0.5
    """
    within(chance, 0.0, 1.0, "chance")
    above_zero(days, "days")
    above_zero(shape, "shape")
    c = min(max(chance, LEAST), MOST)
    return BuyerRate(shape, days / math.expm1(-math.log1p(-c) / shape))


def after_offers(rate: BuyerRate, sales: float, days: float) -> BuyerRate:
    """What is known of a rate after so many sales within so many days on offer, what did not sell counted in.

    Takes: rate, what was known; sales, how many sold; days on offer, those with n alike sqrt(n) times.
    Gives: a BuyerRate, buyers a day.
    Valid: sales and days of at least 0.
    Source: conjugate update of a gamma prior; with none its mean is sales / days, the maximum likelihood of
    exponential waits that are censored ("total time on test").

    >>> after_offers(BuyerRate(4.0, 100.0), 6, 23.0)
    BuyerRate(shape=10.0, days=123.0)
    """
    at_least_zero(sales, "sales")
    at_least_zero(days, "days on offer")
    return BuyerRate(rate.shape + sales, rate.days + days)


def chance_within(rate: BuyerRate, days: float) -> float:
    """The chance that a buyer comes within so many days: 1 - (b / (b + T))^a.

    Takes: rate, what is known of the buyers a day; days, T.
    Gives: a chance, 0 to 1.
    Valid: days of at least 0.
    Source: Lomax distribution, as in rate_for.

    >>> round(chance_within(BuyerRate(10.0, 123.0), 60.0), 3)
    0.981
    """
    at_least_zero(days, "days")
    return -math.expm1(-rate.shape * math.log1p(days / rate.days))


def wait_within(rate: BuyerRate, days: float) -> float:
    """Mean days until a buyer comes, of the times that one comes within so many days.

    With S(T) = (b / (b + T))^a: (integral of S from 0 to T - T S(T)) / (1 - S(T)).

    Takes: rate, of a shape above 1; days, T.
    Gives: days.
    Valid: days above 0, a shape above 1.
    Source: mean of a truncated Lomax distribution, integrated by parts.

    >>> round(wait_within(BuyerRate(10.0, 123.0), 60.0), 1)
    12.4
    """
    above_zero(days, "days")
    above_zero(rate.shape - 1.0, "shape less 1")
    left = math.exp(-rate.shape * math.log1p(days / rate.days))
    area = rate.days / (rate.shape - 1.0) * (1.0 - left * (1.0 + days / rate.days))
    return (area - days * left) / (1.0 - left)


def nth_sells(place: int, chance: float) -> float:
    """The chance that one more of several alike on offer sells, where one alone sells with a known chance.

    Several alike find more buyers than one, though not as many more: n of them x sqrt(n) on average, x = -ln(1 - c).
    With S(n) = sum for j = 1 ... n of P(Poisson(x sqrt(n)) >= j), what n of them are expected to sell, the n-th sells
    S(n) - S(n - 1); never more than the one before it.

    Takes: place, n, of the one more in the row of all that are on offer; chance, c, of one alone, 0 to 1.
    Gives: a chance, 0 to 1.
    Valid: n of at least 1.
    Source: the root is a choice of ours between one row of buyers for all (no more than for one) and a row for each
    (n times as many); `benchmarks/year.py` has what it earned.

    >>> [round(nth_sells(n, 0.5), 3) for n in (1, 2, 3)]
    [0.5, 0.382, 0.275]
    """
    within(chance, 0.0, 1.0, "chance")
    above_zero(place, "place in the row")
    if chance == 1.0:
        return 1.0
    mean = -math.log1p(-chance)
    sold = [_sold(n, mean * math.sqrt(n)) for n in range(place + 1)]
    return max(0.0, min(after - before for before, after in pairwise(sold)))


def _sold(things: int, mean: float) -> float:
    """Things sold on average, of so many, to a Poisson number of buyers."""
    left, term, sold = 1.0, math.exp(-mean), 0.0
    for j in range(things):
        left -= term  # P(buyers > j)
        term *= mean / (j + 1)
        sold += max(0.0, left)
    return sold
