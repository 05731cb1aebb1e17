"""The anatomy of a find as a tree of limbs: what is opened, what comes out, and what one operation more would give."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from partway.reports.bench.steps import Working

SMALL = 0.03  # of the whole: two and more such pieces that come out together share a box


@dataclass(frozen=True, slots=True)
class Limb:
    """A piece where it comes out. The fields are those of anatomy_picture.Box; `limbs` is what is taken out of it,
    `beyond` what the best operation that does not pay would give. A piece that comes out twice has two limbs.
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

    def measure(self, by: str) -> float:
        """What its height shows: all that comes out of it, nothing below nothing."""
        if self.limbs:
            return sum(limb.measure(by) for limb in self.limbs)
        return self.mass_kg if by == "mass" else max(0.0, self.value or 0.0)


def grown(working: Working) -> tuple[Limb, ...]:
    """What is in hand, as limbs with all that comes out; several pieces hang on one limb, what is left of the find."""
    roots = working.hand.roots
    if len(roots) == 1:
        return (_limb(working, *roots[0], depth=0),)
    limbs = _ordered(_limb(working, node, count, depth=1) for node, count in roots)
    values = [limb.value for limb in limbs if limb.value is not None]
    mass = sum(limb.mass_kg for limb in limbs)
    return (Limb("", "What is left", "opened", 0, 1, mass, sum(values) if values else None, limbs=limbs),)


def small_ones_together(limbs: tuple[Limb, ...], by: str, total: float | None = None) -> tuple[Limb, ...]:
    """The same with small pieces that come out together as one limb; what is never opened stays on its own."""
    whole = sum(limb.measure(by) for limb in limbs) if total is None else total
    kept = [replace(limb, limbs=small_ones_together(limb.limbs, by, whole)) for limb in limbs]
    small = [limb for limb in kept if not limb.limbs and limb.state != "stop" and limb.measure(by) < SMALL * whole]
    if len(small) < 2:
        return tuple(kept)
    values = [limb.value for limb in small if limb.value is not None]
    one = Limb(
        piece="",
        name=f"{sum(limb.count for limb in small)} small pieces",
        state="small",
        depth=small[0].depth,
        count=sum(limb.count for limb in small),
        pieces=len(small),
        mass_kg=sum(limb.mass_kg for limb in small),
        value=sum(values) if values else None,
    )
    return (*(limb for limb in kept if limb not in small), one)


def _limb(working: Working, node: int, count: int, depth: int) -> Limb:
    find = working.hand.find
    option, piece = find.values.best(node), find.instance.nodes[node].piece
    limb = Limb(
        piece=piece.id,
        name=working.name(node),
        state={"open": "opened", "part": "part"}.get(option.sort, "stop" if piece.stop else "ends"),
        depth=depth,
        count=count,
        mass_kg=find.instance.nodes[node].kg * count,
        value=working.value(node, count),
        hazard=working.hazard(node),
        step=working.numbers.get(node, 0),
        to=working.hand.words(option, node),
    )
    if option.sort != "open":
        return replace(limb, beyond=_beyond(working, node, count, depth + 1))
    opening = find.instance.openings[option.number]
    out = _ordered(_limb(working, child, each * count, depth + 1) for child, each in opening.gives)
    return replace(limb, operation=opening.operation.name, per_hour=working.rate(option.number), limbs=out)


def _beyond(working: Working, node: int, count: int, depth: int) -> tuple[Limb, ...]:
    """What the best operation that is not run would give, at the best of each piece."""
    o = working.next_opening(node)
    if o is None:
        return ()
    find, rate = working.hand.find, working.rate(o)
    opening = find.instance.openings[o]
    return _ordered(
        Limb(
            piece=find.instance.nodes[child].piece.id,
            name=working.name(child),
            state="beyond",
            depth=depth,
            count=each * count,
            mass_kg=find.instance.nodes[child].kg * each * count,
            value=working.value(child, each * count),
            operation=opening.operation.name,
            per_hour=rate,
        )
        for child, each in opening.gives
    )


def _ordered(limbs: Iterable[Limb]) -> tuple[Limb, ...]:
    """What is opened further first, then by money, so that the line runs in steps and not in teeth."""
    return tuple(sorted(limbs, key=lambda limb: (not limb.limbs, -limb.measure("value"), -limb.mass_kg)))
