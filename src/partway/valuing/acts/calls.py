"""Whom to ask what: prices that are no longer sure, and grades that nobody has a word on.

Hearing a price is worth what choosing by it can gain (`formulas.statistics.news`): the lot that is there goes to who
pays best, and a price heard long ago may have moved as prices have moved so far (`valuing.learned.prices`). Where
nobody else takes the lot, hearing its price changes nothing and is worth nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from partway.formulas.statistics.news import worth_of_asking
from partway.formulas.statistics.normal_gamma import NORMAL_80
from partway.formulas.ticket_fees import left_of
from partway.planning.instance.build import COPPER
from partway.planning.instance.market import Market
from partway.things.scenario import Scenario
from partway.valuing.acts.act import Act
from partway.valuing.learned.prices import MOST_OFF, Moves, log_range
from partway.valuing.lots import AtBuyer, Lots
from partway.valuing.plans.again import CALL
from partway.valuing.plans.facts import FindOut
from partway.valuing.plans.find_out import CENT, if_taken
from partway.valuing.price_book import PriceBook

FEW = 2  # calls among the acts: one call often leads to the next


def calls(prices: PriceBook, stock: Mapping[str, float], moves: Moves, wage: float) -> tuple[Act, ...]:
    """The calls worth their minutes, the dearest first."""
    found = [one for grade, kg in stock.items() for one in _of_grade(prices, grade, kg, moves)]
    paying = sorted((one for one in found if one[0].net(wage) >= CENT), key=lambda one: -one[0].net(wage))
    return tuple(_act(one, days) for one, days in paying[:FEW])


def _of_grade(prices: PriceBook, grade: str, kg: float, moves: Moves) -> Iterator[tuple[FindOut, int]]:
    """Each buyer of a lot, asked anew what it pays."""
    taken = [at for at in Lots(prices, grade, kg, kg).at_buyers if at.value is not None]
    for at in taken:
        others = [other.net_per_kg for other in taken if other.buyer != at.buyer]
        if others and at.price.days > 0:
            worth = kg * worth_of_asking(at.net_per_kg, _spread(at, moves), max(others))
            yield FindOut("price", worth, CALL, buyer=at.buyer, grade=at.grade), at.price.days


def _spread(at: AtBuyer, moves: Moves) -> float:
    """One standard deviation of what a buyer pays per kg today."""
    return (
        abs(left_of(at.price.per_kg, float(at.ticket_share)))
        * min(MOST_OFF, log_range(moves, at.grade, at.price.days))
        / NORMAL_80
    )


def _act(one: FindOut, days: int | None) -> Act:
    return Act(
        "call" if one.sort == "price" else "takes",
        one.grade or "",
        of=one.grade or "",
        buyer=one.buyer or "",
        worth=one.worth,
        minutes=one.minutes,
        per_minute=one.worth / one.minutes,
        days=days,
    )


def takers(scenario: Scenario, market: Market, stock: Mapping[str, float]) -> tuple[Act, ...]:
    """The dearest grade that nobody quotes, asked of the yard that pays copper best, at its usual share of copper."""
    copper = market.best(COPPER) if COPPER in scenario.grades else None
    yards = [offer for offer in market.offers.get(COPPER, ()) if _kind(scenario, offer.buyer) == "yard"]
    if copper is None or not yards:
        return ()
    found = [
        FindOut("takes", worth, CALL, buyer=yards[0].buyer, grade=grade)
        for grade, kg in stock.items()
        if market.best(grade) is None
        if (worth := if_taken(scenario.grades[grade], copper.price, market.kept_price(grade), kg)) is not None
    ]
    paying = sorted((o for o in found if o.net(scenario.hours.wage) >= CENT), key=lambda o: -o.worth)
    return tuple(_act(one, None) for one in paying[:1])


def _kind(scenario: Scenario, buyer: str) -> str:
    return next((one.kind for one in scenario.buyers if one.id == buyer), "")
