"""What one piece of a grade weighs, for prices by the piece and for numbers of pieces."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from partway.things.anatomy import Anatomy


def piece_masses(anatomies: Iterable[Anatomy], *, whole: bool = False) -> Mapping[str, tuple[float, ...]]:
    """By grade the kg that reach it of one of each piece that is sold as it, lightest first; of whole finds alone where
    `whole` says so.
    """
    found: dict[str, list[float]] = defaultdict(list)
    for anatomy in anatomies:
        for piece in anatomy.pieces[:1] if whole else anatomy.pieces:
            for sale in piece.sells:
                found[sale.grade].append(piece.mass.mean * sale.share)
    return {grade: tuple(sorted(masses)) for grade, masses in found.items()}
