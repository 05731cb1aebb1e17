"""What every grade is worth as a function of one price, with the downgrades and keep values that depend on it."""

from __future__ import annotations

from collections.abc import Mapping

from partway.planning.depth.piecewise import Piecewise, constant, highest
from partway.planning.instance.market import Market, Offer, kept_worth
from partway.things.defaults import KEPT_SHARE

ByBuyer = Mapping[str, Piecewise]


class Repriced:
    """The market with the net prices of some grades given as functions, one for each buyer, of the price that moves."""

    def __init__(self, market: Market, moved: Mapping[str, ByBuyer]) -> None:
        self.market, self.moved = market, moved
        self._best: dict[str, Piecewise | None] = {}
        self._kept: dict[str, Piecewise] = {}

    def _own(self, grade: str) -> Piecewise | None:
        if grade in self.moved:
            return highest(list(self.moved[grade].values()))
        offers = self.market.offers.get(grade)
        return None if offers is None else constant(offers[0].price)

    def best(self, grade: str) -> Piecewise | None:
        """Best net price of a grade or anything it may be sold as; None where nobody quotes any."""
        if grade not in self._best:
            lower = [self.best(g) for g in self.market.downgrades(grade)]
            options = [option for option in (self._own(grade), *lower) if option is not None]
            self._best[grade] = highest(options) if options else None
        return self._best[grade]

    def kept(self, grade: str) -> Piecewise:
        """Keep value of a kilogram."""
        if grade not in self._kept:
            ways = [self._kept_for(offer) for offer in self.market.offers.get(grade, ())]
            here = highest(ways) if ways else constant(-self.market.room_price(grade))
            self._kept[grade] = highest([here, *(self.kept(g) for g in self.market.downgrades(grade))])
        return self._kept[grade]

    def _kept_for(self, offer: Offer) -> Piecewise:
        """Kept for one buyer: a little less than the price, but a charge in full, and what keeping costs."""
        factor = self.market.keep_factor
        if offer.grade not in self.moved:
            return constant(kept_worth(offer.price, factor) - self.market.room_for(offer))
        price = self.moved[offer.grade][offer.buyer]
        return kept_curve(price, factor) - self.market.room_for(offer)

    def value(self, grade: str) -> Piecewise:
        """The better of selling a kilogram at the best net price and keeping it."""
        best = self.best(grade)
        return self.kept(grade) if best is None else highest([best, self.kept(grade)])


def kept_curve(price: Piecewise, keep_factor: float | None) -> Piecewise:
    """`market.kept_worth` of a price that moves."""
    return price * keep_factor if keep_factor is not None else -highest([-price, price * -KEPT_SHARE])
