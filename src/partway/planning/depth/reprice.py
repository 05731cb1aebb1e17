"""What every grade is worth as a function of one price, with the downgrades and keep values that depend on it."""

from __future__ import annotations

from collections.abc import Mapping

from partway.planning.depth.piecewise import Piecewise, constant, highest
from partway.planning.instance.market import Market


class Repriced:
    """The market with the best net price of some grades given as functions of the price that moves."""

    def __init__(self, market: Market, moved: Mapping[str, Piecewise]) -> None:
        self.market, self.moved = market, moved
        self._best: dict[str, Piecewise | None] = {}
        self._kept: dict[str, Piecewise] = {}

    def _own(self, grade: str) -> Piecewise | None:
        if grade in self.moved:
            return self.moved[grade]
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
            own = self._own(grade)
            here = constant(0.0) if own is None else own * self.market.keep_factor
            self._kept[grade] = highest([here, *(self.kept(g) for g in self.market.downgrades(grade))])
        return self._kept[grade]

    def value(self, grade: str) -> Piecewise:
        """The better of selling a kilogram at the best net price and keeping it."""
        best = self.best(grade)
        return self.kept(grade) if best is None else highest([best, self.kept(grade)])
