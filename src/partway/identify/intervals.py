"""A density that is not measured yet, as intervals equal in their logarithm: what a measurement may come to say."""

from __future__ import annotations

import math
from itertools import pairwise

from partway.identify.evidence import LEAST, MOST, phi, smoothed

CELLS = 48
EDGES = tuple(LEAST * (MOST / LEAST) ** (step / CELLS) for step in range(CELLS + 1))  # g/cm3


def middles() -> tuple[float, ...]:
    """The density that each interval stands for."""
    return tuple(math.sqrt(low * high) for low, high in pairwise(EDGES))


def interval_chances(off: float, density: float | None, spread: float) -> list[float]:
    """The chance that a measurement falls into each interval.

    `off` is the share it is off by, `spread` that of the material's pieces; the same for all of a length where the
    density is not known.
    """
    flat = [(high - low) / (MOST - LEAST) for low, high in pairwise(EDGES)]
    if density is None:
        return flat
    sd = density * math.hypot(off, spread)
    below = [0.0, *(phi((edge - density) / sd) for edge in EDGES[1:-1]), 1.0]
    return [smoothed(high - low, even) for (low, high), even in zip(pairwise(below), flat, strict=True)]
