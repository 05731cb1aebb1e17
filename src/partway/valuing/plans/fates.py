"""What a decision does with one piece or one grade, most first."""

from __future__ import annotations

from collections.abc import Iterable

from partway.planning.decision import Decision
from partway.planning.instance.blocks import downgraded_kg
from partway.planning.instance.frozen import Instance
from partway.valuing.plans.decision import Worth
from partway.valuing.plans.facts import Fate


def where_grade_goes(instance: Instance, decision: Decision, grade: str) -> tuple[Fate, ...]:
    """Buyers, other grades and the bin, by mass."""
    g = instance.grades.index(grade)
    fates = [
        Fate("buyer", instance.buyers[instance.lots[i].buyer].id, None, kg)
        for (i, _, _), kg in decision.lots.items()
        if instance.lots[i].grade == g
    ]
    fates += [
        Fate("grade", instance.grades[instance.downgrades[d][1]], None, kg)
        for d, kg in downgraded_kg(instance, decision).items()
        if instance.downgrades[d][0] == g
    ]
    if decision.kept_kg.get(g, 0.0) > 0.0:
        fates.append(Fate("keep", "", None, decision.kept_kg[g]))
    return tuple(sorted(fates, key=lambda fate: -(fate.mass_kg or 0.0)))


def what_becomes_of(instance: Instance, decision: Decision, node: int) -> tuple[Fate, ...]:
    """Kept, sold by grade, sold as a part or opened, by count."""
    fates = [Fate("keep", "", decision.kept[node], None)]
    fates += [
        Fate("grade", instance.grades[instance.grade_sales[s].grade], decision.sold[s], None)
        for s in instance.sales_of[node]
    ]
    fates += [Fate("part", name, units, None) for name, units in _by_part(instance, decision, node).items()]
    fates += [
        Fate("open", instance.openings[o].operation.name, decision.opened[o], None) for o in instance.openings_of[node]
    ]
    return tuple(sorted((f for f in fates if f.count), key=lambda fate: -(fate.count or 0)))


def _by_part(instance: Instance, decision: Decision, node: int) -> dict[str, int]:
    """Units sold by the name of the part, its steps together."""
    units: dict[str, int] = {}
    for p in instance.parts_of[node]:
        name = instance.part_sales[p].part.name
        units[name] = units.get(name, 0) + decision.parts[p]
    return units


def main_grade(instance: Instance, decision: Decision, openings: Iterable[int]) -> int | None:
    """The grade that brings most of what these openings yield in the end; None if nothing does."""
    worth = Worth(instance, decision)
    money: dict[int, float] = {}
    for o in openings:
        for child, count in instance.openings[o].gives:
            for g, kg in _grades_of(instance, decision, child).items():
                money[g] = money.get(g, 0.0) + kg * count * decision.opened[o] * worth.per_kg[g]
    best = max(money, key=lambda g: money[g], default=None)
    return best if best is not None and money[best] > 0.0 else None


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
