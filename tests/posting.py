"""What it costs to post a lot, found by trying every number of parcels of each size."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from partway.things.scenario import Postage


def enumerated(shipping: Sequence[Postage], kg: float) -> float:
    """The least that any parcels cost: every number of each step tried, and the smallest step takes the rest."""
    last, *others = sorted(shipping, key=lambda step: step.up_to_kg)
    counts = [range(math.ceil(kg / step.up_to_kg) + 1) for step in others]
    best = math.inf
    for chosen in itertools.product(*counts):
        held = sum(n * step.up_to_kg for n, step in zip(chosen, others, strict=True))
        rest = max(0, math.ceil((kg - held) / last.up_to_kg - 1e-9))
        best = min(best, sum(n * step.cost for n, step in zip(chosen, others, strict=True)) + rest * last.cost)
    return best
