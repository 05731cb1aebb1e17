"""Formulas of resale against scipy, an independent implementation; and by hand where that is enough."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from partway.errors import BadQuantity
from partway.formulas.resale.demand import (
    BuyerRate,
    after_offers,
    chance_within,
    nth_sells,
    patience,
    rate_for,
    wait_within,
)
from partway.formulas.resale.ratios import after_ratios, prior_ratio, range_of
from partway.formulas.statistics.normal_gamma import student_quantile


@pytest.mark.parametrize(("shape", "days", "within"), [(4.0, 90.0, 60.0), (10.0, 123.0, 7.0), (2.5, 30.0, 400.0)])
def test_the_wait_is_lomax(shape: float, days: float, within: float) -> None:
    lomax = stats.lomax(shape, scale=days)
    assert chance_within(BuyerRate(shape, days), within) == pytest.approx(lomax.cdf(within), rel=1e-12)
    area, _ = integrate.quad(lambda t: t * lomax.pdf(t), 0.0, within)
    assert wait_within(BuyerRate(shape, days), within) == pytest.approx(area / lomax.cdf(within), rel=1e-9)


@pytest.mark.parametrize(("chance", "days"), [(0.1, 30.0), (0.5, 30.0), (0.9, 12.0)])
def test_a_constant_rate_gives_back_chance_and_days(chance: float, days: float) -> None:
    stands = patience(chance, days)
    wait = stats.expon(scale=-stands / math.log1p(-chance))
    area, _ = integrate.quad(lambda t: t * wait.pdf(t), 0.0, stands)
    assert wait.cdf(stands) == pytest.approx(chance)
    assert area / chance == pytest.approx(days, rel=1e-8)
    assert chance_within(rate_for(chance, stands, 4.0), stands) == pytest.approx(chance)


def test_with_no_prior_the_rate_is_sales_over_all_days() -> None:
    """Maximum likelihood of exponential waits of which some were cut off: events / total time on test. Found here by
    maximizing the likelihood, a density for what sold and a survival for what did not.
    """
    sold, unsold = np.array([3.0, 11.0, 40.0, 6.0]), np.array([60.0, 60.0, 21.0])

    def unlikely(rate: float) -> float:
        wait = stats.expon(scale=1.0 / rate)
        return -float(wait.logpdf(sold).sum() + wait.logsf(unsold).sum())

    best = optimize.minimize_scalar(unlikely, bounds=(1e-4, 1.0), method="bounded", options={"xatol": 1e-10}).x
    days = float(sold.sum() + unsold.sum())
    assert after_offers(BuyerRate(1e-12, 1e-12), len(sold), days).mean == pytest.approx(best, rel=1e-5)


@pytest.mark.parametrize("chance", [0.05, 0.4, 0.9, 0.98])
def test_one_more_sells_by_what_all_sell_on_average(chance: float) -> None:
    """E[min(N, n)] by scipy's Poisson distribution, N for n alike root n times those for one; no rise along the row."""

    def sold(n: int) -> float:
        buyers = stats.poisson(-math.log(1.0 - chance) * math.sqrt(n))
        some = np.arange(200)
        return float((buyers.pmf(some) * np.minimum(some, n)).sum())

    row = [nth_sells(n, chance) for n in range(1, 9)]
    assert row == sorted(row, reverse=True) and row[0] == pytest.approx(chance)
    for n in range(1, 9):
        assert row[n - 1] == pytest.approx(min(sold(k) - sold(k - 1) for k in range(1, n + 1)), rel=1e-6)
    assert nth_sells(5, 1.0) == 1.0 and nth_sells(1, 0.0) == 0.0


def test_the_posterior_of_a_log_ratio_is_bayes_by_quadrature() -> None:
    """Mean of the mean, by integrating prior times likelihood over mean and variance on a grid."""
    prior, seen = prior_ratio(1.1, 0.35, 2.0, 4.0), [0.7, 0.9, 1.3, 0.6]
    logs = np.log(seen)
    mean = np.linspace(-3.0, 3.0, 1201)[:, None]
    variance = np.geomspace(1e-3, 8.0, 1200)[None, :]
    dens = stats.norm.logpdf(mean, prior.mean, np.sqrt(variance / prior.weight))
    dens = dens + stats.invgamma.logpdf(variance, prior.shape, scale=prior.scale)
    dens = dens + sum(stats.norm.logpdf(log, mean, np.sqrt(variance)) for log in logs)
    weight = np.exp(dens - dens.max()) * np.gradient(variance[0])[None, :]
    after = after_ratios(prior, seen)
    assert (mean * weight).sum() / weight.sum() == pytest.approx(after.mean, rel=1e-4)
    assert (variance * weight).sum() / weight.sum() == pytest.approx(after.variance, rel=1e-3)


def test_the_range_is_student_t() -> None:
    after = after_ratios(prior_ratio(1.0, 0.4, 3.0, 3.0), [0.7, 1.2, 0.9])
    scale = math.sqrt(after.scale * (after.weight + 1.0) / (after.shape * after.weight))
    low, high = stats.t(2.0 * after.shape, after.mean, scale).interval(0.8)
    assert [math.log(end) for end in range_of(after, 0.8)] == pytest.approx([low, high], rel=1e-3)


@pytest.mark.parametrize("freedom", [3.0, 4.0, 6.0, 15.0, 200.0])
@pytest.mark.parametrize("p", [0.5, 0.6, 0.9, 0.95])
def test_quantiles_of_t(p: float, freedom: float) -> None:
    assert student_quantile(p, freedom) == pytest.approx(stats.t.ppf(p, freedom), rel=5e-4, abs=1e-12)


def test_the_order_of_sales_makes_no_difference() -> None:
    prior = prior_ratio(1.0, 0.3, 2.0, 4.0)
    assert after_ratios(prior, [0.7, 1.4, 0.9]) == after_ratios(prior, [0.9, 0.7, 1.4])


def test_what_is_no_chance_and_no_price_is_refused() -> None:
    for wrong in (lambda: patience(1.2, 30.0), lambda: rate_for(0.5, 0.0, 4.0), lambda: nth_sells(0, 0.5)):
        with pytest.raises(BadQuantity):
            wrong()
    with pytest.raises(BadQuantity):
        after_ratios(prior_ratio(1.0, 0.3, 2.0, 4.0), [0.0])
