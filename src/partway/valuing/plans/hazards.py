"""The hazards that a plan brings up, in the order a person meets them."""

from __future__ import annotations

from collections.abc import Iterator

from partway.catalogue.named import hazards_of_piece
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance


def hazards_of_plan(instance: Instance, decision: Decision) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Kinds and grades that a plan names, each with its hazards: of each kind, opened or left whole, of its used
    operations, of what stays shut along the way, and of every grade that is filled, rides, is mailed or is kept.
    """
    by_kind = [*_opened(instance, decision), *_finds(instance, decision)]
    used = {instance.lots[i].grade for i, _, _ in decision.lots} | set(decision.kept_kg)
    used |= {sale.grade for sale, times in zip(instance.grade_sales, decision.sold, strict=True) if times}
    grades = [instance.scenario.grades[instance.grades[g]] for g in sorted(used)]
    return (*by_kind, *((grade.id, grade.hazards) for grade in grades))


def _opened(instance: Instance, decision: Decision) -> Iterator[tuple[str, tuple[str, ...]]]:
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        if times:
            anatomy = instance.groups[opening.group].anatomy
            given = [anatomy.piece(g.piece) for g in opening.operation.gives]
            stops = [piece.stop for piece in given if piece.stop]
            yield anatomy.kind, (*anatomy.cautions, *opening.operation.cautions, *stops)


def _finds(instance: Instance, decision: Decision) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Finds that are there, and pieces that end as they are: sold as a part, or kept."""
    for group in instance.groups:
        yield group.anatomy.kind, group.anatomy.cautions
    parts = {sale.node for sale, units in zip(instance.part_sales, decision.parts, strict=True) if units}
    for n, node in enumerate(instance.nodes):
        if n in parts or decision.kept[n]:
            yield instance.groups[node.group].anatomy.kind, hazards_of_piece(node.piece, instance.scenario.grades)
