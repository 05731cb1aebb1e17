"""Whether two scenarios differ in prices and the wage alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace

from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Quote, Scenario

EVER = dt.date.min
NO_PRICE = Estimate.exact(0.0)
Terms = Mapping[str, tuple[Quote, ...]]  # by grade: all that is said with a price, for each size of lot


def differ_in_prices(one: Scenario, other: Scenario) -> bool:
    """Whether nothing but prices, the days they were heard, and the wage is different, if anything is.

    A buyer may have ceased to quote a grade, or begun to. Notes are words about the rest.
    """
    return _unpriced(one) == _unpriced(other) and all(
        a.quotes == b.quotes or _alike(_terms(a), _terms(b)) for a, b in zip(one.buyers, other.buyers, strict=True)
    )


def _unpriced(scenario: Scenario) -> Scenario:
    buyers = tuple(replace(buyer, quotes=()) for buyer in scenario.buyers)
    return replace(scenario, buyers=buyers, hours=replace(scenario.hours, wage=0.0), notes=())


def _terms(buyer: Buyer) -> Terms:
    found: dict[str, tuple[Quote, ...]] = {}
    for quote in buyer.quotes:
        found[quote.grade] = (*found.get(quote.grade, ()), replace(quote, price=NO_PRICE, on=EVER, ends=None))
    return found


def _alike(one: Terms, other: Terms) -> bool:
    return all(one[grade] == other[grade] for grade in one.keys() & other.keys())
