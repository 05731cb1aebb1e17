"""What becomes of each sort of find: its openings and where every piece ends."""

from __future__ import annotations

from partway.planning.instance.frozen import Group, Instance
from partway.reports.haul.plan_lines import EndLine, FindLine, OpenLine
from partway.valuing.finds.facts import condition_of
from partway.valuing.plans.decision import Worth


def find_lines(instance: Instance, worth: Worth, opened: tuple[OpenLine, ...]) -> tuple[FindLine, ...]:
    """One line a group: those opened first in the order of their openings, then those left whole."""
    lines = [_line(instance, worth, g, opened) for g in range(len(instance.groups))]
    return tuple(sorted(lines, key=lambda line: (not line.open, line.open[:1], -line.mass_kg)))


def _line(instance: Instance, worth: Worth, g: int, opened: tuple[OpenLine, ...]) -> FindLine:
    group = instance.groups[g]
    nodes = instance.nodes_of[g]
    whole = nodes[0]
    times = {o: worth.decision.opened[o] for o in instance.openings_of[whole]}
    mine = [line for line in opened if _same(line, group)]
    return FindLine(
        kind=group.anatomy.kind,
        name=group.anatomy.name,
        works=group.find.works,
        count=group.find.count,
        mass_kg=instance.nodes[whole].kg,
        left_whole=group.find.count - sum(times.values()),
        per_hour=mine[0].per_hour if mine else None,
        minutes=sum(line.minutes for line in mine),
        open=tuple(line.line for line in mine),
        ends=tuple(end for n in nodes for end in _ends(instance, worth, n)),
    )


def _same(line: OpenLine, group: Group) -> bool:
    find = group.find
    of_line = (line.kind, line.works, line.mass_kg, line.chance, line.offer)
    return of_line == (find.kind, find.works, find.mass_kg, find.chance, group.offer)


def _ends(instance: Instance, worth: Worth, n: int) -> list[EndLine]:
    node, decision = instance.nodes[n], worth.decision
    piece = node.piece
    anatomy = instance.groups[node.group].anatomy
    name = anatomy.name if piece is anatomy.whole else piece.name
    condition = condition_of(anatomy, piece.id)

    def end(count: int, outlet: str, to: str) -> EndLine:
        return EndLine(piece.id, name, count, node.kg * count, outlet, to, piece.stop, condition)  # type: ignore[arg-type]

    sold = [(decision.sold[s], instance.grades[instance.grade_sales[s].grade]) for s in instance.sales_of[n]]
    ends = [end(count, "grade", grade) for count, grade in sold if count]
    parts: dict[str, int] = {}
    for p in instance.parts_of[n]:
        part = instance.part_sales[p].part.name or name
        parts[part] = parts.get(part, 0) + decision.parts[p]
    ends += [end(units, "part", part) for part, units in parts.items() if units]
    if decision.kept[n]:
        ends.append(end(decision.kept[n], "keep", ""))
    return ends
