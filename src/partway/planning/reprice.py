"""What every grade would be worth if the best quote for one of them were another."""

from __future__ import annotations

import numpy as np

from partway.planning.depth import Draws
from partway.planning.instance import Instance
from partway.planning.market import Market


class Repriced:
    """The market with the best net price of `grade` moved to each of `prices`, shape (n,).

    Worth and keep value follow wherever downgrades lead, as they would if the price were typed in.
    """

    def __init__(self, market: Market, grade: str, prices: Draws) -> None:
        self.market, self.grade, self.prices = market, grade, prices
        self._best: dict[str, Draws] = {}
        self._kept: dict[str, Draws] = {}

    def _own(self, grade: str) -> Draws | None:
        if grade == self.grade:
            return self.prices
        offers = self.market.offers.get(grade)
        return None if offers is None else np.full(len(self.prices), offers[0].price)

    def best(self, grade: str) -> Draws:
        """Best net price of a grade or anything it may be sold as; minus infinity where nobody quotes any."""
        if grade not in self._best:
            own = self._own(grade)
            options = [] if own is None else [own]
            options += [self.best(lower) for lower in self.market.downgrades(grade)]
            self._best[grade] = np.maximum.reduce([np.full(len(self.prices), -np.inf), *options])
        return self._best[grade]

    def kept(self, grade: str) -> Draws:
        """Keep value of a kilogram."""
        if grade not in self._kept:
            own = self._own(grade)
            options = [np.zeros(len(self.prices)) if own is None else self.market.keep_factor * own]
            options += [self.kept(lower) for lower in self.market.downgrades(grade)]
            self._kept[grade] = np.maximum.reduce(options)
        return self._kept[grade]


def repriced(instance: Instance, grade: str, prices: Draws) -> tuple[Draws, Draws]:
    """Worth and keep value per kg of every grade of an instance, each of shape (grades, n)."""
    market = Repriced(instance.market, grade, prices)
    kept = np.array([market.kept(g) for g in instance.grades])
    best = np.array([market.best(g) for g in instance.grades])
    return np.maximum(best, kept), kept
