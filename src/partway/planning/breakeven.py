"""At what wage, and at what price, the answer to "open it?" turns over.

The margin of an operation over the best other option is piecewise linear in either, so a sign change is
bracketed outwards from today, the bracket split finely, and the last straight piece crossed exactly. The
programme takes all points of a bracket at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from partway.planning.depth import Draws, Option, Programme, Terms, Values
from partway.planning.instance import Instance
from partway.planning.reprice import repriced

# Distances from today that are looked at, in units of today: 64 steps to an eighth, then 1.1 % at a time to 64 times.
# A stretch of wages or prices narrower than such a step may be missed, and none is promised.
OUTWARDS = np.concatenate([np.linspace(0.0, 0.125, 65)[1:], 0.125 * 2.0 ** (np.arange(1, 9 * 64 + 1) / 64.0)])
FINE = 65  # points a bracket is split into, three times over
ROUNDS = 3

Many = Callable[[Draws], Draws]


@dataclass(frozen=True, slots=True)
class PriceFlip:
    """The price per kg of one grade at which an operation stops or starts paying; None if none would do."""

    grade: str
    today: float
    flip: float | None


def margins(programme: Programme, terms: Terms, worth: Draws, o: int) -> Draws:
    """What an operation is worth above the best other option of its piece, shape (n,)."""
    node = programme.instance.openings[o].node
    this = Option("open", o)
    others = [
        programme.option_value(option, node, terms, worth) for option in programme.options[node] if option != this
    ]
    best: Draws = programme.option_value(this, node, terms, worth) - np.maximum.reduce(np.broadcast_arrays(*others))
    return best


def margin(programme: Programme, terms: Terms, values: Values, o: int) -> float:
    """The same under the terms that `values` were computed for, as one number."""
    return float(margins(programme, terms, values.worth, o)[0])


def flip_wage(programme: Programme, terms: Terms, o: int) -> float | None:
    """The wage nearest to today's at which the margin of an operation is nothing; None if none is near."""

    def at(wages: Draws) -> Draws:
        changed = replace(terms, wage=wages, size=np.repeat(terms.size, len(wages), axis=1))
        return margins(programme, changed, programme.values(changed).worth, o)

    today = float(terms.wage)
    return _nearest_zero(at, today, max(today, 1.0))


def flip_price(programme: Programme, terms: Terms, values: Values, o: int) -> PriceFlip | None:
    """The best quote, for the grade that carries an operation, at which its margin is nothing.

    As if the new price were typed in: other grades that may be sold as this one follow, and so do keep values.
    """
    main = main_grade(programme, terms, values, o)
    return _flip(programme, terms, main, lambda changed, worth: margins(programme, changed, worth, o))


def flip_worth(programme: Programme, terms: Terms, values: Values, node: int, least: float) -> PriceFlip | None:
    """The best quote, for the grade that brings most of a piece's money, at which the piece is worth `least`."""
    money = {g: kg * float(terms.per_kg[g, 0]) for g, kg in best_grades(programme.instance, values, node).items()}
    main = max(money, key=lambda g: money[g], default=None)
    return _flip(programme, terms, main, lambda _, worth: worth[node] - least)


def _flip(
    programme: Programme, terms: Terms, main: int | None, at_worth: Callable[[Terms, Draws], Draws]
) -> PriceFlip | None:
    instance = programme.instance
    offer = None if main is None else instance.market.best(instance.grades[main])
    if offer is None:
        return None

    def at(prices: Draws) -> Draws:
        per_kg, kept = repriced(instance, offer.grade, prices)
        changed = replace(terms, per_kg=per_kg, kept_per_kg=kept)
        return at_worth(changed, programme.values(changed).worth)

    return PriceFlip(offer.grade, offer.price, _nearest_zero(at, offer.price, max(offer.price, 0.01)))


def main_grade(programme: Programme, terms: Terms, values: Values, o: int) -> int | None:
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


def _nearest_zero(at: Many, today: float, unit: float) -> float | None:
    """The sign change next to today's value, not below nothing, or None."""
    edges = unit * OUTWARDS
    points = np.unique(np.concatenate([[today, 0.0], today + edges, np.maximum(0.0, today - edges)]))
    signs = np.sign(at(points))
    here = int(np.searchsorted(points, today))
    turned = np.flatnonzero(signs != signs[here])
    if not len(turned):
        return None
    edge = int(turned[np.argmin(np.abs(points[turned] - today))])
    inner = edge - 1 if edge > here else edge + 1
    return _narrowed(at, float(points[inner]), float(points[edge]))


def _narrowed(at: Many, a: float, b: float) -> float:
    """Split the bracket finely a few times; on so short a piece the margin is a straight line."""
    for _ in range(ROUNDS):
        points = np.linspace(a, b, FINE)
        margin_at = at(points)
        turned = int(np.flatnonzero(np.sign(margin_at) != np.sign(margin_at[0]))[0])
        a, b = float(points[turned - 1]), float(points[turned])
        at_a, at_b = float(margin_at[turned - 1]), float(margin_at[turned])
    return a + (b - a) * at_a / (at_a - at_b)
