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
from partway.planning.instance.market import Market, Offer
from partway.things.scenario import Scenario

BEYOND = 1e-9  # of the prices looked at


def bends(instance: Instance, at: Callable[[float], Scenario], low: float, high: float) -> tuple[float, ...]:
    """The prices between two at which a keep value or the price of a part bends, those two included."""
    moved = _moved(Market.of(at(low)), Market.of(at(high)), low, high)
    fees = fee_prices(at, low, high)
    if not moved:
        return tuple(sorted({low, high, *fees}))
    market = Repriced(instance.market, moved)
    functions = [market.kept(grade) for grade in instance.grades]
    functions += [kept for node in instance.nodes if (kept := _kept(instance, node, market)) is not None]
    if COPPER in instance.scenario.grades and (copper := market.best(COPPER)) is not None:
        functions.append(copper)
    inside = {x for function in functions for x in function.xs if low < x < high}
    return tuple(sorted({low, high, *inside, *fees}))


def zero_prices(at: Callable[[float], Scenario], low: float, high: float) -> tuple[float, ...]:
    """The prices strictly between two at which what one buyer pays, postage taken off, turns into a charge.

    There what is kept bends downwards, unless a keep factor is set: on either side the best plan's worth is convex.
    Where a buyer keeps back fees, so do its tickets, where what it quotes itself turns into a charge.
    """
    market, found = Market.of(at(low)), set(fee_prices(at, low, high))
    if market.keep_factor is None:
        moved = _moved(market, Market.of(at(high)), low, high)
        found.update(x for by_buyer in moved.values() for price in by_buyer.values() for x in price.zeros())
    return tuple(sorted(x for x in found if low < x < high))


def fee_prices(at: Callable[[float], Scenario], low: float, high: float) -> tuple[float, ...]:
    """The prices strictly between two at which a quote of a buyer with fees turns from a charge into a price.

    A flat fee falls due there all at once: then they are the prices just before it and just beyond.
    """
    found: set[float] = set()
    for one, other in zip(at(low).buyers, at(high).buyers, strict=True):
        for quote, moved in zip(one.quotes, other.quotes, strict=True):
            start, end = quote.price.mean, moved.price.mean
            if (one.ticket_share or one.ticket_fee) and start < 0.0 < end:
                zero = low + (high - low) * -start / (end - start)
                beside = (high - low) * BEYOND  # which side zero itself is on hangs on rounding
                found |= {zero - beside, zero + beside} if one.ticket_fee else {zero}
    return tuple(sorted(x for x in found if low < x < high))


def _moved(a: Market, b: Market, low: float, high: float) -> dict[str, dict[str, Piecewise]]:
    """Net prices of each grade whose quotes move, by buyer: straight lines, less steep where a share is kept back."""
    found = {}
    for grade, offers in a.offers.items():
        there = {offer.buyer: offer for offer in b.offers[grade]}
        if any(there[offer.buyer].price != offer.price for offer in offers):
            found[grade] = {o.buyer: _from_to(o, there[o.buyer], low, high) for o in offers}
    return found


def _from_to(a: Offer, b: Offer, low: float, high: float) -> Piecewise:
    """What one buyer's price leaves between two prices. A charge is paid in full, of a price a share is kept back."""
    start, end = a.quote.price.mean, b.quote.price.mean
    if not start < 0.0 < end:
        return _through(a.price, b.price, low, high)
    zero, postage = low + (high - low) * -start / (end - start), start - a.price
    left, right = -start / (zero - low), (b.price + postage) / (high - zero)
    return line(-postage - left * zero, left) if left == right else Piecewise((zero,), (-postage,), left, right)


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
