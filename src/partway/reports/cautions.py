"""The hazards a plan or a find brings up, in the order a person meets them: before any money."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from partway.reports.plan import CautionLine
from partway.things.anatomy import Anatomy
from partway.things.scenario import Scenario

if TYPE_CHECKING:  # `today` names cautions without planning anything
    from partway.planning.decision import Decision
    from partway.planning.instance import Instance


def hazards_of(scenario: Scenario, anatomy: Anatomy) -> list[str]:
    """Every caution id one kind can bring up, its own first, then its operations', stops' and grades'."""
    found = list(anatomy.cautions)
    found += [c for op in anatomy.operations for c in op.cautions]
    found += [piece.stop for piece in anatomy.pieces if piece.stop]
    found += [h for piece in anatomy.pieces for sale in piece.sells for h in scenario.grades[sale.grade].hazards]
    return list(dict.fromkeys(found))


def caution_lines(scenario: Scenario, by_kind: Iterable[tuple[str, Iterable[str]]]) -> tuple[CautionLine, ...]:
    """One line per hazard with the kinds it comes from; an id without a card still shows, by its own name."""
    kinds: dict[str, list[str]] = {}
    for kind, hazards in by_kind:
        for hazard in hazards:
            entry = kinds.setdefault(hazard, [])
            if kind not in entry:
                entry.append(kind)
    lines = []
    for hazard, names in kinds.items():
        card = scenario.cautions.get(hazard)
        if card is None:
            lines.append(CautionLine(hazard, hazard, "", "check your local code", "", tuple(names)))
        else:
            lines.append(CautionLine(hazard, card.name, card.hurts, card.first, card.never, tuple(names)))
    return tuple(lines)


def cautions_of(instance: Instance, decision: Decision) -> tuple[CautionLine, ...]:
    """The hazards of what a plan does: of each kind it opens and its used operations, of what stays shut
    along the way, and of whatever rides or is mailed.
    """
    scenario = instance.scenario
    by_kind: list[tuple[str, Iterable[str]]] = []
    for opening, times in zip(instance.openings, decision.opened, strict=True):
        if times:
            anatomy = instance.groups[opening.group].anatomy
            given = [anatomy.piece(g.piece) for g in opening.operation.gives]
            stops = [piece.stop for piece in given if piece.stop]
            by_kind.append((anatomy.kind, [*anatomy.cautions, *opening.operation.cautions, *stops]))
    for i, _, _ in decision.lots:
        grade = scenario.grades[instance.grades[instance.lots[i].grade]]
        by_kind.append((grade.id, grade.hazards))
    return caution_lines(scenario, by_kind)
