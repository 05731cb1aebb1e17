"""The hazards a plan or a find brings up, in the order a person meets them: before any money."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from partway.catalogue.cards import CODE
from partway.catalogue.named import hazards_of_piece
from partway.reports.haul.plan import CautionLine
from partway.things.material import Caution
from partway.things.scenario import Scenario

if TYPE_CHECKING:  # `today` names cautions without planning anything
    from partway.planning.decision import Decision
    from partway.planning.instance.frozen import Instance


def caution_lines(scenario: Scenario, by_kind: Iterable[tuple[str, Iterable[str]]]) -> tuple[CautionLine, ...]:
    """One line per hazard with the kinds it comes from; an id without a card still shows, by its own name."""
    kinds: dict[str, list[str]] = {}
    for kind, hazards in by_kind:
        for hazard in hazards:
            entry = kinds.setdefault(hazard, [])
            if kind not in entry:
                entry.append(kind)
    return tuple(caution_line(scenario.cautions, hazard, names) for hazard, names in kinds.items())


def caution_line(cautions: Mapping[str, Caution], hazard: str, kinds: Iterable[str]) -> CautionLine:
    """The card of a hazard as a line; one without a card still shows, by its own name."""
    card = cautions.get(hazard)
    if card is None:
        return CautionLine(hazard, hazard, "", CODE, "", CODE, "", tuple(kinds))
    said = (card.name, card.hurts, card.first, card.licensed, card.rule, card.never)
    return CautionLine(hazard, *said, tuple(kinds))


def cautions_of(instance: Instance, decision: Decision) -> tuple[CautionLine, ...]:
    """The hazards of all that a plan names: of each kind, opened or left whole, of its used operations, of what stays
    shut along the way, and of every grade that is filled, rides, is mailed or is kept.
    """
    by_kind = [*_opened(instance, decision), *_finds(instance, decision)]
    used = {instance.lots[i].grade for i, _, _ in decision.lots} | set(decision.kept_kg)
    used |= {sale.grade for sale, times in zip(instance.grade_sales, decision.sold, strict=True) if times}
    grades = [instance.scenario.grades[instance.grades[g]] for g in sorted(used)]
    return caution_lines(instance.scenario, [*by_kind, *((grade.id, grade.hazards) for grade in grades)])


def _opened(instance: Instance, decision: Decision) -> Iterable[tuple[str, Iterable[str]]]:
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        if times:
            anatomy = instance.groups[opening.group].anatomy
            given = [anatomy.piece(g.piece) for g in opening.operation.gives]
            stops = [piece.stop for piece in given if piece.stop]
            yield anatomy.kind, [*anatomy.cautions, *opening.operation.cautions, *stops]


def _finds(instance: Instance, decision: Decision) -> Iterable[tuple[str, Iterable[str]]]:
    """Finds that are there, and pieces that end as they are: sold as a part, or kept."""
    for group in instance.groups:
        yield group.anatomy.kind, group.anatomy.cautions
    parts = {sale.node for sale, units in zip(instance.part_sales, decision.parts, strict=True) if units}
    for n, node in enumerate(instance.nodes):
        if n in parts or decision.kept[n]:
            yield instance.groups[node.group].anatomy.kind, hazards_of_piece(node.piece, instance.scenario.grades)
