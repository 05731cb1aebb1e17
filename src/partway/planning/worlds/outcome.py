"""The money of one decided plan in many worlds: the decision is held, what is not known varies.

A lot is what the worlds make of it: heavier pieces fill it more, and it is paid by the quote it was planned at, also
where a lighter one would miss its tier. Vehicle and hours are not held against the worlds. What is kept moves with the
quote it is valued by: a price that is lower than we think today is expected to be lower next time, too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import draw
from partway.planning.instance.frozen import Instance
from partway.planning.worlds.draws import WorldDraws, generator
from partway.planning.worlds.fixed import FixedLot, FixedPlan

LUCK = "luck"


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
        there = self._there(plan)
        cash = np.full(self.drawn.n, plan.costs)
        for lot in plan.lots:
            cash += self.brings(lot, there)
        for opening, times in zip(self.instance.openings, plan.opened, strict=True):
            cash -= opening.cost * times
        cash += sum(self._part(p, units, lucky) for p, units in enumerate(plan.parts) if units)
        return Outcome(cash, self._kept(plan, there), self._hours(plan))

    def at_home(self) -> Draws:
        """What everything is worth where nothing is done: kept as it is, no hours spent."""
        worth = np.zeros(self.drawn.n)
        for g, kg in enumerate(self.instance.stock):
            worth += kg * self._kept_price(g)
        for n, node in enumerate(self.instance.nodes):
            if node.found:
                worth += node.found * node.kept_value * self.drawn.sizes[n]
        return worth

    def stops(self, plan: FixedPlan) -> dict[tuple[str, int], Draws]:
        """What each buyer pays on each trip (milp.MAIL for the mail)."""
        there, sums = self._there(plan), dict[tuple[str, int], Draws]()
        for lot in plan.lots:
            key = lot.quote[0], lot.trip
            sums[key] = sums.get(key, np.zeros(self.drawn.n)) + self.brings(lot, there)
        return sums

    def brings(self, lot: FixedLot, there: Draws) -> Draws:
        """What a lot is paid."""
        paid: Draws = lot.share * there[lot.grade] * self.drawn.prices[lot.quote]
        return paid

    def _there(self, plan: FixedPlan) -> Draws:
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
        chance = min(1.0, sale.part.chance * node.piece.share)
        if not lucky or chance <= 0.0:
            return np.full(n, units * sale.income)
        kind = self.instance.groups[node.group].find.kind
        rng = generator(self.drawn.seed, LUCK, kind, node.piece.id, sale.part.name)
        price = draw(sale.part.price, n, rng) / sale.part.price.mean if sale.part.price.mean else np.ones(n)
        sold: Draws = rng.binomial(units, chance, n) * (sale.income / chance) * price
        return sold

    def _kept(self, plan: FixedPlan, there: Draws) -> Draws:
        worth = np.zeros(self.drawn.n)
        for g, share in plan.kept_share.items():
            worth += share * there[g] * self._kept_price(g)
        for n, many in enumerate(plan.kept):
            if many:
                worth += many * self.instance.nodes[n].kept_value * self.drawn.sizes[n]
        for p, units in enumerate(plan.parts):
            worth += units * self.instance.part_sales[p].unsold_value
        return worth

    def _kept_price(self, g: int) -> Draws | float:
        """What a kilogram kept is worth: as the instance has it, moved as far as the quote behind it."""
        instance = self.instance
        offer = instance.market.best(instance.grades[g])
        if offer is None:
            return instance.kept_price[g]
        drawn = self.drawn.prices[offer.buyer, offer.grade, offer.quote.least_kg]
        return instance.kept_price[g] + instance.market.keep_factor * (drawn - offer.quote.price.mean)

    def _hours(self, plan: FixedPlan) -> Draws:
        hours = np.full(self.drawn.n, plan.away + plan.parts_hours)
        for o, times in enumerate(plan.opened):
            if times:
                hours += times * self.instance.openings[o].hours * self.drawn.minutes[o]
        return hours
