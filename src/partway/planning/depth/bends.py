"""The prices at which the worth of plans changes slope as one price moves: where another quote becomes the best.

Between two such prices every decision is worth a straight line in that price.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from partway.planning.depth.piecewise import Piecewise, constant, highest, line
from partway.planning.depth.reprice import Repriced
from partway.planning.instance.allowed import allowed_sales
from partway.planning.instance.build import COPPER, RESIDUE, kept_as
from partway.planning.instance.frozen import Instance, Node
from partway.planning.instance.market import Market
from partway.things.scenario import Scenario


def bends(instance: Instance, at: Callable[[float], Scenario], low: float, high: float) -> tuple[float, ...]:
    """The prices between two at which a keep value or the price of a part bends, those two included."""
    moved = _moved(Market.of(at(low)), Market.of(at(high)), low, high)
    if not moved:
        return low, high
    market = Repriced(instance.market, moved)
    functions = [market.kept(grade) for grade in instance.grades]
    functions += [kept for node in instance.nodes if (kept := _kept(instance, node, market)) is not None]
    if COPPER in instance.scenario.grades and (copper := market.best(COPPER)) is not None:
        functions.append(copper)
    inside = {x for function in functions for x in function.xs if low < x < high}
    return tuple(sorted({low, high, *inside}))


def zero_prices(at: Callable[[float], Scenario], low: float, high: float) -> tuple[float, ...]:
    """The prices strictly between two at which what one buyer pays, postage taken off, turns into a charge.

    There what is kept bends downwards, unless a keep factor is set: on either side the best plan's worth is convex.
    """
    market = Market.of(at(low))
    if market.keep_factor is not None:
        return ()
    moved = _moved(market, Market.of(at(high)), low, high)
    lines = [price for by_buyer in moved.values() for price in by_buyer.values() if price.right]
    found = {-price.at(0.0) / price.right for price in lines}
    return tuple(sorted(x for x in found if low < x < high))


def _moved(a: Market, b: Market, low: float, high: float) -> dict[str, dict[str, Piecewise]]:
    """Net prices of each grade whose quotes move, by buyer: every one is a straight line."""
    found = {}
    for grade, offers in a.offers.items():
        there = {offer.buyer: offer.price for offer in b.offers[grade]}
        if any(there[offer.buyer] != offer.price for offer in offers):
            found[grade] = {o.buyer: _through(o.price, there[o.buyer], low, high) for o in offers}
    return found


def _through(at_low: float, at_high: float, low: float, high: float) -> Piecewise:
    slope = (at_high - at_low) / (high - low)
    return line(at_low - slope * low, slope)


def _kept(instance: Instance, node: Node, market: Repriced) -> Piecewise | None:
    """What a piece is worth kept; None if that is 0 at every price."""
    residue = market.kept(RESIDUE) if RESIDUE in instance.scenario.grades else constant(0.0)
    sales = list(_sales(instance, node))
    return highest([kept_as(node.kg, share, market.kept(grade), residue) for grade, share in sales]) if sales else None


def _sales(instance: Instance, node: Node) -> Iterator[tuple[str, float]]:
    anatomy = instance.groups[node.group].anatomy
    for sale in allowed_sales(instance.scenario, anatomy, node.piece.id):
        yield sale.grade, sale.share
