"""Pieces into parcels, none of them cut: whether they fit, and the ways to fill one parcel (bin packing)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

FITS = 1.0 + 1e-9  # a piece of exactly a parcel's mass fits, whatever its last digit says
MOST_TRIES = 20_000
MOST_PATTERNS = 400


def packs(pieces: Sequence[float], parcels: Sequence[float]) -> bool:
    """Whether pieces of these masses fit parcels of these sizes; False if no way is found in `MOST_TRIES` steps."""
    tries = iter(range(MOST_TRIES))
    return _packed(sorted(pieces, reverse=True), sorted(size * FITS for size in parcels), 0, tries)


def _packed(pieces: list[float], room: list[float], first: int, tries: Iterator[int]) -> bool:
    """Try the heaviest piece in each parcel that holds it, the fullest first; of parcels with equal room only one."""
    if first == len(pieces):
        return True
    for p, left in enumerate(room):
        if left < pieces[first] or (p and left == room[p - 1]):
            continue
        if next(tries, None) is None:
            return False
        others = sorted([*room[:p], left - pieces[first], *room[p + 1 :]])
        if _packed(pieces, others, first + 1, tries):
            return True
    return False


def patterns(masses: Sequence[float], size: float) -> tuple[list[tuple[int, ...]], bool]:
    """All ways to fill one parcel (pieces of each mass) that leave no room for another piece, and whether they are all.

    If there are too many, only the ways with pieces of a single mass.
    """
    found = list(islice(_patterns(masses, size * FITS), MOST_PATTERNS + 1))
    if len(found) <= MOST_PATTERNS:
        return found, True
    alone = [int(size * FITS / kg) for kg in masses]
    return [tuple(n if i == j else 0 for j in range(len(masses))) for i, n in enumerate(alone) if n], False


def _patterns(masses: Sequence[float], room: float) -> Iterator[tuple[int, ...]]:
    if not masses:
        yield ()
        return
    kg, rest = masses[0], masses[1:]
    least = min(masses)
    for n in range(int(room / kg), -1, -1):
        left = room - n * kg
        for others in _patterns(rest, left):
            used = sum(m * k for m, k in zip(rest, others, strict=True))
            if left - used < least:
                yield (n, *others)
