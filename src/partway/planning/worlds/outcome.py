"""The money of one decided plan in many worlds: the decision is held, what is not known varies.

A lot is what the worlds make of it: heavier pieces fill it more, what would be kept fills it up to its tier, and it is
paid by the tier it reaches; what reaches none comes home again. Vehicle and hours are not held against the worlds. What
is kept moves with the quote it is valued by: a price lower than we think today is expected to be lower next time, too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import draw, generator
from partway.planning.instance.build import COPPER, kept_as
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import Offer, kept_worth, postage_per_kg
from partway.planning.instance.offers import offered_as
from partway.planning.model.milp import MAIL
from partway.planning.worlds.draws import WorldDraws
from partway.planning.worlds.fixed import FixedLot, FixedPlan
from partway.things.buyers import takes

LUCK = "luck"
ROUNDING = 1e-9
FULL = 1.02  # a load is made to fit when it is loaded: so much over is taken as fitting


@dataclass(frozen=True)
class Outcome:
    """Of each world, shape (n,): money that changes hands, the worth of what is kept, and the hours spent."""

    cash: Draws
    kept: Draws
    hours: Draws

    def total(self, wage: float) -> Draws:
        """What the plan is worth: all its money with its signs."""
        worth: Draws = self.cash + self.kept - wage * self.hours
        return worth


@dataclass(frozen=True)
class Worlds:
    """An instance in the worlds drawn for it."""

    instance: Instance
    drawn: WorldDraws

    def outcome(self, plan: FixedPlan, *, lucky: bool = True) -> Outcome:
        """What a plan comes to. Without `lucky` parts sell as they do on average."""
        lots, left = self._lots(plan)
        cash = np.full(self.drawn.n, plan.costs) + sum(self._tickets(lots).values())
        for opening, times in zip(self.instance.openings, plan.opened, strict=True):
            cash -= opening.cost * times
        cash += sum(self._part(p, units, lucky) for p, units in enumerate(plan.parts) if units)
        return Outcome(cash, self._kept(plan, left), self._hours(plan))

    def at_home(self) -> Draws:
        """What everything is worth where nothing is done: kept as it is, no hours spent."""
        worth = np.zeros(self.drawn.n)
        for g, kg in enumerate(self.instance.stock):
            worth += kg * self._kept_prices[g]
        for n, node in enumerate(self.instance.nodes):
            if node.found:
                worth += node.found * self._kept_one(n)
        return worth

    def carries(self, plan: FixedPlan) -> bool:
        """Whether the vehicle holds what the plan loads on each trip, on average over the worlds."""
        vehicle, there = self.instance.scenario.vehicle, self.there(plan).mean(axis=1)
        if vehicle is None:
            return True
        volume = vehicle.volume_l or np.inf
        full: dict[int, list[float]] = {}
        for lot in plan.lots:
            kg = lot.share * float(there[lot.grade])
            load = full.setdefault(lot.trip, [0.0, 0.0])
            load[0] += kg / vehicle.payload_kg
            load[1] += kg * self.instance.litres_per_kg[lot.grade] / volume
        return all(max(load) <= FULL for trip, load in full.items() if trip != MAIL)

    def stops(self, plan: FixedPlan) -> dict[tuple[str, int], Draws]:
        """What each buyer pays on each trip (milp.MAIL for the mail), its fees off."""
        return self._tickets(self._lots(plan)[0])

    def _tickets(self, lots: list[tuple[FixedLot, Draws]]) -> dict[tuple[str, int], Draws]:
        """What each ticket comes to, world by world as `formulas.ticket_fees.fee_of` has it."""
        buyers = {buyer.id: buyer for buyer in self.instance.buyers}
        sums: dict[tuple[str, int], Draws] = {}
        pays: dict[tuple[str, int], Draws] = {}
        for lot, paid in lots:
            key = lot.quote[0], lot.trip
            sums[key] = sums.get(key, np.zeros(self.drawn.n)) + paid
            pays[key] = pays.get(key, np.zeros(self.drawn.n)) + np.maximum(paid, 0.0)
        for (buyer, trip), gross in pays.items():
            of = buyers[buyer]
            sums[buyer, trip] = sums[buyer, trip] - of.ticket_share * gross - of.ticket_fee * (gross > 0.0)
        return sums

    def _lots(self, plan: FixedPlan) -> tuple[list[tuple[FixedLot, Draws]], Draws]:
        """What the ticket says of each lot, and the kilograms of each grade that are left."""
        there = self.there(plan)
        left = there.copy()
        for upper, _, share in plan.lowered:
            left[upper] -= share * there[upper]
        paid = []
        for lot in plan.lots:
            least = lot.quote[2]
            kg = lot.share * there[lot.grade]
            kg = np.minimum(np.where(kg < least, least, kg), left[lot.grade])
            price, taken = self._price(lot, kg)
            left[lot.grade] -= np.where(taken, kg, 0.0)
            paid.append((lot, kg * price + self._by_the_piece(lot, price)))
        return paid, left

    def _by_the_piece(self, lot: FixedLot, price: Draws) -> Draws:
        """What pieces that are counted bring over what they would by their kilograms: they are as many as planned."""
        more = np.zeros(self.drawn.n)
        for n, kg, brings in lot.counted:
            more += brings - kg * self.drawn.sizes[n] * price
        return more

    def _price(self, lot: FixedLot, kg: Draws) -> tuple[Draws, NDArray[np.bool_]]:
        """What a kilogram of a lot of so much is paid, and where it is taken at all."""
        buyer = next(buyer for buyer in self.instance.buyers if buyer.id == lot.quote[0])
        price, taken = np.zeros(self.drawn.n), np.zeros(self.drawn.n, dtype=bool)
        for quote in sorted(buyer.quotes, key=lambda quote: quote.from_kg):
            if quote.grade == lot.quote[1]:
                reached = kg >= quote.least_kg * (1.0 - ROUNDING)
                price = np.where(reached, self.drawn.prices[buyer.id, quote.grade, quote.least_kg], price)
                taken |= reached
        return price, taken

    def there(self, plan: FixedPlan) -> Draws:
        """Kilograms of each grade, shape (grades, n), with what was lowered to it."""
        instance = self.instance
        there = np.repeat(np.array(instance.stock, dtype=float).reshape(-1, 1), self.drawn.n, axis=1)
        for sale, times in zip(instance.grade_sales, plan.sold, strict=True):
            for g, kg in instance.flows(sale) if times else ():
                there[g] += kg * times * self.drawn.sizes[sale.node]
        for upper, lower, share in plan.lowered:
            there[lower] += share * there[upper]
        return there

    def _part(self, p: int, units: int, lucky: bool) -> Draws:
        """Each unit sells or not, by its chance and by how many finds have it; its price varies for all units alike."""
        sale, n = self.instance.part_sales[p], self.drawn.n
        node = self.instance.nodes[sale.node]
        chance = min(1.0, sale.chance * node.piece.share)
        unit = self._copper() if sale.part.in_copper else 1.0
        if not lucky or chance <= 0.0:
            return np.full(n, units * sale.income) * unit
        kind = self.instance.groups[node.group].find.kind
        rng = generator(self.drawn.seed, LUCK, kind, node.piece.id, sale.part.name, str(sale.step))
        price = draw(sale.part.price, n, rng) / sale.part.price.mean if sale.part.price.mean else np.ones(n)
        sold: Draws = rng.binomial(units, chance, n) * (sale.income / chance) * price * unit
        return sold

    def _copper(self) -> Draws:
        """The best price of No. 2 copper, by which some parts are priced, over its mean."""
        best = self.instance.market.best(COPPER)
        return self._best(COPPER) / best.price if best is not None and best.price else np.ones(self.drawn.n)

    def _kept(self, plan: FixedPlan, left: Draws) -> Draws:
        worth = np.zeros(self.drawn.n)
        for g, kg in enumerate(left):
            worth += kg * self._kept_prices[g]
        for n, many in enumerate(plan.kept):
            worth += many * self._kept_one(n) if many else 0.0
        for p, units in enumerate(plan.parts):
            sale = self.instance.part_sales[p]
            worth += units * (1.0 - sale.chance) * self._kept_one(sale.node) if units else 0.0
        return worth

    def _kept_one(self, n: int) -> Draws:
        """What one of a node is worth kept; a find on offer may sell instead, as likely as the instance has it."""
        node = self.instance.nodes[n]
        kept: Draws = self._kept_at(n, self._kept_prices) * self.drawn.sizes[n]
        if not node.offered:
            return kept
        plain = self._kept_at(n, [np.full(1, price) for price in self.instance.kept_price])
        group = self.instance.groups[node.group]
        part = offered_as(group.anatomy, group.find.works)
        unit = self._copper() if part is not None and part.in_copper else np.ones(self.drawn.n)
        worth: Draws = (node.kept_value - (1.0 - node.offered) * plain[0]) * unit + (1.0 - node.offered) * kept
        return worth

    def _kept_at(self, n: int, prices: Sequence[Draws]) -> Draws:
        """One of a node as its best grade, at prices of what is kept."""
        instance, node = self.instance, self.instance.nodes[n]
        nothing = np.zeros_like(prices[0]) if prices else np.zeros(1)
        residue = nothing if instance.residue is None else prices[instance.residue]
        worth = nothing
        for place, s in enumerate(instance.sales_of[n]):
            sale = instance.grade_sales[s]
            one = kept_as(node.kg, sale.kg / node.kg, prices[sale.grade], residue)
            worth = one if place == 0 else np.maximum(worth, one)
        return worth

    @cached_property
    def _kept_prices(self) -> list[Draws]:
        """What a kilogram of each grade kept is worth, as `Market.kept_price` has it, by the quotes of each world."""
        known: dict[str, Draws] = {}
        return [self._kept_price(grade, known) for grade in self.instance.grades]

    def _kept_price(self, grade: str, known: dict[str, Draws]) -> Draws:
        if grade not in known:
            market = self.instance.market
            ways = [self._kept_worth(price) - market.room_for(offer) for offer, price in self._offers(grade)]
            own = ways or [np.full(self.drawn.n, -market.room_price(grade))]
            lower = [self._kept_price(one, known) for one in market.downgrades(grade)]
            known[grade] = np.maximum.reduce([*own, *lower])
        return known[grade]

    def _kept_worth(self, price: Draws) -> Draws:
        """`kept_worth`, which is in proportion to the price on either side of nothing."""
        keep_factor = self.instance.market.keep_factor
        worth: Draws = np.where(price < 0.0, -kept_worth(-1.0, keep_factor), kept_worth(1.0, keep_factor)) * price
        return worth

    def _offers(self, grade: str) -> list[tuple[Offer, Draws]]:
        """Every quote for a grade that is no refusal, net of the buyer's share of the ticket and of postage."""
        scenario, found = self.instance.scenario, []
        for buyer in scenario.buyers:
            if takes(buyer, scenario.grades[grade]):
                for quote in buyer.quotes:
                    if quote.grade == grade:
                        heard = self.drawn.prices[buyer.id, grade, quote.least_kg]
                        left = heard - buyer.ticket_share * np.maximum(heard, 0.0)
                        price = left - postage_per_kg(buyer)
                        found.append((Offer(buyer.id, grade, quote.price.mean, quote), price))
        return found

    def _best(self, grade: str) -> Draws:
        """The best net price of a grade, or of any it may be sold as. Somebody quotes one of them."""
        lower = self.instance.market.below(grade)
        best: Draws = np.maximum.reduce([price for one in (grade, *lower) for _, price in self._offers(one)])
        return best

    def _hours(self, plan: FixedPlan) -> Draws:
        hours = np.full(self.drawn.n, plan.away + plan.parts_hours)
        for o, times in enumerate(plan.opened):
            if times:
                hours += times * self.instance.openings[o].hours * self.drawn.minutes[o]
        return hours
