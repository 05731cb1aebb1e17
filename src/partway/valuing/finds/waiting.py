"""Finds that wait for the bench, those alike together, and what of them fits the hours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from partway.things.scenario import Scenario, Works
from partway.valuing.finds.hand import Holding

STEP = 1.3  # finds of a kind whose masses lie within such a factor stand in one line


@dataclass(frozen=True, slots=True)
class WaitingFind:
    """A find that waits: `pieces` are what is left of it, `mass_kg` each or of all that is left; None if unweighed.

    `conflict` says why its figures are in doubt; `chance` is how likely it is to work, None as its kind usually is.
    """

    find: str
    kind: str
    works: Works
    count: int
    mass_kg: float | None
    days: int
    pieces: tuple[tuple[str, int], ...]
    partly: bool = False
    conflict: tuple[str, ...] = ()
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class Unvalued:
    """A find that cannot be valued, and why: kind (not in the catalogue) or rest (nobody knows what is left)."""

    find: str
    kind: str
    name: str
    why: str
    conflict: tuple[str, ...] = ()


def alike(scenario: Scenario, waiting: Iterable[WaitingFind]) -> list[tuple[WaitingFind, ...]]:
    """Same kind and condition, unweighed or of about one mass; what was opened stands alone. Longest waiting first."""
    groups: dict[tuple[object, ...], list[WaitingFind]] = {}
    for find in waiting:
        alone = find.find if find.partly else ""
        groups.setdefault((find.kind, find.works, find.chance, _class(scenario, find), alone), []).append(find)
    return [tuple(sorted(finds, key=lambda f: (-f.days, f.find))) for finds in groups.values()]


def _class(scenario: Scenario, find: WaitingFind) -> int | None:
    """Which step of masses a find is on; None where it was not weighed."""
    if find.mass_kg is None:
        return None
    return round(math.log(find.mass_kg / scenario.anatomies[find.kind].whole.mass.likely, STEP))


def holding_of(scenario: Scenario, finds: Sequence[WaitingFind]) -> Holding:
    """One of finds alike, of their mean mass."""
    one = finds[0]
    mass = None
    if one.mass_kg is not None:
        mass = sum(f.mass_kg * f.count for f in finds if f.mass_kg) / sum(f.count for f in finds)
    if not one.partly:
        return Holding(one.kind, one.works, mass, ((scenario.anatomies[one.kind].whole.id, 1),), one.chance)
    return Holding(one.kind, one.works, _whole_mass(scenario, one, mass), one.pieces, one.chance)


def _whole_mass(scenario: Scenario, one: WaitingFind, left_kg: float | None) -> float | None:
    """What the whole weighed if what is left of it weighs so much and the rest is as the catalogue has it."""
    if left_kg is None:
        return None
    anatomy = scenario.anatomies[one.kind]
    usual = sum(count * anatomy.piece(piece).mass.mean for piece, count in one.pieces)
    return anatomy.whole.mass.mean * left_kg / usual


def that_fit(lines: Iterable[tuple[int, float]], minutes: float) -> tuple[list[int], float]:
    """How many of each line fit, one line after another, until one does not fit whole; and the minutes that takes.

    Lines are counts, and the minutes of each.
    """
    fit, used, full = [], 0.0, False
    for count, each in lines:
        room = count if not each else min(count, int((minutes - used) / each + 1e-9))
        fits = 0 if full else room
        full = full or fits < count
        used += fits * each
        fit.append(fits)
    return fit, used
