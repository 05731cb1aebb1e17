"""Which buyers nobody beats for one grade, and which words are missing to say so: what to ask each buyer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from partway.things.ages import NOTICE_DAYS
from partway.valuing.lots import Lots
from partway.valuing.price_book import SAME, PriceBook, Standing


def best_of(prices: PriceBook, stands: Mapping[str, Standing], kg: float) -> tuple[dict[str, int], bool]:
    """By buyer, the place of the price that no other beats for a lot of `kg` posted alone; ties are all best.

    Where the lot is too small for any price, or there is no lot, the smallest lots are compared: False.
    """
    reached = list(_offers(prices, stands, kg)) if kg > 0 else []
    offers = reached or list(_smallest(prices, stands))
    top = max((net for _, _, net in offers), default=0.0)
    best: dict[str, int] = {}
    for buyer, place, net in offers:
        if net > top - SAME:
            best.setdefault(buyer, place)
    return best, bool(reached)


def _offers(prices: PriceBook, stands: Mapping[str, Standing], kg: float) -> Iterable[tuple[str, int, float]]:
    """Buyer, place among its prices and net price per kg of those that the lot is large enough for."""
    for buyer, stand in stands.items():
        for place, price in enumerate(stand.prices):
            lot = prices.for_lot(buyer, price, kg)
            if lot.reached(kg):
                yield buyer, place, lot.net_per_kg


def _smallest(prices: PriceBook, stands: Mapping[str, Standing]) -> Iterable[tuple[str, int, float]]:
    """The same for the smallest lot that each buyer takes; one that takes any, in full parcels."""
    for buyer, stand in stands.items():
        if stand.prices:
            yield buyer, 0, prices.for_lot(buyer, stand.prices[0], 0.0).net_per_kg


@dataclass(frozen=True, slots=True)
class PriceToAsk:
    """A grade in stock to ask one buyer about; `days` since its last word on it, None where it never said one.

    `at_stake` is what is in stock at the best net price anybody named, as a sum that is paid or charged; None where
    nobody named one.
    """

    grade: str
    kg: float
    days: int | None
    at_stake: float | None


def asks_by_buyer(prices: PriceBook, stock: Mapping[str, float]) -> dict[str, tuple[PriceToAsk, ...]]:
    """For each buyer, what to ask it, that which most money hangs on first."""
    worth = {grade: _at_stake(prices, grade, kg) for grade, kg in stock.items() if grade in prices.grades}
    return {buyer: tuple(sorted(_asks(prices, buyer, stock, worth), key=_rank)) for buyer in prices.buyers}


def _asks(
    prices: PriceBook, buyer: str, stock: Mapping[str, float], worth: Mapping[str, float | None]
) -> Iterable[PriceToAsk]:
    """Prices that are old, and grades it has no word on: of the families it deals in, of all where it never spoke."""
    deals_in = {prices.grades[grade].family for of, grade in prices.quotes if of == buyer and grade in prices.grades}
    for grade, at_stake in worth.items():
        stand = prices.standing(buyer, grade)
        old = stand.state == "quoted" and stand.days is not None and stand.days > NOTICE_DAYS
        missing = stand.state == "unquoted" and (not deals_in or prices.grades[grade].family in deals_in)
        if old or missing:
            yield PriceToAsk(grade, stock[grade], stand.days, at_stake)


def _at_stake(prices: PriceBook, grade: str, kg: float) -> float | None:
    best = Lots(prices, grade, kg, kg).best
    return None if best is None else abs(kg * best.net_per_kg)


def _rank(ask: PriceToAsk) -> tuple[bool, float, str]:
    return ask.at_stake is None, -(ask.at_stake or 0.0), ask.grade
