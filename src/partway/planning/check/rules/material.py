"""What is there and where it goes: pieces one by one, grades by their mass, no hazard passed on."""

from __future__ import annotations

from partway.planning.check.rules.required import KG_SLACK, require
from partway.planning.decision import Decision
from partway.planning.instance.allowed import allowed_operations, sale_allowed
from partway.planning.instance.frozen import Instance
from partway.things.buyers import takes


def check_hazards(instance: Instance, decision: Decision) -> None:
    """Nothing is sold that still hides a hazard, before a required removal, or to a buyer that refuses it."""
    scenario = instance.scenario
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        if not times:
            continue
        node = instance.nodes[sale.node]
        anatomy = instance.groups[node.group].anatomy
        ways = [way for way in node.piece.sells if way.grade == instance.grades[sale.grade]]
        allowed = any(sale_allowed(scenario, anatomy, node.piece.id, way) for way in ways)
        require(allowed, f"{node.piece.id} of {anatomy.kind} may not be sold as it is")
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        if not times:
            continue
        piece = instance.nodes[opening.node].piece
        first = allowed_operations(instance.groups[opening.group].anatomy, piece.id)
        require(opening.operation in first and not piece.stop, f"{opening.operation.id} may not come now")
    for (i, _, _), kg in decision.lots.items():
        lot = instance.lots[i]
        grade = scenario.grades[instance.grades[lot.grade]]
        require(kg <= 0 or takes(instance.buyers[lot.buyer], grade), f"{grade.id} goes to a buyer that refuses it")


def check_pieces(instance: Instance, decision: Decision) -> None:
    """Every piece there is, found or out of another, is opened, sold or kept once; all counts are whole."""
    there = [node.found for node in instance.nodes]
    gone = list(decision.kept)
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        gone[opening.node] += times
        for given, count in opening.gives:
            there[given] += times * count
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        gone[sale.node] += times
    for part, times in zip(instance.part_sales, decision.parts, strict=True):
        gone[part.node] += times
    for n, node in enumerate(instance.nodes):
        require(there[n] == gone[n], f"{there[n]} x {node.piece.id} there, {gone[n]} used")
    counts = (*decision.opened, *decision.sold, *decision.parts, *decision.kept)
    require(all(isinstance(c, int) and c >= 0 for c in counts), "a count is negative or not whole")


def grade_inflow(instance: Instance, decision: Decision) -> list[float]:
    """Kilograms of each grade before any sale or downgrade: stock plus opened material."""
    there = list(instance.stock)
    for sale, times in zip(instance.grade_sales, decision.sold, strict=True):
        there[sale.grade] += sale.kg * times
        if instance.residue is not None:
            there[instance.residue] += sale.residue_kg * times
    return there


def check_grades(instance: Instance, decision: Decision) -> None:
    """Each grade balances: what is loaded whole goes straight to its lot's grade, the rest by the downgrades said."""
    left = grade_inflow(instance, decision)
    for (s, i, _), n in decision.blocks.items():
        sale, lot = instance.grade_sales[s], instance.lots[i]
        left[sale.grade] -= sale.kg * n
        left[lot.grade] += sale.kg * n
    for (i, _, _), kg in decision.lots.items():
        left[instance.lots[i].grade] -= kg
    for d, kg in decision.downgraded.items():
        upper, lower = instance.downgrades[d]
        require(
            _may_become(instance, upper, lower), f"{instance.grades[upper]} may not be sold as {instance.grades[lower]}"
        )
        left[upper] -= kg
        left[lower] += kg
    for g, grade in enumerate(instance.grades):
        gap = left[g] - decision.kept_kg.get(g, 0.0)
        scale = max(1.0, instance.supply[g])
        require(abs(gap) <= KG_SLACK * scale, f"{grade} does not balance by {gap:.9f} kg")
    amounts = [*decision.lots.values(), *decision.downgraded.values(), *decision.kept_kg.values()]
    require(min(amounts, default=0.0) >= -KG_SLACK, "a negative mass")


def _may_become(instance: Instance, upper: int, lower: int) -> bool:
    high, low = (instance.scenario.grades[instance.grades[g]] for g in (upper, lower))
    return low.id in high.downgrades and set(high.hazards) <= set(low.hazards)


def reaches(instance: Instance, upper: int, lower: int) -> bool:
    """Whether a grade may be sold as another, over any number of downgrades."""
    between = [g for g in range(len(instance.grades)) if g != upper and _may_become(instance, upper, g)]
    return upper == lower or any(reaches(instance, g, lower) for g in between)
