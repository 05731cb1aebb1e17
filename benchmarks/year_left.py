"""What a shed still holds at the end of a simulated year."""

from __future__ import annotations

from math import exp
from typing import TYPE_CHECKING

from year_app import COST_PER_KM, VOLUME_L, WAGE
from year_offers import PATIENCE
from year_things import Thing
from year_truth import MG

from partway.planning.instance.allowed import allowed_sales

if TYPE_CHECKING:
    from year_shed import Shed


def left(shed: Shed) -> float:
    """What is in the shed at the best true prices, a full load's share of an ordinary trip taken off.

    A thing counts as what it may be sold as whole; what is on offer as what it fetches by its hidden chance.
    """
    trip = (2 * 15.0) * COST_PER_KM + WAGE * (2 * 15.0 / 45.0 + 20.0 / 60.0)
    worth = -shed.litres() / VOLUME_L * trip
    worth += sum(mg / MG * shed.market.best(grade, shed.week) for grade, mg in shed.bins.items())
    worth += sum(as_scrap(shed, thing) for thing in shed.things)
    for one in shed.listed:
        sale = shed.kind(one.thing).sales[one.piece, one.part]
        sells = 1.0 - exp(-sale.rate * max(0.0, PATIENCE * sale.days - 7.0 * (shed.week - one.week)))
        scrap = one.mg / MG * shed.market.best(one.grade, shed.week)
        worth += sells * (sale.price * (1.0 - sale.fee) - sale.postage) + (1.0 - sells) * scrap
    return worth


def as_scrap(shed: Shed, thing: Thing) -> float:
    """What a whole thing fetches as it is; 0 where it may not be sold so."""
    sales = allowed_sales(shed.rules, shed.kind(thing).guess, shed.kind(thing).guess.whole.id)
    return max((thing.mg / MG * s.share * shed.market.best(s.grade, shed.week) for s in sales), default=0.0)
