"""What a plan does with each piece of each find, to be asked for one thing after another."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from year_things import Asked
from year_work import Act

from partway.planning.check.verify import Checked
from partway.planning.instance.frozen import Instance


class Chosen:
    """What the plan does with each piece: counts that are used up, thing by thing, in the order of the work."""

    def __init__(self, instance: Instance, checked: Checked) -> None:
        self.instance, decision = instance, checked.decision
        self.node = {(node.group, node.piece.id): n for n, node in enumerate(instance.nodes)}
        self.groups: dict[tuple[Asked, bool], list[int]] = defaultdict(list)  # each as often as it has finds
        for g, group in enumerate(instance.groups):
            find, on_offer = group.find, getattr(group, "offer", 0) > 0
            key = (find.kind, find.works, getattr(find, "chance", None)), on_offer
            self.groups[key] += [g] * find.count
        self.left: dict[int, list[Planned]] = defaultdict(list)
        for o, n in enumerate(decision.opened):
            self._add(instance.openings[o].node, ("open", instance.openings[o].operation.id), n)
        for p, n in enumerate(decision.parts):
            sale = instance.part_sales[p]
            self._add(sale.node, ("part", str(instance.nodes[sale.node].piece.parts.index(sale.part))), n)
        for s, n in enumerate(decision.sold):
            self._add(instance.grade_sales[s].node, ("bin", instance.grades[instance.grade_sales[s].grade]), n)
        for n, count in enumerate(decision.kept):
            self._add(n, ("keep", ""), count)

    def _add(self, node: int, act: Act, count: int) -> None:
        if count:
            self.left[node].append(Planned(act, count))

    def group(self, asked: Asked, *, on_offer: bool) -> int:
        """The group that a thing was planned in."""
        return self.groups[asked, on_offer].pop(0)

    def of(self, group: int, piece: str) -> Act:
        """The next act planned for such a piece; the last one again where more turn up than were planned."""
        acts = self.left.get(self.node[group, piece], [])
        for planned in acts:
            if planned.count > 0:
                planned.count -= 1
                return planned.act
        return acts[-1].act if acts else ("keep", "")


@dataclass
class Planned:
    """An act and how often it is still to be done."""

    act: Act
    count: int
