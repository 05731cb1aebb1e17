"""At what wage, and at what price, the answer to "open it?" turns over.

Every value is piecewise linear in the wage, and in the price of one grade. The programme is run on such functions
instead of numbers, which gives the margin of an operation over the best other option exactly, at every wage or price.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from partway.formulas.ticket_fees import quoted_for
from partway.planning.depth.dynamic import DepthTerms, Draws, Option, Programme, Values
from partway.planning.depth.piecewise import Piecewise, constant, highest, line, nearest
from partway.planning.depth.reprice import Repriced
from partway.planning.instance.build import COPPER
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import postage_per_kg


@dataclass(frozen=True, slots=True)
class PriceFlip:
    """The best net price per kg of one grade at which an answer changes; None if no price changes it.

    If the best buyer is a mail-in, both prices are net of `postage` per kg (that of the cheapest full parcel): the
    buyer quotes that much more. `share` is what the best buyer keeps back of its tickets, off both prices as well.
    """

    grade: str
    today: float
    flip: float | None
    postage: float = 0.0
    share: float = 0.0

    @property
    def quoted_today(self) -> float:
        """What the buyer quotes today."""
        return quoted_for(self.today + self.postage, self.share)

    @property
    def quoted_flip(self) -> float | None:
        """What it would have to quote."""
        return None if self.flip is None else quoted_for(self.flip + self.postage, self.share)


@dataclass(frozen=True)
class Curved(DepthTerms):
    """DepthTerms in which each amount is a function of one number."""

    def highest(self, amounts: Sequence[Draws]) -> Draws:
        """The best of some amounts at every argument."""
        best: Draws = _cells([highest([_piecewise(amount.flat[0]) for amount in amounts])])[0]
        return best


def _cells(values: Sequence[Piecewise]) -> Any:
    column = np.empty((len(values), 1), dtype=object)
    for i, value in enumerate(values):
        column[i, 0] = value
    return column


def _piecewise(value: Piecewise | float) -> Piecewise:
    return value if isinstance(value, Piecewise) else constant(float(value))


@dataclass(frozen=True)
class Curve:
    """The programme solved for every argument at once: `worth` of each node, and of each option."""

    programme: Programme
    terms: Curved

    @cached_property
    def worth(self) -> Any:
        """Of every node at its best."""
        worth = _cells([constant(0.0)] * len(self.programme.instance.nodes))
        for node in self.programme.order:
            options = [self.programme.option_value(o, node, self.terms, worth) for o in self.programme.options[node]]
            worth[node] = self.terms.highest(options)
        return worth

    def of(self, node: int) -> Piecewise:
        """Worth of one node."""
        return _piecewise(self.worth[node, 0])

    def margin(self, o: int) -> Piecewise:
        """What an operation is worth above the best other option of its piece."""
        node, this = self.programme.instance.openings[o].node, Option("open", o)
        others = [option for option in self.programme.options[node] if option != this]
        return self._option(this, node) - highest([self._option(option, node) for option in others])

    def _option(self, option: Option, node: int) -> Piecewise:
        return _piecewise(self.programme.option_value(option, node, self.terms, self.worth).flat[0])


@dataclass(frozen=True)
class Breakevens:
    """At what wage and price the answers about one find change, all else as in `terms`, whose best choices are
    `values`.
    """

    programme: Programme
    terms: DepthTerms
    values: Values

    @property
    def instance(self) -> Instance:
        """What the programme is of."""
        return self.programme.instance

    @cached_property
    def by_wage(self) -> Curve:
        """Everything as a function of the wage."""
        return Curve(self.programme, _curved(self.terms, wage=_cells([line(0.0, 1.0)])[0]))

    @cached_property
    def _by_price(self) -> dict[str, Curve]:
        return {}

    def by_price(self, grade: str) -> Curve:
        """Everything as a function of the best net price of one grade."""
        if grade not in self._by_price:
            market = Repriced(self.instance.market, {grade: self._together(grade)})
            grades, parts, income = self.instance.grades, self.instance.part_sales, self.terms.income
            copper = market.best(COPPER) if any(sale.part.in_copper for sale in parts) else None
            changed = _curved(
                self.terms,
                per_kg=_cells([market.value(g) if market.best(g) else constant(0.0) for g in grades]),
                kept_per_kg=_cells([market.kept(g) if market.best(g) else constant(0.0) for g in grades]),
                income=_cells(
                    [
                        copper * (sale.brings * self.instance.nodes[sale.node].piece.share)
                        if sale.part.in_copper and copper
                        else constant(float(income[p, 0]))
                        for p, sale in enumerate(parts)
                    ]
                ),
            )
            self._by_price[grade] = Curve(self.programme, changed)
        return self._by_price[grade]

    def _together(self, grade: str) -> dict[str, Piecewise]:
        """Each buyer's net price for a grade by the best of them: all move by as much."""
        offers = self.instance.market.offers[grade]
        return {offer.buyer: line(offer.price - offers[0].price, 1.0) for offer in offers}

    def wage(self, o: int) -> float | None:
        """The wage nearest today's at which an operation starts or stops paying; None if there is none."""
        return nearest(self.by_wage.margin(o).turns(), float(self.terms.wage), 0.0)

    def price(self, o: int) -> PriceFlip | None:
        """The best price of the grade that carries an operation at which it starts or stops paying.

        Computed as if the new price were typed in: grades that may be sold as this one follow it, and so do keep values
        and parts priced in copper. None if no grade carries the operation.
        """
        grade = main_grade(self.programme, self.terms, self.values, o)
        return None if grade is None else self._flip(grade, lambda curve: curve.margin(o))

    def worth(self, node: int, least: float) -> PriceFlip | None:
        """The best price, for the grade that brings most of a piece's money, at which the piece is worth `least`."""
        mass = best_grades(self.instance, self.values, node)
        money = {g: kg * float(self.terms.per_kg[g, 0]) for g, kg in mass.items()}
        main = max(money, key=lambda g: money[g], default=None)
        return None if main is None else self._flip(main, lambda curve: curve.of(node) - least)

    def _flip(self, main: int, margin: Any) -> PriceFlip | None:
        offer = self.instance.market.best(self.instance.grades[main])
        if offer is None:
            return None
        buyer = next(b for b in self.instance.buyers if b.id == offer.buyer)
        postage = postage_per_kg(buyer)
        turns = margin(self.by_price(offer.grade)).turns()
        return PriceFlip(offer.grade, offer.price, nearest(turns, offer.price, -postage), postage, buyer.ticket_share)


def _curved(terms: DepthTerms, **changed: Any) -> Curved:
    return Curved(**{name: changed.get(name, getattr(terms, name)) for name in DepthTerms.__dataclass_fields__})


def margin(programme: Programme, terms: DepthTerms, values: Values, o: int) -> float:
    """What an operation is worth above the best other option of its piece, for the terms `values` are of."""
    node, this = programme.instance.openings[o].node, Option("open", o)
    others = [
        programme.option_value(option, node, terms, values.worth)
        for option in programme.options[node]
        if option != this
    ]
    return float((programme.option_value(this, node, terms, values.worth) - terms.highest(others))[0])


def main_grade(programme: Programme, terms: DepthTerms, values: Values, o: int) -> int | None:
    """The grade that brings most money when this operation is run and the best is done with its pieces."""
    money: dict[int, float] = {}
    for child, count in programme.instance.openings[o].gives:
        for g, kg in best_grades(programme.instance, values, child).items():
            money[g] = money.get(g, 0.0) + count * kg * float(terms.per_kg[g, 0])
    best = max(money, key=lambda g: money[g], default=None)
    return best if best is not None and money[best] > 0 else None


def best_grades(instance: Instance, values: Values, node: int) -> dict[int, float]:
    """Kilograms of each grade that a piece ends as under the best choices."""
    option = values.best(node)
    if option.sort == "grade":
        sale = instance.grade_sales[option.number]
        return {sale.grade: sale.kg}
    found: dict[int, float] = {}
    if option.sort == "open":
        for child, count in instance.openings[option.number].gives:
            for g, kg in best_grades(instance, values, child).items():
                found[g] = found.get(g, 0.0) + count * kg
    return found
