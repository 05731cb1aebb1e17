"""Calibration over simulated users: 80 of 100 next masses, minutes and prices lie in the ranges that were learned.

The users' truths are drawn here, by numpy, with how far estimates are off and finds lie apart as the estimates say in
general (half and half, spreads that differ from kind to kind); prices wander as in the years of scrap prices that the
prior stands for, faster and slower ones among them.
"""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest

from partway.formulas.statistics.normal_gamma import next_range
from partway.ledger.book import Unread
from partway.things.estimate import Estimate
from partway.valuing.learned.estimates import ENDS, as_known, without_slips
from partway.valuing.learned.log import Log
from partway.valuing.learned.prices import Moves, log_range, price_today

USERS = 1500


@pytest.mark.parametrize("seen", [0, 1, 3, 10, 40])
@pytest.mark.parametrize("low_to_high", [1.5, 2.5, 5.0])
def test_the_next_mass_or_time_lies_in_its_range_as_often_as_said(seen: int, low_to_high: float) -> None:
    """Each user's kind: the estimate off by a normal error, single ones apart by a spread of their own around half of
    what the range says. Minutes are learned by the same function.
    """
    rng = np.random.default_rng(100 * seen + int(10 * low_to_high))
    wide = math.log(low_to_high) / (2.0 * ENDS)
    estimate = Estimate(1.0, math.sqrt(low_to_high), low_to_high)
    inside = 0
    for _ in range(USERS):
        apart = wide * math.sqrt(0.5) * math.exp(rng.normal(0.0, 0.25))
        middle = math.log(estimate.likely) + rng.normal(0.0, apart)
        values = rng.normal(middle, apart, seen)
        known, _ = without_slips(as_known(estimate), list(values))
        low, high = next_range(known, 0.8)
        inside += int(np.sum((low <= (more := rng.normal(middle, apart, 8))) & (more <= high)))
    assert 0.77 <= inside / USERS / 8 <= 0.83, inside / USERS / 8


def test_an_estimate_that_is_far_off_gives_way_to_ten_weighings() -> None:
    """Off by a half, up or down, of what is said to be known to 20 %: the range is that of what was weighed."""
    rng = np.random.default_rng(5)
    estimate, inside = Estimate(0.8, 1.0, 1.25), 0
    for _ in range(USERS):
        middle = rng.choice((-1.0, 1.0)) * math.log(1.5)
        known, _ = without_slips(as_known(estimate), list(rng.normal(middle, 0.1, 10)))
        low, high = next_range(known, 0.8)
        inside += int(np.sum((low <= (more := rng.normal(middle, 0.1, 8))) & (more <= high)))
    assert 0.77 <= inside / USERS / 8 <= 0.95, inside / USERS / 8


def quoted(number: int, buyer: str, day: int, price: float) -> Unread:
    said = {"buyer": buyer, "grade": "copper-2", "from_mg": 0, "unit": "kg", "price": f"{price:.6f}"}
    on = np.datetime64("2026-01-01") + np.timedelta64(day, "D")
    return Unread(f"{number:06}", "quoted", (f"{number:06}", ""), "", {**said, "on": str(on)})


@pytest.mark.parametrize("months", [0, 3, 12])
def test_a_price_lies_in_its_range_after_days_as_often_as_said(months: int) -> None:
    """Each user asks two yards at odd times; then the price some days later is compared with the range."""
    rng = np.random.default_rng(months)
    inside = Counter[bool]()
    for _ in range(400):
        daily = 0.06 / math.sqrt(30.0) * math.exp(rng.normal(0.0, 0.3))
        events = []
        for buyer in ("harbour", "ridge"):
            days = np.cumsum(rng.integers(3, 40, 2 * months))
            walk = math.log(9.0) + np.cumsum(rng.normal(0.0, daily, 1 + 40 * 2 * months))
            events += [(buyer, int(day), math.exp(walk[int(day)])) for day in days]
        moves = Moves(Log(0, tuple(quoted(n, *one) for n, one in enumerate(events)), frozenset()))
        for later in (7, 30, 90):
            off = log_range(moves, "copper-2", later)
            for step in rng.normal(0.0, daily * math.sqrt(later), 6):
                inside[bool(abs(step) <= off)] += 1
    share = inside[True] / sum(inside.values())
    assert 0.77 <= share <= 0.83, share


def test_a_price_is_counted_on_as_it_was_heard_and_is_less_sure_each_day() -> None:
    moves = Moves(Log(0, (), frozenset()))
    assert price_today(moves, "copper-2", 9.05, 0) == Estimate.exact(9.05)
    widths = []
    for days in (1, 7, 30, 200, 4000):
        price = price_today(moves, "copper-2", 9.05, days)
        assert price.mean == 9.05 and price.likely == 9.05
        widths.append(price.high - price.low)
    assert widths == sorted(widths) and widths[0] > 0.0
    paid = price_today(moves, "tyres", -0.3, 60)
    assert paid.low < -0.3 < paid.high < 0.0 and paid.mean == -0.3


def test_what_wanders_faster_has_wider_ranges() -> None:
    def heard(by: float) -> Moves:
        prices = [9.0 * math.exp(by * (n % 2)) for n in range(30)]
        return Moves(Log(0, tuple(quoted(n, "harbour", 10 * n, p) for n, p in enumerate(prices)), frozenset()))

    calm, wild, prior = (
        log_range(one, "copper-2", 30) for one in (heard(0.005), heard(0.2), Moves(Log(0, (), frozenset())))
    )
    assert calm < prior < wild
    assert log_range(heard(0.2), "brass-yellow", 30) > prior  # grades tell of each other
    assert log_range(heard(0.2), "brass-yellow", 30) < wild
