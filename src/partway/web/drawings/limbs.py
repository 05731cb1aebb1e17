"""Small pieces of the drawn anatomy put together, so that what is drawn can be read."""

from __future__ import annotations

from dataclasses import replace

from partway.reports.bench.limbs import Limb

SMALL = 0.03  # of the whole: two and more such pieces that come out together share a box


def small_ones_together(
    limbs: tuple[Limb, ...], by: str, total: float | None = None, answers: bool = False, alone: str = ""
) -> tuple[Limb, ...]:
    """The same with small pieces that come out together as one limb; what is never opened, answers and the piece
    `alone` stay alone.
    """
    whole = sum(limb.measure(by) for limb in limbs) if total is None else total
    kept = [replace(limb, limbs=small_ones_together(limb.limbs, by, whole, limb.asks, alone)) for limb in limbs]
    small = [
        limb
        for limb in kept
        if not limb.limbs and limb.state != "stop" and limb.piece != alone and limb.measure(by) < SMALL * whole
    ]
    if answers or len(small) < 2:
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
        share=small[0].share,  # they come out together
    )
    return (*(limb for limb in kept if limb not in small), one)
