"""How many of a part are sold: its limit, and one unit for each step of its price."""

from __future__ import annotations

from partway.planning.check.rules.required import UNIT_SLACK, require
from partway.planning.decision import Decision
from partway.planning.instance.frozen import Instance


def check_caps(instance: Instance, decision: Decision) -> None:
    """No more of a part is sold than its limit, of what only some finds have by their share."""
    used: dict[tuple[str, str, str], float] = {}
    for sale, units in zip(instance.part_sales, decision.parts, strict=True):
        node = instance.nodes[sale.node]
        kind = instance.groups[node.group].anatomy.kind
        require(sale.part in node.piece.parts, f"a part is sold that {node.piece.id} of {kind} does not have")
        key = (kind, node.piece.of_kind, str(node.piece.parts.index(sale.part)))
        used[key] = used.get(key, 0.0) + units * node.piece.share
        most = sale.part.most
        require(most is None or used[key] <= most + UNIT_SLACK, f"more than {most} of a part of {kind}")
    _steps(instance, decision)


def _steps(instance: Instance, decision: Decision) -> None:
    """Of each step of a part one unit at most, of what only some finds have by their share."""
    taken: dict[tuple[str, str, str, int], float] = {}
    for sale, units in zip(instance.part_sales, decision.parts, strict=True):
        if sale.step is not None:
            piece = instance.nodes[sale.node].piece
            key = (instance.groups[instance.nodes[sale.node].group].find.kind, piece.of_kind, sale.part.name, sale.step)
            taken[key] = taken.get(key, 0.0) + units * piece.share
            require(taken[key] <= 1 + UNIT_SLACK, f"two units of {piece.id} that wait for the same buyer")
