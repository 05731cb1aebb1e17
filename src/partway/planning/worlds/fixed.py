"""A decided plan apart from the masses and prices it was decided at: what is done with what, in counts and shares.

So that a plan made in one world can be carried out in another: a lot is a share of what there is of its grade.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from partway.formulas.ticket_fees import quoted_for
from partway.planning.check.rules.material import grade_inflow
from partway.planning.check.verify import Checked
from partway.planning.decision import Decision, LotKey
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.counted import more_for_one
from partway.planning.instance.frozen import Instance
from partway.planning.worlds.draws import QuoteKey

TINY = 1e-9  # kg


@dataclass(frozen=True, slots=True)
class FixedLot:
    """`share` of all there is of `grade` (an index) goes to one buyer on one trip (milp.MAIL for the mail).

    `counted` are the pieces in it that are paid by the piece: (node, kg of them on average, what the ticket says).
    """

    grade: int
    quote: QuoteKey
    trip: int
    share: float
    counted: tuple[tuple[int, float, float], ...] = ()


@dataclass(frozen=True)
class FixedPlan:
    """Counts follow the indexes of the instance. `lowered` are (upper, lower, share), each grade after those above it.

    `costs` are postage and driving, with their sign; `away` and `parts_hours` the hours that hang on no mass.
    """

    opened: tuple[int, ...]
    sold: tuple[int, ...]
    parts: tuple[int, ...]
    kept: tuple[int, ...]
    lots: tuple[FixedLot, ...]
    lowered: tuple[tuple[int, int, float], ...]
    costs: float
    away: float
    parts_hours: float
    stops: tuple[tuple[str, ...], ...]

    @classmethod
    def of(cls, instance: Instance, checked: Checked) -> FixedPlan:
        """A checked decision of an instance."""
        decision = checked.decision
        there, lowered = _there(instance, checked)
        lots = (_lot(instance, decision, key, there) for key in decision.lots)
        tours = (tour.stops for tour in decision.tours if tour)
        return cls(
            decision.opened,
            decision.sold,
            decision.parts,
            decision.kept,
            tuple(lots),
            lowered,
            checked.money.shipping + checked.money.driving,
            checked.away_hours,
            sum(sale.hours * units for sale, units in zip(instance.part_sales, decision.parts, strict=True)),
            tuple(tuple(instance.buyers[instance.buyer_at[stop]].id for stop in stops) for stops in tours),
        )

    @property
    def does(self) -> tuple[object, ...]:
        """What a person would say they do: where they drive, what they open and sell by the unit, and to whom."""
        opened = tuple(o for o, times in enumerate(self.opened) if times)
        parts = tuple(p for p, units in enumerate(self.parts) if units)
        return self.stops, opened, parts, frozenset((lot.grade, lot.quote[0]) for lot in self.lots)


def _lot(instance: Instance, decision: Decision, key: LotKey, there: list[float]) -> FixedLot:
    i, t, k = key
    lot = instance.lots[i]
    quote = lot.tiers[t].quote
    share = decision.lots[key] / there[lot.grade] if there[lot.grade] > TINY else 0.0
    name = instance.buyers[lot.buyer].id, quote.grade, quote.least_kg
    return FixedLot(lot.grade, name, k, share, tuple(_counted(instance, decision, key)))


def _counted(instance: Instance, decision: Decision, key: LotKey) -> Iterator[tuple[int, float, float]]:
    left = instance.lots[key[0]].tiers[0].price
    for (s, i, k), n in decision.blocks.items():
        if (i, k) == (key[0], key[2]) and (more := more_for_one(instance, s, i)):
            sale = instance.grade_sales[s]
            share = instance.buyers[instance.lots[i].buyer].ticket_share
            yield sale.node, sale.kg * n, quoted_for(more + sale.kg * left, share) * n


def _there(instance: Instance, checked: Checked) -> tuple[list[float], tuple[tuple[int, int, float], ...]]:
    """Kilograms of each grade with what was lowered to it, and what share of each was lowered on."""
    there = grade_inflow(instance, checked.decision)
    downgraded = downgraded_kg(instance, checked.decision)
    lowered = []
    for d, (upper, lower) in _upper_first([(d, arc) for d, arc in enumerate(instance.downgrades) if downgraded.get(d)]):
        lowered.append((upper, lower, downgraded[d] / there[upper] if there[upper] > TINY else 0.0))
        there[lower] += downgraded[d]
    return there, tuple(lowered)


def _upper_first(arcs: list[tuple[int, tuple[int, int]]]) -> list[tuple[int, tuple[int, int]]]:
    """Downgrades in an order in which a grade's inflow is complete before it flows on."""
    ordered: list[tuple[int, tuple[int, int]]] = []
    left = list(arcs)
    while left:
        ready = [a for a in left if not any(b[1][1] == a[1][0] for b in left)]
        ordered += ready
        left = [a for a in left if a not in ready]
    return ordered
