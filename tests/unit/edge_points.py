"""Points of a programme of legs made by hand: home, a few places, and columns that can be told by their numbers."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np

MADE, VISIT, LEG = 0, 10, 100  # columns: trips made, VISIT + place, LEG + 10 a + b


def crossing(places: frozenset[int], size: int) -> list[tuple[int, float]]:
    pairs = [(a, b) for a in range(size) for b in range(a + 1, size)]
    return [(LEG + 10 * a + b, 1.0) for a, b in pairs if (a in places) != (b in places)]


def legs(size: int, **has: Any) -> Any:
    """Home and some places, all visited by a column of their own."""
    return SimpleNamespace(
        size=size, made=MADE, visits={p: VISIT + p for p in range(1, size)},
        crossing=lambda places: crossing(frozenset(places), size), **has,
    )  # fmt: skip


def point(made: float, visits: dict[int, float], driven: dict[tuple[int, int], float]) -> np.ndarray:
    x = np.zeros(200)
    x[MADE] = made
    for place, v in visits.items():
        x[VISIT + place] = v
    for (a, b), v in driven.items():
        x[LEG + 10 * a + b] = v
    return x


def short(row: tuple[list[tuple[int, float]], float], x: np.ndarray) -> float:
    """By how much a point is below the lower side."""
    terms, least = row
    return least - sum(a * float(x[c]) for c, a in terms)
