"""How long to hold a lot: the economic lot of an even flow, and the price worth waiting for when prices wander.

Both explain a wait; the plan does not go by them (docs/model.md, "What is kept"): it counts the room there is.
"""

from __future__ import annotations

import math

from partway.formulas.checked import above_zero, at_least_zero


def economic_lot(per_year: float, trip: float, each: float, rate: float) -> float:
    """The lot that costs least by the year where the same comes in week by week: q = sqrt(2 D S / (C i)).

    Larger lots share a trip among more, smaller ones tie up less money for less time; at q both cost the same.

    Takes: per_year (D), what comes in, units a year; trip (S), what one trip costs, currency units; each (C), what a
    unit is worth, currency units; rate (i), what money or room tied up costs, share of the worth a year.
    Gives: units.
    Valid: all above 0; an even flow, and trips that cost the same whatever rides.
    Source: F. W. Harris, "How many parts to make at once", Factory, The Magazine of Management 10(2), 1913, 135-136,
    152, whose example is the one below (by check 32 of the reference).

    >>> round(economic_lot(12 * 1000, 2.0, 0.10, 0.10), 2)
    2190.89
    """
    above_zero(per_year, "inflow a year")
    above_zero(trip, "cost of a trip")
    above_zero(each, "worth of a unit")
    above_zero(rate, "cost of holding, share a year")
    return math.sqrt(2.0 * per_year * trip / (each * rate))


def root_of_waiting(discount: float, payout: float, volatility: float) -> float:
    """The root above 1 of s^2 b (b - 1) / 2 + (r - d) b - r = 0, which says how much waiting is worth.

    Takes: discount (r), what money costs, share a year; payout (d), by how much less than that a price is expected to
    rise, share a year; volatility (s) of the price, share for a year (its square adds up).
    Gives: b, above 1, no unit.
    Valid: all above 0; a price that wanders by shares, up and down alike (geometric Brownian motion).
    Source: A. K. Dixit and R. S. Pindyck, "Investment under Uncertainty", Princeton 1994, chapter 5, section 2.

    >>> round(root_of_waiting(0.04, 0.04, 0.2), 6)
    2.0
    """
    above_zero(discount, "discount rate, share a year")
    above_zero(payout, "payout rate, share a year")
    above_zero(volatility, "volatility, share for a year")
    square = volatility**2
    middle = 0.5 - (discount - payout) / square
    return middle + math.sqrt(middle**2 + 2.0 * discount / square)


def hold_threshold(trip: float, discount: float, payout: float, volatility: float, storage: float = 0.0) -> float:
    """What a lot has to be worth before selling beats waiting: b / (b - 1) x (I - k / r), at least 0.

    What storing costs for ever, k / r, is saved by selling, so that it comes off the trip.

    Takes: trip (I), what it costs to sell the lot, currency units; discount (r), payout (d) and volatility (s) as
    `root_of_waiting`; storage (k), what storing the lot costs, currency units a year.
    Gives: currency units; 0 where it is sold at any price.
    Valid: trip and storage at least 0; the rest above 0.
    Source: Dixit and Pindyck 1994, chapter 5, with the storage cost as a payout that stops on selling (own derivation).

    >>> round(hold_threshold(1.0, 0.04, 0.04, 0.2), 6)
    2.0
    >>> hold_threshold(20.0, 0.05, 0.05, 0.2, storage=1.0)
    0.0
    """
    at_least_zero(trip, "cost of a trip")
    at_least_zero(storage, "cost of storing, a year")
    root = root_of_waiting(discount, payout, volatility)
    return root / (root - 1.0) * max(0.0, trip - storage / discount)
