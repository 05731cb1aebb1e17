"""The lines of a plan's bench: what is opened, and what goes into each bin."""

from __future__ import annotations

from collections.abc import Callable

from partway.reports.haul.plan_lines import BinFilled, OpenLine
from partway.valuing.finds.facts import condition_of
from partway.valuing.plans.decision import Worth

CENT = 0.005
TAKE_DOWN = "it is on offer: take it down first"
FOR_THE_LOT = "pays only by what it adds to a lot: a minimum, a tier or a trip already made"


def open_lines(worth: Worth, number: Callable[[], int]) -> tuple[OpenLine, ...]:
    """Best money per hour first, find by find; the operations of one find stay in working order."""
    return tuple(_open_line(worth, o, number()) for group in worth.by_find for o in group)


def _open_line(worth: Worth, o: int, number: int) -> OpenLine:
    instance, decision = worth.instance, worth.decision
    opening = instance.openings[o]
    group = instance.groups[opening.group]
    times, gain = decision.opened[o], worth.gain(o)
    made = instance.nodes[opening.node].found
    made += sum(decision.opened[maker] * count for maker, count in instance.makers_of[opening.node])
    return OpenLine(
        kind=group.anatomy.kind,
        piece=instance.nodes[opening.node].piece.id,
        operation=opening.operation.id,
        times=times,
        line=number,
        name=opening.operation.name,
        works=group.find.works,
        mass_kg=group.find.mass_kg,
        of=made,
        minutes=opening.hours * 60.0 * times,
        gain=gain * times,
        per_hour=worth.per_hour(o),
        cautions=opening.operation.cautions,
        tools=opening.operation.tools,
        note="; ".join(_notes(gain, group.offer if instance.nodes[opening.node].found else 0)),
        asks=opening.operation.asks,
        only_if=condition_of(group.anatomy, opening.operation.on),
        advice=opening.operation.note,
        chance=group.find.chance,
        offer=group.offer,
    )


def _notes(gain: float, offer: int) -> list[str]:
    return [TAKE_DOWN] * (offer > 0) + [FOR_THE_LOT] * (gain < -CENT)


def bin_lines(worth: Worth) -> tuple[BinFilled, ...]:
    """What goes into each grade's bin."""
    instance, lines = worth.instance, []
    for g, grade in enumerate(instance.grades):
        pieces = [
            (instance.groups[instance.nodes[sale.node].group].anatomy.kind, instance.nodes[sale.node].piece.id, times)
            for sale, times in zip(instance.grade_sales, worth.decision.sold, strict=True)
            if times and sale.grade == g
        ]
        mass = worth.inflow[g]
        if mass > 1e-9:
            lines.append(BinFilled(grade, mass, instance.stock[g], tuple(pieces)))
    return tuple(sorted(lines, key=lambda line: -line.mass_kg))
