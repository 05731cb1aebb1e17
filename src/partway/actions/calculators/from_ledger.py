"""Prices and wage of the ledger, as they would be typed into a calculator."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from partway.planning.instance.market import Market
from partway.quantities import format_price_in
from partway.things.buyers import buyer_name
from partway.things.scenario import Scenario


@dataclass(frozen=True, slots=True)
class KnownPrices:
    """A price per unit with its currency, such as "CAD 4.10 /lb", and whose it is: "No. 2 copper, harbour yard"."""

    text: str
    of: str


def price_known(scenario: Scenario, grades: Iterable[str]) -> KnownPrices | None:
    """The best price of the first of some grades that anybody quotes; None where nobody quotes any."""
    offers = Market.of(scenario).offers
    best = next((offers[grade][0] for grade in grades if grade in offers), None)
    if best is None:
        return None
    buyer = next(b for b in scenario.buyers if b.id == best.buyer)
    plain = format_price_in(best.price, scenario.unit)
    return KnownPrices(
        f"{scenario.currency} {plain}", f"{scenario.grades[best.grade].name}, {buyer_name(buyer.id, buyer.name)}"
    )


def wage_known(scenario: Scenario) -> str:
    """What an hour is worth, as typed; empty where none is set."""
    return f"{scenario.hours.wage:g}" if scenario.hours.wage else ""
