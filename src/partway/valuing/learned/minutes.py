"""Minutes of a kind's operations as one's own clock has them.

A clock runs over everything that was done to a find together, so each operation learns from how much longer or shorter
that took than estimated, by its share of the minutes.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace

from partway.things.anatomy import Anatomy, Operation, step_of
from partway.things.learned import Learned
from partway.valuing.learned.estimates import as_estimate, as_known, moved, without_slips
from partway.valuing.learned.seen import KindSeen, WorkSeen

SHORTEST = 2.0  # minutes, by the estimate, that a whole number of them says something about
ENOUGH = 0.5  # observations, each by its share, from which on the estimate gives way

Factor = tuple[float, dict[str, float]]  # logarithm of how much longer than estimated, and the share of each step


def with_minutes(anatomy: Anatomy, seen: KindSeen) -> Anatomy:
    """The anatomy with its minutes learned from openings that were timed; the same where none was."""
    factors = tuple(_factors(anatomy, seen.work))
    found = [_learned(op, factors) for op in anatomy.operations] if factors else []
    learned = {one.of: one for one in found if one is not None}
    if not learned:
        return anatomy
    operations = tuple(replace(op, minutes=learned[op.id].now) if op.id in learned else op for op in anatomy.operations)
    return replace(anatomy, operations=operations, learned=(*anatomy.learned, *learned.values()))


def _factors(anatomy: Anatomy, work: Iterable[WorkSeen]) -> Iterable[Factor]:
    known = {op.id: op.minutes.mean for op in anatomy.operations}
    for one in work:
        if not all(op in known for op, _ in one.runs):
            continue  # an operation that an older catalogue had
        each: dict[str, float] = defaultdict(float)
        for op, times in one.runs:
            each[step_of(op)] += times * known[op]
        usual = sum(each.values())
        if usual >= SHORTEST:
            yield math.log(one.minutes / usual), {op: minutes / usual for op, minutes in each.items()}


def _learned(op: Operation, factors: Iterable[Factor]) -> Learned | None:
    step = step_of(op.id)
    seen = [(log, shares[step]) for log, shares in factors if step in shares]
    if sum(share for _, share in seen) < ENOUGH or op.minutes.low <= 0.0:
        return None
    prior = moved(as_known(op.minutes), 1.0 / op.minutes.likely)
    known, out = without_slips(prior, [log for log, _ in seen], [share for _, share in seen])
    now = as_estimate(moved(known, op.minutes.likely))
    return Learned("minutes", op.id, op.minutes, now, len(seen) - out, left_out=out)
