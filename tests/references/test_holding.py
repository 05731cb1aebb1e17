"""When to sell what is held, against the figures that are printed in the books it is from."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from partway.errors import BadQuantity
from partway.formulas.holding import economic_lot, hold_threshold, root_of_waiting

# Dixit and Pindyck, "Investment under Uncertainty", 1994, chapter 5: rho = delta = .04, sigma .2 and I = 1 unless said;
# the values of check 31 of the reference.
PRINTED = [
    (0.04, 0.04, 0.2, 2.0),
    (0.04, 0.04, 0.1, 1.42154),
    (0.04, 0.04, 0.3, 2.76309),
    (0.04, 0.08, 0.2, 1.39039),
    (0.04, 0.02, 0.2, 3.41421),
]


@pytest.mark.parametrize(("discount", "payout", "volatility", "threshold"), PRINTED)
def test_the_printed_thresholds(discount: float, payout: float, volatility: float, threshold: float) -> None:
    assert hold_threshold(1.0, discount, payout, volatility) == pytest.approx(threshold, abs=5e-6)


@pytest.mark.parametrize(("discount", "payout", "volatility", "_"), PRINTED)
def test_the_root_is_where_the_fundamental_quadratic_is_nothing(
    discount: float, payout: float, volatility: float, _: float
) -> None:
    def quadratic(b: float) -> float:
        return 0.5 * volatility * volatility * b * (b - 1.0) + (discount - payout) * b - discount

    # scipy's root finder knows no formula for it.
    assert root_of_waiting(discount, payout, volatility) == pytest.approx(brentq(quadratic, 1.0, 100.0), rel=1e-9)


@pytest.mark.parametrize(("trip", "storage"), [(20.0, 0.0), (20.0, 0.3), (50.0, 1.0)])
def test_the_threshold_is_the_best_one_there_is(trip: float, storage: float) -> None:
    # Waiting for worth v from worth 1 brings (v - trip + storage / r)(1 / v)^b (the discount until v is first reached,
    # Dixit and Pindyck, appendix to chapter 9, from memory), so the threshold is where that is largest.
    b = root_of_waiting(0.06, 0.05, 0.25)

    def lost(log_v: float) -> float:
        v = math.exp(log_v)
        return -(v - trip + storage / 0.06) * math.exp(-b * log_v)

    best = minimize_scalar(lost, bounds=(0.0, 10.0), method="bounded", options={"xatol": 1e-10})
    assert hold_threshold(trip, 0.06, 0.05, 0.25, storage) == pytest.approx(math.exp(best.x), rel=1e-4)


def test_a_lot_whose_storage_costs_more_than_its_trip_is_sold_at_any_price() -> None:
    assert hold_threshold(20.0, 0.05, 0.05, 0.2, storage=1.0) == 0.0  # 1.00 a year for ever is worth 20 at 5 %
    assert hold_threshold(20.0, 0.05, 0.05, 0.2, storage=0.99) > 0.0


def test_the_lot_of_harris() -> None:
    # Harris 1913, his example: 1000 a month, 2.00 a set-up, 0.10 each, 10 % a year for interest and wear (check 32).
    assert economic_lot(12 * 1000, 2.0, 0.10, 0.10) == pytest.approx(2190.89, abs=0.005)


def test_the_lot_costs_least_of_all() -> None:
    def cost(lot: float) -> float:
        """A year of it: trips, and half a lot tied up all the time."""
        return 730.0 / lot * 23.0 + 0.5 * lot * 0.24 * 0.3

    lots = np.geomspace(1.0, 10_000.0, 20_001)
    assert economic_lot(730.0, 23.0, 0.24, 0.3) == pytest.approx(lots[np.argmin([cost(q) for q in lots])], rel=1e-3)


@pytest.mark.parametrize("place", range(4))
def test_what_is_not_above_nothing_is_refused(place: int) -> None:
    said = [730.0, 23.0, 0.24, 0.3]
    said[place] = 0.0
    with pytest.raises(BadQuantity):
        economic_lot(*said)
