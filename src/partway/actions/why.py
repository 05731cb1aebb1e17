"""Every line of a plan defended by solving again without it.

If the line is forbidden and the best plan is then worth D less, the line's price could fall by D over its mass
before the plan without it is just as good: plans without the line do not depend on that price, and this plan
loses exactly its mass times the fall. Keep values are left as they are.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from partway.planning.decision import Decision
from partway.planning.instance import Instance
from partway.planning.search import search
from partway.planning.verify import Checked, verify
from partway.reports.plan import Fate, OpenLine, PartLine, Plan, SaleLine, Why
from partway.reports.worth import Worth

LEAST_SECONDS = 0.5
GAP = 1e-6


def explain(
    instance: Instance,
    checked: Checked,
    plan: Plan,
    seconds: float,
    on_step: Callable[[str, int, int], None] | None = None,
) -> Plan:
    """The plan with `why` on every opening, part and lot; each re-solve gets an equal share of what time is left."""
    lines: list[OpenLine | PartLine | SaleLine] = [*plan.open, *plan.parts, *plan.sales]
    defended: dict[int, Why] = {}
    began = time.monotonic()
    for n, line in enumerate(lines):
        left = seconds - (time.monotonic() - began)
        share = max(LEAST_SECONDS, left / (len(lines) - n))
        if on_step is not None:
            on_step(f"line {line.line}", n, len(lines))
        defended[line.line] = _Defence(instance, checked, share).of(line)
    return replace(
        plan,
        open=tuple(replace(line, why=defended[line.line]) for line in plan.open),
        parts=tuple(replace(line, why=defended[line.line]) for line in plan.parts),
        sales=tuple(replace(line, why=defended[line.line]) for line in plan.sales),
    )


@dataclass(frozen=True)
class _Defence:
    instance: Instance
    checked: Checked
    seconds: float

    def of(self, line: OpenLine | PartLine | SaleLine) -> Why:
        if isinstance(line, SaleLine):
            return self._sale(line)
        return self._opening(line) if isinstance(line, OpenLine) else self._part(line)

    def _without(self, forbidden: Instance) -> tuple[float, Checked, bool]:
        found = search(forbidden, self.seconds, GAP)
        other = verify(forbidden, found.decision)
        return max(0.0, self.checked.money.total - other.money.total), other, found.optimal

    def _sale(self, line: SaleLine) -> Why:
        instance = self.instance
        lots = tuple(lot for lot in instance.lots if not self._is(lot.buyer, lot.grade, line))
        worth, other, exact = self._without(replace(instance, lots=lots))
        mass = sum(
            kg
            for (i, _, _), kg in self.checked.decision.lots.items()
            if self._is(instance.lots[i].buyer, instance.lots[i].grade, line)
        )
        went = _where_grade_goes(replace(instance, lots=lots), other.decision, line.grade)
        return Why(worth, went, line.grade, line.price_per_kg - worth / mass, exact)

    def _is(self, buyer: int, grade: int, line: SaleLine) -> bool:
        return self.instance.buyers[buyer].id == line.buyer and self.instance.grades[grade] == line.grade

    def _opening(self, line: OpenLine) -> Why:
        instance = self.instance
        dropped = {
            o
            for o, opening in enumerate(instance.openings)
            if opening.operation.id == line.operation
            and instance.nodes[opening.node].piece.id == line.piece
            and instance.groups[opening.group].anatomy.kind == line.kind
            and instance.groups[opening.group].find.works == line.works
            and instance.groups[opening.group].find.mass_kg == line.mass_kg
        }
        forbidden = replace(instance, openings=tuple(o for i, o in enumerate(instance.openings) if i not in dropped))
        worth, other, exact = self._without(forbidden)
        node = instance.openings[next(iter(dropped))].node
        grade, mass = self._main_grade(dropped)
        flip = None
        if grade is not None and mass > 0:
            flip = Worth(instance, self.checked.decision).per_kg[grade] - worth / mass
        return Why(
            worth=worth,
            runner_up=_what_becomes_of(forbidden, other.decision, node),
            flip_grade=None if grade is None else instance.grades[grade],
            flip_price=flip,
            exact=exact,
        )

    def _main_grade(self, openings: set[int]) -> tuple[int | None, float]:
        """The grade that brings most of what these openings yield directly, and the kilograms they add to it."""
        worth = Worth(self.instance, self.checked.decision)
        mass: dict[int, float] = {}
        for o in openings:
            times = self.checked.decision.opened[o]
            for child, count in self.instance.openings[o].gives:
                for g, kg in _grades_of(self.instance, self.checked.decision, child).items():
                    mass[g] = mass.get(g, 0.0) + kg * count * times
        best = max(mass, key=lambda g: mass[g] * worth.per_kg[g], default=None)
        return (None, 0.0) if best is None else (best, mass[best])

    def _part(self, line: PartLine) -> Why:
        instance = self.instance
        keep = tuple(
            sale
            for sale in instance.part_sales
            if not (
                instance.nodes[sale.node].piece.id == line.piece
                and instance.groups[instance.nodes[sale.node].group].anatomy.kind == line.kind
                and (sale.part.name or instance.nodes[sale.node].piece.name) == line.name
            )
        )
        dropped = [s for s in instance.part_sales if s not in keep]
        forbidden = replace(instance, part_sales=keep, caps=())
        worth, other, exact = self._without(_with_caps(instance, forbidden))
        each = worth / line.units / (line.chance * (1.0 - dropped[0].part.fee)) if line.chance else 0.0
        flip = line.price - each if each else None
        return Why(worth, _what_becomes_of(forbidden, other.decision, dropped[0].node), None, flip, exact)


def _with_caps(before: Instance, after: Instance) -> Instance:
    """The caps that still bind, renumbered to the part sales that are left."""
    position = {id(sale): i for i, sale in enumerate(after.part_sales)}
    caps = []
    for cap in before.caps:
        left = tuple(position[id(before.part_sales[s])] for s in cap.sales if id(before.part_sales[s]) in position)
        if left:
            caps.append(replace(cap, sales=left))
    return replace(after, caps=tuple(caps))


def _grades_of(instance: Instance, decision: Decision, node: int) -> dict[int, float]:
    """Kilograms of each grade that one piece of a node ends as, on average, in this decision."""
    there = decision.kept[node] + sum(decision.sold[s] for s in instance.sales_of[node])
    there += sum(decision.parts[p] for p in instance.parts_of[node])
    there += sum(decision.opened[o] for o in instance.openings_of[node])
    found: dict[int, float] = {}
    if not there:
        return found
    for s in instance.sales_of[node]:
        sale = instance.grade_sales[s]
        found[sale.grade] = found.get(sale.grade, 0.0) + sale.kg * decision.sold[s] / there
    for o in instance.openings_of[node]:
        for child, count in instance.openings[o].gives:
            for g, kg in _grades_of(instance, decision, child).items():
                found[g] = found.get(g, 0.0) + kg * count * decision.opened[o] / there
    return found


def _where_grade_goes(instance: Instance, decision: Decision, grade: str) -> tuple[Fate, ...]:
    """What the other plan does with a grade, most first."""
    g = instance.grades.index(grade)
    fates = [
        Fate("buyer", instance.buyers[instance.lots[i].buyer].id, None, kg)
        for (i, _, _), kg in decision.lots.items()
        if instance.lots[i].grade == g
    ]
    for d, kg in decision.downgraded.items():
        upper, lower = instance.downgrades[d]
        if upper == g:
            fates.append(Fate("grade", instance.grades[lower], None, kg))
    if decision.kept_kg.get(g, 0.0) > 0.0:
        fates.append(Fate("keep", "", None, decision.kept_kg[g]))
    return tuple(sorted(fates, key=lambda fate: -(fate.mass_kg or 0.0)))


def _what_becomes_of(instance: Instance, decision: Decision, node: int) -> tuple[Fate, ...]:
    """What the other plan does with a piece, the commonest first."""
    fates = [
        Fate("keep", "", decision.kept[node], None),
        *(
            Fate("grade", instance.grades[instance.grade_sales[s].grade], decision.sold[s], None)
            for s in instance.sales_of[node]
        ),
        *(Fate("part", instance.part_sales[p].part.name, decision.parts[p], None) for p in instance.parts_of[node]),
        *(
            Fate("open", instance.openings[o].operation.name, decision.opened[o], None)
            for o in instance.openings_of[node]
        ),
    ]
    return tuple(sorted((f for f in fates if f.count), key=lambda fate: -(fate.count or 0)))
