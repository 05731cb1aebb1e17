"""What an even flow makes a good lot of a grade, and what a lot is worth before it is sold at once.

An explanation for whoever wonders about a wait; a plan goes by the room there is.
"""

from __future__ import annotations

from dataclasses import dataclass

from partway.formulas.holding import economic_lot, hold_threshold
from partway.planning.instance.market import Market
from partway.planning.instance.room import full_load
from partway.things.scenario import Scenario

RATE = 0.1  # of the worth a year, for money tied up (common practice, no source)
WANDERS = 0.3  # of the price a year (common practice, no source)
WEEKS = 52.0


@dataclass(frozen=True, slots=True)
class GoodLot:
    """At `weekly_kg`, `lot_kg` each time for `buyer` costs least, a full load at most; a lot worth `sold_from` is sold
    at once.

    `trip` is what the round trip costs, `rate` what money tied up costs and `wanders` how much the price wanders, both
    shares a year.
    """

    buyer: str
    weekly_kg: float
    lot_kg: float
    trip: float
    sold_from: float
    rate: float = RATE
    wanders: float = WANDERS


def good_lot(scenario: Scenario, grade: str, weekly_kg: float) -> GoodLot | None:
    """Of a grade at its best price; None where nothing comes in, nobody pays for it or no trip is made for it."""
    market = Market.of(scenario)
    offer = market.best(grade) if grade in market.grades else None
    trips = dict(market.room.trips) if market.room is not None else {}
    trip = trips.get(offer.buyer, 0.0) if offer is not None else 0.0
    if offer is None or offer.price <= 0.0 or trip <= 0.0 or weekly_kg <= 0.0:
        return None
    lot = economic_lot(weekly_kg * WEEKS, trip, offer.price, RATE)
    if market.room is not None:
        lot = min(lot, full_load(market.room, market.grades[offer.grade].density.mean))
    return GoodLot(offer.buyer, weekly_kg, lot, trip, hold_threshold(trip, RATE, RATE, WANDERS))
