"""Prices that nobody quoted, estimated from one that a person knows: that of No. 2 copper.

Yards pay other grades in proportion to it, by the ratios of the catalogue (from memory, wide ranges). An estimate
stands only where nobody has a word on a grade, and only at the curb: no plan, no bin and no ticket counts with it.
"""

from __future__ import annotations

import math
from dataclasses import replace

from partway.planning.instance.build import COPPER
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import left_of_quote
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Quote, Scenario

ESTIMATE = "estimated"  # id of the buyer that no one is: it holds the estimated prices
NAME = "estimated from one price"
UNDER = 1.0 - 1e-9  # so that of two prices that are the same the quoted one counts


def with_estimates(scenario: Scenario) -> Scenario:
    """The same with an estimated price for each grade that nobody quotes; the same where no price of copper was said.

    What can hurt is left out: whether anybody pays for it, or has to be paid, no ratio says.
    """
    if scenario.copper is None:
        return scenario
    most, quoted = _most(scenario), _quoted(scenario)
    quotes = tuple(
        Quote(grade.id, _at_most(grade.ratio.scaled(scenario.copper), most.get(grade.id)), scenario.on)
        for grade in scenario.grades.values()
        if grade.ratio is not None and not grade.hazards and grade.id not in quoted
    )
    if not quotes:
        return scenario
    guess = Buyer(ESTIMATE, "mail-in", NAME, quotes=quotes)
    return replace(scenario, buyers=(*scenario.buyers, guess))


def _quoted(scenario: Scenario) -> dict[str, float]:
    """The best price of each grade that somebody quotes, its share of the ticket off."""
    best: dict[str, float] = {}
    for buyer in scenario.buyers:
        for quote in buyer.quotes:
            best[quote.grade] = max(best.get(quote.grade, -math.inf), left_of_quote(buyer, quote).mean)
    return best


def _most(scenario: Scenario) -> dict[str, float]:
    """The least that is paid for anything better, of each grade that something quoted may be sold as: an estimate
    never outbids a word.
    """
    most: dict[str, float] = {}
    for grade, price in _quoted(scenario).items():
        waiting, seen = list(scenario.grades[grade].downgrades), {grade}
        while waiting:
            lower = waiting.pop()
            if lower in seen:
                continue
            seen.add(lower)
            most[lower] = min(most.get(lower, math.inf), max(0.0, price))
            waiting.extend(scenario.grades[lower].downgrades)
    return most


def _at_most(price: Estimate, most: float | None) -> Estimate:
    return price if most is None or price.mean < most else price.scaled(UNDER * most / price.mean)


def estimated_in(instance: Instance, group: int) -> tuple[str, ...]:
    """Ids of the grades that one group of finds may be sold as and whose best price is an estimate; parts priced in
    No. 2 copper hang on it, too.
    """
    nodes = instance.nodes_of[group]
    sold = {instance.grades[instance.grade_sales[s].grade]: None for n in nodes for s in instance.sales_of[n]}
    best = {grade: instance.market.best(grade) for grade in sold}
    found = [grade for grade, offer in best.items() if offer is not None and offer.buyer == ESTIMATE]
    copper = instance.market.best(COPPER) if COPPER in instance.scenario.grades else None
    by_copper = any(instance.part_sales[p].part.in_copper for n in nodes for p in instance.parts_of[n])
    if by_copper and copper is not None and copper.buyer == ESTIMATE and COPPER not in found:
        found.append(COPPER)
    return tuple(found)
