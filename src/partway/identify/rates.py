"""What a kilogram of each grade fetches today: quoted, or the catalogue's ratio to what is quoted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median
from typing import Literal

from partway.planning.instance.market import Market, left_of_quote
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Scenario

How = Literal["quoted", "as a lower grade", "ratio", "unquoted"]
COPPER, NO_2 = "copper", "copper-2"


@dataclass(frozen=True, slots=True)
class Rate:
    """A price per kg; `how` it is known. An unquoted grade nobody has a ratio for counts as nothing, and says so."""

    price: Estimate
    how: How


@dataclass(frozen=True, slots=True)
class Rates:
    """Prices of all grades. `currency` is None where nothing is quoted: everything is in kg of No. 2 copper then.

    `copper` is what a kg of No. 2 copper is taken to fetch.
    """

    by_grade: Mapping[str, Rate]
    currency: str | None
    copper: float

    def mean(self, grade: str) -> float:
        """The price that decisions use, per kg."""
        return self.by_grade[grade].price.mean


def rates_of(grades: Mapping[str, Grade], scenario: Scenario | None) -> Rates:
    """Prices by quotes first, then by ratio within a grade's own anchor, since anchors drift apart; then to copper."""
    market = None if scenario is None else Market.of(scenario)
    quoted = {} if market is None or scenario is None else _left(market, scenario)
    net = {} if market is None else {g: offers[0].price for g, offers in market.offers.items()}
    levels = _levels(grades, net)
    level = levels.get(COPPER, median(levels.values()) if levels else 1.0)
    by_grade = {
        name: _rate(grade, grades, quoted.get(name), net, levels.get(grade.anchor or "", level))
        for name, grade in grades.items()
    }
    currency = scenario.currency if scenario is not None and levels else None
    return Rates(by_grade, currency, net.get(NO_2, level))


def _left(market: Market, scenario: Scenario) -> dict[str, Estimate]:
    """What the best quote of each grade leaves, the buyer's share of the ticket off."""
    buyers = {buyer.id: buyer for buyer in scenario.buyers}
    return {grade: left_of_quote(buyers[of[0].buyer], of[0].quote) for grade, of in market.offers.items()}


def _levels(grades: Mapping[str, Grade], net: Mapping[str, float]) -> dict[str, float]:
    """Per anchor, the price of No. 2 copper that its quotes would go with: the median of price over ratio."""
    found: dict[str, list[float]] = {}
    for name, price in net.items():
        ratio = grades[name].ratio
        if ratio is not None and ratio.mean > 0.0 and price > 0.0:
            found.setdefault(grades[name].anchor or "", []).append(price / ratio.mean)
    return {anchor: median(prices) for anchor, prices in found.items()}


def _rate(
    grade: Grade, grades: Mapping[str, Grade], quoted: Estimate | None, net: Mapping[str, float], level: float
) -> Rate:
    below = max((net[lower] for lower in lower_grades(grades, (grade.id,)) if lower in net), default=None)
    if quoted is not None:
        postage = quoted.mean - net[grade.id]
        price = Estimate(quoted.low - postage, quoted.likely - postage, quoted.high - postage)
        if below is not None and below > price.mean:
            return Rate(Estimate.exact(below), "as a lower grade")
        return Rate(price, "quoted")
    if grade.ratio is not None:
        return Rate(grade.ratio.scaled(level), "ratio")
    if below is not None:
        return Rate(Estimate.exact(below), "as a lower grade")
    return Rate(Estimate.exact(0.0), "unquoted")


def lower_grades(grades: Mapping[str, Grade], of: tuple[str, ...]) -> frozenset[str]:
    """The grades and all they may also be sold as, hazards never lost on the way."""
    seen: set[str] = set()
    todo = list(of)
    while todo:
        name = todo.pop()
        if name in seen:
            continue
        seen.add(name)
        hazards = set(grades[name].hazards)
        todo += [low for low in grades[name].downgrades if low in grades and hazards <= set(grades[low].hazards)]
    return frozenset(seen)
