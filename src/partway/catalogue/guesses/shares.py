"""Masses of a guess: what a thing of a size weighs, and its pieces as shares of it."""

from __future__ import annotations

from collections.abc import Sequence

from partway.catalogue.checks.masses import with_mean
from partway.things.anatomy import SaleAs
from partway.things.estimate import Estimate
from partway.things.traits import SIZES

SMALLEST = 0.02  # kg, of the smallest size
LARGEST = 400.0  # kg: beyond this nobody lifts it
ANY_SIZE, ANY_LOT = Estimate(0.5, 4.0, 25.0), Estimate(0.2, 3.0, 15.0)  # kg, of what nobody weighed (from memory)
REST_LOW = 0.3  # of the likely mass of a rest, where its low end would be nothing


def mass_of(size: str, lot: bool = False) -> Estimate:
    """What a thing of a size weighs, in kg."""
    names = [name for name, _ in SIZES]
    if size not in names:
        return ANY_LOT if lot else ANY_SIZE
    at = names.index(size)
    low = SIZES[at - 1][1] if at else SMALLEST
    high = min(SIZES[at][1], LARGEST)
    return Estimate(low, (low + high) / 2.0, high)


def parted(mass: Estimate, shares: Sequence[Sequence[float]]) -> tuple[list[Estimate], Estimate]:
    """Pieces by their shares of a mass, and the rest of it: they add up at the likely masses and at the means."""
    points = [Estimate(*map(float, share)) for share in shares]
    pieces = [_shared(mass, share.mean, share.low) for share in points]
    rest = 1.0 - sum(share.mean for share in points)
    return pieces, _shared(mass, rest, REST_LOW * rest)


def sale(grade: str, share: Sequence[float]) -> SaleAs:
    """A sale as a grade at the mean of a share, which is drawn between its ends."""
    return SaleAs.of(grade, Estimate(*map(float, share)))


def _shared(mass: Estimate, share: float, low: float) -> Estimate:
    """So much of a mass, from a low share on up to what keeps its mean that share of the mean."""
    found = with_mean(low * mass.likely, share * mass.likely, share * mass.mean)
    if found is None:
        raise ValueError(f"{share} of {mass}, from {low} on: no such range")
    return found
