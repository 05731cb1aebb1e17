"""Which of several things in sight to lift first, with so much room, mass and time left on the vehicle.

Worth, mass, space and minutes of each are the curb's own (valuing.finds.curb); here they are only weighed up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Resource = Literal["kg", "litres", "minutes"]
RESOURCES: tuple[Resource, ...] = ("kg", "litres", "minutes")
MOST = 20  # things: beyond, all ways to choose are too many to go through for certain
SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class RoomLeft:
    """What is left of each; None where nobody said, which limits nothing."""

    kg: float | None = None
    litres: float | None = None
    minutes: float | None = None

    def of(self, resource: Resource) -> float | None:
        """What is left of one."""
        left: float | None = getattr(self, resource)
        return left


@dataclass(frozen=True, slots=True)
class ThingInSight:
    """One thing: `net` with bench and loading paid. `litres` is None where no space is known: then none is counted."""

    name: str
    net: float
    kg: float
    litres: float | None
    minutes: float

    def of(self, resource: Resource) -> float:
        """What it takes of one."""
        taken: float | None = getattr(self, resource)
        return taken or 0.0


@dataclass(frozen=True, slots=True)
class Lift:
    """Which to lift, by number, in that order, and what they bring; `scarce` is what runs out first, if anything."""

    chosen: tuple[int, ...]
    net: float
    scarce: Resource | None


def what_to_lift(things: Sequence[ThingInSight], room: RoomLeft) -> Lift:
    """The things that together bring most within the room, first the one that brings most of what is scarce.

    All ways to choose are gone through but those that cannot beat the best one found (branch and bound), so the answer
    is exact. What brings nothing is never lifted.
    """
    paying = [n for n, thing in enumerate(things) if thing.net > 0.0]
    limits = [(r, left) for r in RESOURCES if (left := room.of(r)) is not None]
    scarce = _scarce([things[n] for n in paying], limits)
    order = sorted(paying, key=lambda n: -_rate(things[n], scarce))
    needs = [[things[n].of(r) for n in order] for r, _ in limits]
    picked = _most([things[n].net for n in order], needs, [left for _, left in limits])
    chosen = tuple(order[n] for n in picked)
    return Lift(chosen, math.fsum(things[n].net for n in chosen), scarce)


def _scarce(things: Sequence[ThingInSight], limits: Sequence[tuple[Resource, float]]) -> Resource | None:
    """That of which all together need the largest share of what is left; None where everything fits."""
    needed = [(math.fsum(thing.of(r) for thing in things), left, r) for r, left in limits]
    over = [(need / left if left > 0 else math.inf, r) for need, left, r in needed if need > left + SLACK]
    return max(over, key=lambda one: one[0])[1] if over else None


def _rate(thing: ThingInSight, scarce: Resource | None) -> float:
    """What it brings for what it takes of the scarce; where nothing is scarce by the minute of loading."""
    needs = thing.of(scarce or "minutes")
    return thing.net / needs if needs > 0 else math.inf


def _most(values: Sequence[float], needs: Sequence[Sequence[float]], limits: Sequence[float]) -> tuple[int, ...]:
    """Numbers of the values whose sum is greatest within all limits: 0-1 knapsack, exact, by branch and bound."""
    count = len(values)
    by_rate = [_by_rate(values, need) for need in needs]
    best: tuple[int, ...] = ()
    best_value = 0.0
    stack: list[tuple[int, float, tuple[float, ...], tuple[int, ...]]] = [(0, 0.0, tuple(limits), ())]
    while stack:
        at, value, left, chosen = stack.pop()
        if value > best_value + SLACK:
            best, best_value = chosen, value
        if at == count or value + _at_most(at, values, needs, left, by_rate) <= best_value + SLACK:
            continue
        stack.append((at + 1, value, left, chosen))
        rest = tuple(had - need[at] for had, need in zip(left, needs, strict=True))
        if all(one >= -SLACK for one in rest):
            stack.append((at + 1, value + values[at], rest, (*chosen, at)))
    return best


def _by_rate(values: Sequence[float], need: Sequence[float]) -> list[int]:
    return sorted(range(len(values)), key=lambda n: -values[n] / need[n] if need[n] > 0 else -math.inf)


def _at_most(
    at: int,
    values: Sequence[float],
    needs: Sequence[Sequence[float]],
    left: Sequence[float],
    by_rate: Sequence[Sequence[int]],
) -> float:
    """No choice among the values from `at` on brings more: the least of what each limit alone allows, parts allowed."""
    bound = math.fsum(values[at:])
    for need, room, order in zip(needs, left, by_rate, strict=True):
        total, rest = 0.0, room
        for n in order:
            if n >= at:
                if need[n] > rest:
                    total += values[n] * max(0.0, rest) / need[n]
                    break
                total, rest = total + values[n], rest - need[n]
        bound = min(bound, total)
    return bound
