"""What rides whole: finds and heavy pieces, uncut, and no more than one person lifts."""

from __future__ import annotations

import math

from partway.planning.check.rules.material import reaches
from partway.planning.check.rules.required import KG_SLACK, require
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance, Node
from partway.things.buyers import takes
from partway.things.defaults import WHOLE_ABOVE_KG


def check_whole(instance: Instance, decision: Decision) -> None:
    """Whole finds, and pieces above the scenario's mass, ride whole: each in one lot that holds it, none cut."""
    loaded: dict[int, int] = {}
    heavy: dict[tuple[int, int], float] = {}
    for (s, i, k), n in decision.blocks.items():
        require(isinstance(n, int) and n > 0, "a number of pieces loaded whole is not a whole number above 0")
        sale, lot = instance.grade_sales[s], instance.lots[i]
        name = piece_name(instance, s)
        require(reaches(instance, sale.grade, lot.grade), f"{name} may not be sold as {instance.grades[lot.grade]}")
        one = sale.kg / instance.nodes[sale.node].piece.share
        require(one <= _largest(instance, i) * (1 + 1e-6), f"{name} of {one:g} kg does not fit in one piece")
        loaded[s] = loaded.get(s, 0) + n
        heavy[i, k] = heavy.get((i, k), 0.0) + sale.kg * n
    counts = _by_number(instance)
    for s, times in enumerate(decision.sold):
        whole = loaded.get(s, 0)
        if whole == times == 0:
            continue
        rides = _rides_whole(instance, s, counts)
        require(not whole or rides, f"{piece_name(instance, s)} is not loaded whole")
        require(whole == times or not rides, f"{piece_name(instance, s)} is cut")
    for (i, k), kg in heavy.items():
        there = sum(v for (lot, _, trip), v in decision.lots.items() if (lot, trip) == (i, k))
        grade = instance.grades[instance.lots[i].grade]
        require(there >= kg - KG_SLACK * max(1.0, kg), f"a lot of {there:g} kg of {grade} holds {kg:g} kg in pieces")


def piece_name(instance: Instance, s: int) -> str:
    """A piece and its kind, for a message."""
    node = instance.nodes[instance.grade_sales[s].node]
    return f"{node.piece.id} of {instance.groups[node.group].anatomy.kind}"


def _rides_whole(instance: Instance, s: int, counts: set[str]) -> bool:
    sale, vehicle = instance.grade_sales[s], instance.scenario.vehicle
    node = instance.nodes[sale.node]
    limit = WHOLE_ABOVE_KG if vehicle is None else vehicle.whole_above_kg
    find = instance.groups[node.group].anatomy.pieces[0]
    whole = find.id in (node.piece.of_kind, _asked(instance, node))
    return sale.kg > 0.0 and (whole or instance.grades[sale.grade] in counts or node.kg / node.piece.share > limit)


def _by_number(instance: Instance) -> set[str]:
    """Grades of which some buyer that takes them counts the pieces."""
    grades = instance.scenario.grades
    return {q.grade for b in instance.buyers for q in b.quotes if q.counted and takes(b, grades[q.grade])}


def _asked(instance: Instance, node: Node) -> str:
    """The piece that was asked about, by the name its kind has for it."""
    return instance.groups[node.group].anatomy.piece(node.piece.answer_to or node.piece.id).of_kind


def _largest(instance: Instance, i: int) -> float:
    """The heaviest piece that can get to a lot: by its payload, or in the largest parcel there is."""
    buyer, vehicle = instance.buyers[instance.lots[i].buyer], instance.scenario.vehicle
    if buyer.is_visited:
        return 0.0 if vehicle is None else vehicle.payload_kg
    return max((step.up_to_kg for step in buyer.shipping), default=math.inf)


def check_lifting(instance: Instance, decision: Decision) -> None:
    """Alone, nobody loads what is heavier than one person lifts."""
    vehicle = instance.scenario.vehicle
    if vehicle is None or vehicle.lift_kg is None or instance.scenario.hours.helpers > 0:
        return
    for s, times in enumerate(decision.sold):
        node = instance.nodes[instance.grade_sales[s].node]
        one = node.piece.mass.mean * instance.groups[node.group].scale
        require(
            not times or one <= vehicle.lift_kg, f"{piece_name(instance, s)} of {one:g} kg is too heavy for one person"
        )
