"""Every line of a plan defended by solving again without it, and its flip price by solving again at other prices."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from partway.actions.plans.flips import AtPrice, grade_at, part_at, quote_at
from partway.actions.plans.solutions import Drop, Flip, PriceQuestion, Solution, Uses, solved
from partway.actions.plans.turning import Turning
from partway.planning.check.verify import Checked
from partway.planning.decision import Decision
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.frozen import Instance, Lot, Opening, PartSale
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import OpenLine, PartLine, SaleLine, Why
from partway.valuing.plans.fates import main_grade, what_becomes_of, where_grade_goes

LEAST_SECONDS = 0.5
LEAST_KG = 1e-6
LEAST_PRICE = 1e-6  # of today's price
MOST_TIMES = 10.0  # today's price: no flip price is looked for beyond that

Line = OpenLine | PartLine | SaleLine


def explain(
    instance: Instance,
    checked: Checked,
    plan: Plan,
    seconds: float,
    on_step: Callable[[str, int, int], None] | None = None,
) -> Plan:
    """The plan with `why` on every opening, part and lot; each gets an equal share of what time is left."""
    lines: list[Line] = [*plan.open, *plan.parts, *plan.sales]
    here = Solution(checked, plan.status == "optimal")
    defended: dict[int, Why] = {}
    began = time.monotonic()
    for n, line in enumerate(lines):
        left = seconds - (time.monotonic() - began)
        if on_step is not None:
            on_step(f"line {line.line}", n, len(lines))
        defended[line.line] = _Defence(instance, here, max(LEAST_SECONDS, left / (len(lines) - n))).of(line)
    return replace(
        plan,
        open=tuple(replace(line, why=defended[line.line]) for line in plan.open),
        parts=tuple(replace(line, why=defended[line.line]) for line in plan.parts),
        sales=tuple(replace(line, why=defended[line.line]) for line in plan.sales),
    )


@dataclass(frozen=True)
class _Defence:
    """`here` is the plan that is defended, within `seconds` a line."""

    instance: Instance
    here: Solution
    seconds: float

    def of(self, line: Line) -> Why:
        if isinstance(line, SaleLine):
            return self._sale(line)
        return self._opening(line) if isinstance(line, OpenLine) else self._part(line)

    def _sale(self, line: SaleLine) -> Why:
        def drop(instance: Instance) -> Instance:
            return replace(instance, lots=tuple(lot for lot in instance.lots if not _is_lot(instance, lot, line)))

        def uses(instance: Instance, decision: Decision) -> bool:
            return any(_is_lot(instance, instance.lots[i], line) for i, _, _ in decision.lots)

        without, other, worth = self._without(drop)
        today = line.price_per_kg
        at = quote_at(self.instance.scenario, line.buyer, line.grade, today)
        flip = self._flip(at, drop, uses, (today, worth / max(line.mass_kg, LEAST_KG)), other)
        fates = where_grade_goes(without, other.checked.decision, line.grade)
        return Why(worth, fates, line.buyer, line.grade, flip.price, flip.exact, self._posted(line.buyer))

    def _opening(self, line: OpenLine) -> Why:
        def drop(instance: Instance) -> Instance:
            kept = tuple(o for o in instance.openings if not _is_opening(instance, o, line))
            return replace(instance, openings=kept)

        opened = [o for o, opening in enumerate(self.instance.openings) if _is_opening(self.instance, opening, line)]

        def uses(_: Instance, decision: Decision) -> bool:
            return any(decision.opened[o] for o in opened)

        without, other, worth = self._without(drop)
        fates = what_becomes_of(without, other.checked.decision, self.instance.openings[opened[0]].node)
        main = self._main_price(opened)
        if main is None:
            return Why(worth, fates, None, None, None, other.proven)
        buyer, grade, price = main
        at = grade_at(self.instance.scenario, grade, price)
        flip = self._flip(at, drop, uses, (price, 0.0), other)
        return Why(worth, fates, None, grade, flip.price, flip.exact, self._posted(buyer))

    def _main_price(self, opened: list[int]) -> tuple[str, str, float] | None:
        """The grade that carries these openings: who pays what for the largest lot it goes in, or else its best quote.

        None where no grade does, or where it is not paid for.
        """
        instance, decision = self.instance, self.here.checked.decision
        g = main_grade(instance, decision, opened)
        lots = [] if g is None else _lots_of(instance, decision, g)
        offer = None if g is None else instance.market.best(instance.grades[g])
        if lots:
            _, i, t = max(lots)
            lot = instance.lots[i]
            found = instance.buyers[lot.buyer].id, instance.grades[lot.grade], lot.tiers[t].quote.price.mean
        elif offer is not None:
            found = offer.buyer, offer.grade, offer.quote.price.mean
        else:
            return None
        return found if found[2] > 0.0 else None

    def _part(self, line: PartLine) -> Why:
        def drop(instance: Instance) -> Instance:
            kept = tuple(sale for sale in instance.part_sales if not _is_part(instance, sale, line))
            return _with_caps(instance, replace(instance, part_sales=kept, caps=()))

        def uses(instance: Instance, decision: Decision) -> bool:
            sold = zip(instance.part_sales, decision.parts, strict=True)
            return any(units and _is_part(instance, sale, line) for sale, units in sold)

        sale = next(s for s in self.instance.part_sales if _is_part(self.instance, s, line))
        without, other, worth = self._without(drop)
        at = part_at(self.instance.scenario, line.kind, line.piece, sale.part, line.price)
        flip = self._flip(at, drop, uses, (line.price, 0.0), other)
        fates = what_becomes_of(without, other.checked.decision, sale.node)
        return Why(worth, fates, None, None, flip.price, flip.exact)

    def _posted(self, buyer: str) -> bool:
        return any(b.id == buyer and b.shipping for b in self.instance.buyers)

    def _without(self, drop: Drop) -> tuple[Instance, Solution, float]:
        """The instance without the line, its best plan, and how much less that is worth."""
        without = drop(self.instance)
        other = solved(without, self.seconds)
        return without, other, max(0.0, self.here.objective - other.objective)

    def _flip(self, at: AtPrice, drop: Drop, uses: Uses, price: tuple[float, float], other: Solution) -> Flip:
        """Looked for from nothing to ten times today's price.

        Where a buyer pays nothing or charges, as far to either side of today's price: `price` is that price and the
        worth of the line per kg.
        """
        today, per_kg = price
        reach = MOST_TIMES * max(abs(today), per_kg)
        low, high = (0.0, MOST_TIMES * today) if today > 0.0 else (today - reach, today + reach)
        if today > 0.0 and any(buyer.ticket_fee for buyer in self.instance.buyers):
            low = LEAST_PRICE * today  # at nothing at all a ticket that is for this lot alone has no fee
        began = time.monotonic()
        line = PriceQuestion(self.instance, at, drop, uses, today, low, high)
        return Turning(line, self.here, other, self.seconds, lambda: time.monotonic() - began).flip()


def _lots_of(instance: Instance, decision: Decision, grade: int) -> list[tuple[float, int, int]]:
    """Kilograms, number and tier of a grade's lots; where it has none, of those of the grades it is sold as."""
    lots: list[tuple[float, int, int]] = []
    moved, wanted, seen = downgraded_kg(instance, decision), {grade}, set[int]()
    while wanted and not lots:
        lots = [(kg, i, t) for (i, t, _), kg in decision.lots.items() if instance.lots[i].grade in wanted]
        seen |= wanted
        lower = {low for d, (high, low) in enumerate(instance.downgrades) if high in wanted and moved.get(d)}
        wanted = lower - seen
    return lots


def _is_lot(instance: Instance, lot: Lot, line: SaleLine) -> bool:
    return (instance.buyers[lot.buyer].id, instance.grades[lot.grade]) == (line.buyer, line.grade)


def _is_opening(instance: Instance, opening: Opening, line: OpenLine) -> bool:
    group = instance.groups[opening.group]
    this = (group.find.kind, instance.nodes[opening.node].piece.id, opening.operation.id)
    find = group.find
    same_find = (find.works, find.mass_kg, find.chance, group.offer) == (
        line.works,
        line.mass_kg,
        line.chance,
        line.offer,
    )
    return same_find and this == (line.kind, line.piece, line.operation)


def _is_part(instance: Instance, sale: PartSale, line: PartLine) -> bool:
    node = instance.nodes[sale.node]
    name = sale.part.name or node.piece.name
    return (instance.groups[node.group].find.kind, node.piece.of_kind, name) == (line.kind, line.piece, line.name)


def _with_caps(before: Instance, after: Instance) -> Instance:
    """The caps that still bind, renumbered to the part sales that are left."""
    position = {id(sale): i for i, sale in enumerate(after.part_sales)}
    caps = []
    for cap in before.caps:
        left = tuple(position[id(before.part_sales[s])] for s in cap.sales if id(before.part_sales[s]) in position)
        if left:
            caps.append(replace(cap, sales=left))
    return replace(after, caps=tuple(caps))
