"""Go or wait: what the best load is worth now, what it will be and when, and how long the shed has room."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from partway.planning.check.verify import Checked
from partway.planning.decision import Decision
from partway.planning.instance.fees import flat_fees
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import Market, left_of_quote
from partway.planning.instance.room import crowding, full_load, rides_as
from partway.planning.model.milp import MAIL
from partway.things.buyers import takes
from partway.things.defaults import FULL_LOAD
from partway.things.scenario import Buyer, Quote
from partway.valuing.plans.facts import GoOrWait
from partway.valuing.plans.trips import away_hours, load_of
from partway.valuing.room.coming import LOOKED_AHEAD, WEEK, weekly_inflow


def go_or_wait(instance: Instance, checked: Checked) -> GoOrWait | None:
    """What to do about driving; None where nobody is driven to, or no trip fits the hours."""
    ahead = Ahead(instance, checked.decision)
    driven = [k for k, tour in enumerate(checked.decision.tours) if tour]
    if driven:
        return _go(instance, checked.decision, ahead, driven)
    return ahead.wait() if ahead.buyers else None


def _go(instance: Instance, decision: Decision, ahead: Ahead, driven: list[int]) -> GoOrWait:
    wage = instance.scenario.hours.wage
    lots = [(instance.lots[i], t, kg) for (i, t, k), kg in decision.lots.items() if k != MAIL]
    worth = sum(kg * lot.tiers[t].price for lot, t, kg in lots)
    worth -= sum(fee for (_, k), fee in flat_fees(instance, decision).items() if k != MAIL)
    for tour in decision.tours:
        if tour:
            worth -= instance.drive_money(tour) + wage * away_hours(instance, tour)
    adds = sum(ahead.weekly.get(instance.grades[lot.grade], 0.0) * lot.tiers[t].price for lot, t, _ in lots)
    later = worth + adds if ahead.weekly else None
    return GoOrWait(True, _go_code(instance, decision, driven), worth, later, None, ahead.room_weeks)


def _go_code(instance: Instance, decision: Decision, driven: list[int]) -> Literal["full-load", "shed-filling", "pays"]:
    vehicle, room = instance.scenario.vehicle, instance.market.room
    for load in (load_of(instance, decision, k) for k in driven):
        if vehicle is not None and load.kg >= FULL_LOAD * vehicle.payload_kg:
            return "full-load"
        if vehicle is not None and vehicle.volume_l is not None and load.litres >= FULL_LOAD * vehicle.volume_l:
            return "full-load"
    return "shed-filling" if room is not None and room.crowding else "pays"


@dataclass(frozen=True)
class Ahead:
    """What stays after a decision, and what comes on top of it week by week."""

    instance: Instance
    decision: Decision

    @cached_property
    def weekly(self) -> dict[str, float]:
        """Kilograms a week by grade."""
        return weekly_inflow(self.instance.scenario)

    @cached_property
    def left(self) -> dict[str, float]:
        """Kilograms of each grade in its bin after the plan."""
        return {self.instance.grades[g]: kg for g, kg in self.decision.kept_kg.items()}

    @cached_property
    def trips(self) -> Mapping[str, float]:
        """What a round trip to each buyer costs."""
        room = self.instance.market.room
        return {} if room is None else dict(room.trips)

    @cached_property
    def buyers(self) -> tuple[Buyer, ...]:
        """Those a trip to whom fits the hours away."""
        hours = self.instance.scenario.hours
        if self.instance.roads is None or not hours.trips:
            return ()
        return tuple(
            buyer
            for buyer, stop in zip(self.instance.buyers, self.instance.stops, strict=True)
            if stop is not None and buyer.id in self.trips and self.hours(buyer) <= hours.away
        )

    @cached_property
    def litres(self) -> float:
        """Litres in the shed after the plan."""
        grades, nodes = self.instance.scenario.grades, self.instance.nodes
        bins = sum(kg / grades[g].density.mean for g, kg in self.left.items())
        whole = 0.0
        for node, count in zip(nodes, self.decision.kept, strict=True):
            anatomy = self.instance.groups[node.group].anatomy
            grade = node.piece.sells[0].grade if node.piece.sells else rides_as(anatomy)
            if count and grade is not None:
                whole += count * node.kg / grades[grade].density.mean
        return bins + whole

    @cached_property
    def litres_a_week(self) -> float:
        """Litres that come in each week."""
        grades = self.instance.scenario.grades
        return sum(kg / grades[g].density.mean for g, kg in self.weekly.items() if g in grades)

    def hours(self, buyer: Buyer) -> float:
        """Hours of a trip to one buyer and back."""
        roads, stop = self.instance.roads, self.instance.stops[self.instance.buyers.index(buyer)]
        if roads is None or stop is None:
            return 0.0
        quick = roads.quickest()
        return float(quick[0, stop] + quick[stop, 0]) + buyer.minutes / 60.0

    @property
    def room_weeks(self) -> float | None:
        """Weeks until the shed is full; None where its size or what comes in is not known."""
        storage = self.instance.scenario.storage_l
        if storage is None or not self.litres_a_week:
            return None
        return max(0.0, storage - self.litres) / self.litres_a_week

    def stock(self, days: int) -> dict[str, float]:
        """Kilograms of each grade on a day to come."""
        return {g: self.left.get(g, 0.0) + self.weekly.get(g, 0.0) * days / WEEK for g in (*self.left, *self.weekly)}

    def market(self, days: int) -> Market:
        """Keep values on a day to come, the shed fuller by then."""
        market, storage = self.instance.market, self.instance.scenario.storage_l
        if storage is None or market.room is None:
            return market
        there = crowding((self.litres + self.litres_a_week * days / WEEK) / storage)
        return market if there == market.room.crowding else self._crowded(there)

    def _crowded(self, there: float) -> Market:
        if there not in self._markets:
            market = self.instance.market
            room = None if market.room is None else replace(market.room, crowding=there)
            self._markets[there] = Market(market.grades, market.offers, market.keep_factor, room)
        return self._markets[there]

    @cached_property
    def _markets(self) -> dict[float, Market]:
        return {}

    def wait(self, most: int = LOOKED_AHEAD) -> GoOrWait:
        """Until when, within the `most` days to look ahead, and for what."""
        for day in range(1, most + 1) if self.weekly else ():
            gain, _, buyer = max((self.load(b, day)[1], i, b) for i, b in enumerate(self.buyers))
            if gain > 0.0:
                by = (self.instance.scenario.on + dt.timedelta(days=day)).isoformat()
                now, later = self.load(buyer, 0)[0], self.load(buyer, day)[0]
                return GoOrWait(False, "pays-by", now, later, by, self.room_weeks, buyer.id)
        now, _, best = max((self.load(b, 0)[0], i, b) for i, b in enumerate(self.buyers))
        return GoOrWait(
            False, "too-little" if self.weekly else "inflow-unknown", now, None, None, self.room_weeks, best.id
        )

    def load(self, buyer: Buyer, days: int) -> tuple[float, float]:
        """What the best load for one buyer is worth on a day after its trip, and what that gains over keeping it."""
        market, worth, gain, free = self.market(days), -self.trips[buyer.id], -self.trips[buyer.id], 1.0
        there, offers = self.stock(days), []
        for grade, quotes, full in self._taken(buyer):
            kg = there.get(grade)
            quote = None if kg is None else _quote_for(quotes, kg)
            if kg is not None and quote is not None:
                price = left_of_quote(buyer, quote).mean
                offers.append(((price - market.kept_price(grade)) * full, price * full, kg / full))
        for over, price, share in sorted(offers, reverse=True):
            if over > 0.0:
                taken = min(free, share)
                worth, gain, free = worth + price * taken, gain + over * taken, free - taken
        return worth, gain

    def _taken(self, buyer: Buyer) -> tuple[tuple[str, tuple[Quote, ...], float], ...]:
        """Grades that a buyer takes, its quotes for each, and a full load of it in kg."""
        if buyer.id not in self._taken_by:
            market, quotes = self.instance.market, defaultdict[str, list[Quote]](list)
            for quote in buyer.quotes:
                if market.room is not None and takes(buyer, self.instance.scenario.grades[quote.grade]):
                    quotes[quote.grade].append(quote)
            self._taken_by[buyer.id] = tuple(
                (grade, tuple(said), full_load(market.room, market.grades[grade].density.mean))
                for grade, said in quotes.items()
                if market.room is not None
            )
        return self._taken_by[buyer.id]

    @cached_property
    def _taken_by(self) -> dict[str, tuple[tuple[str, tuple[Quote, ...], float], ...]]:
        return {}


def _quote_for(quotes: tuple[Quote, ...], kg: float) -> Quote | None:
    """The quote that a lot of this size gets; None where it is too small."""
    return max((q for q in quotes if q.least_kg <= kg), key=lambda q: q.from_kg, default=None)
