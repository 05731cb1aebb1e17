"""The anatomy of a find as a tree of limbs: what is opened, what comes out, and what one operation more would give."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from partway.reports.bench.steps import Working
from partway.valuing.finds.facts import Question
from partway.valuing.finds.questions import only_if


@dataclass(frozen=True, slots=True)
class Limb:
    """A piece where it comes out. `limbs` is what is taken out of it,
    `beyond` what the best operation that does not pay would give. A piece that comes out twice has two limbs.

    Where its operation is a question (`asks`), its limbs are the answers, each the piece as it is in a `share` of
    finds. Mass and value are of a find that has the piece; heights count them by its share, so that they add up.
    """

    piece: str
    name: str
    state: str
    depth: int
    count: int
    mass_kg: float
    value: float | None
    hazard: str = ""
    step: int = 0
    operation: str = ""
    per_hour: float | None = None
    pieces: int = 1
    to: str = ""
    limbs: tuple[Limb, ...] = ()
    beyond: tuple[Limb, ...] = ()
    share: float = 1.0
    asks: bool = False
    answer: str = ""
    chance: float = 1.0
    question: Question | None = None
    note: str = ""

    def measure(self, by: str) -> float:
        """What its height shows: all that comes out of it, nothing below nothing."""
        if self.limbs:
            return sum(limb.measure(by) for limb in self.limbs)
        return self.share * (self.mass_kg if by == "mass" else max(0.0, self.value or 0.0))


def tree_of(working: Working) -> tuple[Limb, ...]:
    """What is in hand, as limbs with all that comes out; several pieces hang on one limb, what is left of the find."""
    roots = working.hand.roots
    if len(roots) == 1:
        return (_limb(working, *roots[0], depth=0),)
    limbs = _ordered(_limb(working, node, count, depth=1) for node, count in roots)
    values = [limb.value for limb in limbs if limb.value is not None]
    mass = sum(limb.mass_kg for limb in limbs)
    return (Limb("", "What is left", "opened", 0, 1, mass, sum(values) if values else None, limbs=limbs),)


def _limb(working: Working, node: int, count: int, depth: int) -> Limb:
    find, worked = working.find, working.worked
    piece, use = find.instance.nodes[node].piece, worked.use(node)
    condition = only_if(working.hand, node)
    limb = Limb(
        piece=piece.id,
        name=find.name(node),
        state={"open": "opened", "part": "part"}.get(use.way, "stop" if piece.stop else "ends"),
        depth=depth,
        count=count,
        mass_kg=find.kg(node) * count,
        value=worked.value(node, count),
        hazard=working.hazard(node),
        step=worked.numbers.get(node, 0),
        to=working.said(use),
        share=condition.share if condition else 1.0,
        asks=use.asks,
        answer=piece.answer,
        chance=find.chance(node),
        question=working.question(node, count),
        note=piece.note,
    )
    if use.way != "open":
        return replace(limb, beyond=_beyond(working, node, count, depth + 1))
    o = find.values.best(node).number
    opening = find.instance.openings[o]
    out = _ordered(_limb(working, child, each * count, depth + 1) for child, each in opening.gives)
    return replace(limb, operation=opening.operation.name, per_hour=find.rate(o), limbs=out)


def _beyond(working: Working, node: int, count: int, depth: int) -> tuple[Limb, ...]:
    """What the best operation that is not run would give, at the best of each piece."""
    o = working.worked.next_opening(node)
    if o is None:
        return ()
    find, rate = working.find, working.find.rate(o)
    opening = find.instance.openings[o]
    return _ordered(
        Limb(
            piece=find.instance.nodes[child].piece.id,
            name=find.name(child),
            state="beyond",
            depth=depth,
            count=each * count,
            mass_kg=find.kg(child) * each * count,
            value=working.worked.value(child, each * count),
            operation=opening.operation.name,
            per_hour=rate,
            share=condition.share if (condition := only_if(working.hand, child)) else 1.0,
        )
        for child, each in opening.gives
    )


def _ordered(limbs: Iterable[Limb]) -> tuple[Limb, ...]:
    """What is opened further first, then by money, so that the line runs in steps and not in teeth."""
    return tuple(sorted(limbs, key=lambda limb: (not limb.limbs, -limb.measure("value"), -limb.mass_kg)))
