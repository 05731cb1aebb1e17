"""What a decision brings, line by line."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.planning.check.rules.lots import amount_of
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance


@dataclass(frozen=True, slots=True)
class Money:
    """Where the objective comes from, each with its own sign: costs and fees are negative."""

    sales: float
    parts: float
    shipping: float
    fees: float
    driving: float
    wage: float
    kept: float

    @property
    def total(self) -> float:
        """The objective: the sum of all of it."""
        return math.fsum((self.sales, self.parts, self.shipping, self.fees, self.driving, self.wage, self.kept))

    @property
    def cash(self) -> float:
        """Money that changes hands: without the worth of one's own hours and of what is kept."""
        return math.fsum((self.sales, self.parts, self.shipping, self.fees, self.driving))


def money_of(instance: Instance, decision: Decision, hours: float) -> Money:
    """The money of a decision by the scenario's own prices; `hours` are those at the bench and away."""
    amounts = [amount_of(instance, decision, key) for key in decision.lots]
    parts = [(sale, n) for sale, n in zip(instance.part_sales, decision.parts, strict=True) if n]
    costs = [opening.cost * n for opening, n in zip(instance.openings, decision.opened, strict=True)]
    kept = [kg * instance.kept_price[g] for g, kg in decision.kept_kg.items()]
    kept += [node.kept_value * n for node, n in zip(instance.nodes, decision.kept, strict=True)]
    kept += [sale.unsold_value * n for sale, n in parts]
    kept_back = [
        _fee(instance, decision, ticket) for ticket in {(instance.lots[i].buyer, k) for i, _, k in decision.lots}
    ]
    postage = [n * instance.buyers[b].shipping[step].cost for (b, step), n in decision.parcels.items()]
    return Money(
        sales=math.fsum(a for a in amounts if a > 0),
        parts=math.fsum(sale.income * n for sale, n in parts),
        shipping=-math.fsum(postage),
        fees=math.fsum(a for a in amounts if a < 0) - math.fsum(costs) - math.fsum(kept_back),
        driving=-math.fsum(instance.drive_money(tour) for tour in decision.tours if tour),
        wage=-instance.scenario.hours.wage * hours,
        kept=math.fsum(kept),
    )


def _fee(instance: Instance, decision: Decision, ticket: tuple[int, int]) -> float:
    """What a buyer keeps back of what it pays on one trip; nothing where it pays for nothing."""
    here = [key for key in decision.lots if (instance.lots[key[0]].buyer, key[2]) == ticket]
    pays = [amount for amount in (amount_of(instance, decision, key) for key in here) if amount > 0]
    buyer = instance.buyers[ticket[0]]
    return math.fsum((buyer.ticket_fee, buyer.ticket_share * math.fsum(pays))) if pays else 0.0
