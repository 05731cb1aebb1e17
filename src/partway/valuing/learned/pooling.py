"""What other parts say of one: a common multiplier, learned from those outside a family, then from those inside it.

A part's own sales are left out of what the others say of it, so that nothing counts twice. All in closed form, so the
order in which anything happened makes no difference.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

Key = tuple[str, str, str]  # kind, piece, part

ALL, FAMILY = 4.0, 8.0  # for how many well-known parts it counts that a multiplier is 1, or what all others say


@dataclass(frozen=True, slots=True)
class PartSeen:
    """What was seen of one part: a figure of it against what was expected, and how much that weighs, 1 at most for a
    part that is known well.
    """

    family: str
    figure: float
    weight: float


def pooled(seen: Mapping[Key, PartSeen], key: Key, family: str, expected: float) -> float:
    """The figure that is expected of a part because of the others: `expected` where nothing was seen of any."""
    others = [one for of, one in seen.items() if of != key]
    out = _mean((one for one in others if one.family != family), expected, ALL)
    return _mean((one for one in others if one.family == family), out, FAMILY)


def _mean(seen: Iterable[PartSeen], expected: float, strength: float) -> float:
    counted = list(seen)
    weight = math.fsum(one.weight for one in counted)
    return (strength * expected + math.fsum(one.weight * one.figure for one in counted)) / (strength + weight)


def rates_seen(
    sold: Mapping[Key, tuple[float, float]], shape: float, family: Callable[[Key], str]
) -> dict[Key, PartSeen]:
    """Sales against those expected, by part: a part of `expected` sales weighs expected / (expected + shape)."""
    return {
        key: PartSeen(family(key), sales / expected, expected / (expected + shape))
        for key, (sales, expected) in sold.items()
        if expected > 0.0
    }


def ratios_seen(
    logs: Mapping[Key, tuple[float, ...]], weight: float, family: Callable[[Key], str]
) -> dict[Key, PartSeen]:
    """Mean logarithms by part: a part of n sales weighs n / (n + weight)."""
    return {
        key: PartSeen(family(key), math.fsum(sorted(values)) / len(values), len(values) / (len(values) + weight))
        for key, values in logs.items()
        if values
    }
