"""Small pieces of the drawn anatomy put together, so that what is drawn can be read."""

from __future__ import annotations

from dataclasses import replace

from partway.reports.bench.limbs import Limb

# Of the whole: two and more pieces below it that come out together share a box. The next where more ends are left than
# can be read.
SMALL = (0.03, 0.05, 0.08, 0.12)
ENDS = 7


def few_enough(limbs: tuple[Limb, ...], by: str, alone: str = "") -> tuple[Limb, ...]:
    """The same with so many small pieces put together that no more than `ENDS` ends are left, where that can be."""
    found = limbs
    for small in SMALL:
        found = small_ones_together(limbs, by, alone=alone, small=small)
        if len(ends_of(found)) <= ENDS:
            break
    return found


def ends_of(limbs: tuple[Limb, ...]) -> list[Limb]:
    """What nothing comes out of, from top to bottom."""
    return [end for limb in limbs for end in (ends_of(limb.limbs) if limb.limbs else [limb])]


def small_ones_together(
    limbs: tuple[Limb, ...],
    by: str,
    total: float | None = None,
    answers: bool = False,
    alone: str = "",
    small: float = SMALL[0],
) -> tuple[Limb, ...]:
    """The same with small pieces that come out together as one limb; what is never opened, answers and the piece
    `alone` stay alone.
    """
    whole = sum(limb.measure(by) for limb in limbs) if total is None else total
    kept = [replace(limb, limbs=small_ones_together(limb.limbs, by, whole, limb.asks, alone, small)) for limb in limbs]
    few = [
        limb
        for limb in kept
        if not limb.limbs and limb.state != "stop" and limb.piece != alone and limb.measure(by) < small * whole
    ]
    if answers or len(few) < 2:
        return tuple(kept)
    values = [limb.value for limb in few if limb.value is not None]
    one = Limb(
        piece="",
        name=f"{sum(limb.count for limb in few)} small pieces",
        state="small",
        depth=few[0].depth,
        count=sum(limb.count for limb in few),
        pieces=len(few),
        mass_kg=sum(limb.mass_kg for limb in few),
        value=sum(values) if values else None,
        share=few[0].share,  # they come out together
    )
    return (*(limb for limb in kept if limb not in few), one)
