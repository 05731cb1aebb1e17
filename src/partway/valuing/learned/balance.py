"""Masses that were learned one by one made to add up again: what comes out of a piece weighs what the piece weighs.

Each mass is moved by as little as its own doubt allows: least squares over all pieces at once, weighted with the
inverse of their covariance, under one equation for each operation, sum of the pieces = share of the piece opened, with
the share that the estimates had (adjustment of conditioned observations, Gauss 1828; from memory). A piece that nobody
weighed is known as a share of what it comes out of, so it is in doubt as that is, and besides.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partway.catalogue.checks.masses import with_mean
from partway.things.anatomy import Anatomy, Operation
from partway.things.estimate import Estimate

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

LEAST = 0.2  # of what the estimates would say: no piece is moved below it to make the others add up

Masses = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class MassFound:
    """A piece's mass as learned alone, and how far its middle may be off, relative to it; `of` is the piece by whose
    mass it is known, empty where it is known by itself. `start` is a mass with which all pieces add up.
    """

    mass: Estimate
    doubt: float
    of: str
    start: float


def balanced(anatomy: Anatomy, found: Mapping[str, MassFound]) -> dict[str, Estimate]:
    """The masses of all pieces, near those found, such that operations add up at the likely masses and at the means in
    the shares that the estimates had. `found` has a piece after the one by whose mass it is known.
    """
    was = {piece: anatomy.piece(piece).mass for piece in found}
    likely = _adjusted(
        anatomy, found, {p: one.mass.likely for p, one in found.items()}, {p: m.likely for p, m in was.items()}
    )
    likely = _heavy_enough(found, likely)
    near = {piece: one.mass.scaled(likely[piece] / one.mass.likely) for piece, one in found.items()}
    mean = _adjusted(anatomy, found, {p: m.mean for p, m in near.items()}, {p: m.mean for p, m in was.items()})
    fitted = {piece: with_mean(near[piece].low, likely[piece], mean[piece]) for piece in found}
    masses = {piece: mass for piece, mass in fitted.items() if mass is not None}
    if len(masses) < len(found):  # the means cannot all be kept: all pieces take the range of the whole
        whole = near[anatomy.whole.id]
        masses = {piece: whole.scaled(likely[piece] / whole.likely) for piece in found}
    return masses


def _adjusted(anatomy: Anatomy, found: Mapping[str, MassFound], values: Masses, was: Masses) -> dict[str, float]:
    """The values nearest to those given under the operations' equations; `was` gives the share of each equation."""
    import numpy as np  # slow to load, and most ledgers have learned nothing of most kinds

    names = {piece: i for i, piece in enumerate(values)}
    steps = [op for op in anatomy.operations if not op.asks]
    rows = _equations(anatomy, steps, names, was)
    at = np.array(list(values.values()))
    spread = at[:, None] * _doubts(found, names)
    weighed = rows @ spread @ spread.T
    pull, *_ = np.linalg.lstsq(weighed @ rows.T, rows @ at, rcond=1e-10)  # operations may say the same twice
    return dict(zip(names, (at - weighed.T @ pull).tolist(), strict=True))


def _equations(anatomy: Anatomy, steps: Sequence[Operation], names: Mapping[str, int], was: Masses) -> Array:
    import numpy as np

    rows = np.zeros((len(steps), len(names)))
    for row, step in zip(rows, steps, strict=True):
        given = [(anatomy.in_hand(give.piece).id, give.count) for give in step.gives]
        on = anatomy.in_hand(step.on).id
        for piece, count in given:
            row[names[piece]] += count
        row[names[on]] -= sum(count * was[piece] for piece, count in given) / was[on]
    return rows


def _doubts(found: Mapping[str, MassFound], names: Mapping[str, int]) -> Array:
    """How far each mass may be off by each doubt there is: its own, and those of what it is known by."""
    import numpy as np

    spread = np.zeros((len(names), len(names)))
    for piece, one in found.items():
        if one.of:
            spread[names[piece]] = spread[names[one.of]]
        spread[names[piece], names[piece]] = one.doubt
    return spread


def _heavy_enough(found: Mapping[str, MassFound], masses: Masses) -> dict[str, float]:
    """As far from the start, which adds up, towards `masses`, which add up, as leaves every piece something."""
    far = 1.0
    for piece, kg in masses.items():
        start, least = found[piece].start, LEAST * found[piece].start
        if kg < least:
            far = min(far, (start - least) / (start - kg))
    return {piece: one.start + far * (masses[piece] - one.start) for piece, one in found.items()}
