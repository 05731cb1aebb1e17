"""Every line of a plan defended by solving again without it, and its flip price by solving again at other prices."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from partway.actions.flips import AtPrice, Flip, Search, Solution, grade_at, part_at, quote_at, solved
from partway.planning.instance import Instance, Lot, Opening, PartSale
from partway.planning.verify import Checked
from partway.reports.fates import main_grade, what_becomes_of, where_grade_goes
from partway.reports.plan import OpenLine, PartLine, Plan, SaleLine, Why

LEAST_SECONDS = 0.5

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
    here = Solution(checked.money.total, checked.decision, plan.status == "optimal")
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

        without = drop(self.instance)
        other, worth = self._solved(without)
        at = quote_at(self.instance.scenario, line.buyer, line.grade, line.price_per_kg)
        flip = self._flip(at, drop, line.price_per_kg, other)
        fates = where_grade_goes(without, other.decision, line.grade)
        return Why(worth, fates, line.buyer, line.grade, flip.price, flip.exact)

    def _opening(self, line: OpenLine) -> Why:
        def drop(instance: Instance) -> Instance:
            kept = tuple(o for o in instance.openings if not _is_opening(instance, o, line))
            return replace(instance, openings=kept)

        opened = [o for o, opening in enumerate(self.instance.openings) if _is_opening(self.instance, opening, line)]
        without = drop(self.instance)
        other, worth = self._solved(without)
        fates = what_becomes_of(without, other.decision, self.instance.openings[opened[0]].node)
        main = self._main_price(opened)
        if main is None:
            return Why(worth, fates, None, None, None, other.proven)
        grade, price = main
        flip = self._flip(grade_at(self.instance.scenario, grade, price), drop, price, other)
        return Why(worth, fates, None, grade, flip.price, flip.exact)

    def _main_price(self, opened: list[int]) -> tuple[str, float] | None:
        """The grade that carries these openings, at the price of its largest lot or else at its best quote."""
        instance, decision = self.instance, self.here.decision
        g = main_grade(instance, decision, opened)
        lots = [(kg, i, t) for (i, t, _), kg in decision.lots.items() if instance.lots[i].grade == g]
        if lots:
            _, i, t = max(lots)
            return instance.grades[instance.lots[i].grade], instance.lots[i].tiers[t].price
        offer = None if g is None else instance.market.best(instance.grades[g])
        return None if offer is None or offer.price <= 0.0 else (offer.grade, offer.quote.price.mean)

    def _part(self, line: PartLine) -> Why:
        def drop(instance: Instance) -> Instance:
            kept = tuple(sale for sale in instance.part_sales if not _is_part(instance, sale, line))
            return _with_caps(instance, replace(instance, part_sales=kept, caps=()))

        sale = next(s for s in self.instance.part_sales if _is_part(self.instance, s, line))
        without = drop(self.instance)
        other, worth = self._solved(without)
        at = part_at(self.instance.scenario, line.kind, line.piece, sale.part, line.price)
        flip = self._flip(at, drop, line.price, other)
        fates = what_becomes_of(without, other.decision, sale.node)
        return Why(worth, fates, None, None, flip.price, flip.exact)

    def _solved(self, without: Instance) -> tuple[Solution, float]:
        other = solved(without, self.seconds)
        return other, max(0.0, self.here.objective - other.objective)

    def _flip(self, at: AtPrice, drop: Callable[[Instance], Instance], today: float, other: Solution) -> Flip:
        began = time.monotonic()
        return Search(at, drop, self.seconds, lambda: time.monotonic() - began).flip(today, self.here, other)


def _is_lot(instance: Instance, lot: Lot, line: SaleLine) -> bool:
    return (instance.buyers[lot.buyer].id, instance.grades[lot.grade]) == (line.buyer, line.grade)


def _is_opening(instance: Instance, opening: Opening, line: OpenLine) -> bool:
    group = instance.groups[opening.group]
    this = (group.find.kind, instance.nodes[opening.node].piece.id, opening.operation.id)
    same_find = (group.find.works, group.find.mass_kg) == (line.works, line.mass_kg)
    return same_find and this == (line.kind, line.piece, line.operation)


def _is_part(instance: Instance, sale: PartSale, line: PartLine) -> bool:
    node = instance.nodes[sale.node]
    name = sale.part.name or node.piece.name
    return (instance.groups[node.group].find.kind, node.piece.id, name) == (line.kind, line.piece, line.name)


def _with_caps(before: Instance, after: Instance) -> Instance:
    """The caps that still bind, renumbered to the part sales that are left."""
    position = {id(sale): i for i, sale in enumerate(after.part_sales)}
    caps = []
    for cap in before.caps:
        left = tuple(position[id(before.part_sales[s])] for s in cap.sales if id(before.part_sales[s]) in position)
        if left:
            caps.append(replace(cap, sales=left))
    return replace(after, caps=tuple(caps))
