"""Which buyers nobody beats for one grade."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

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
