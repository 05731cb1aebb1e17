"""What one piece of a grade weighs, for prices by the piece and for numbers of pieces."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from partway.things.anatomy import Anatomy


def piece_masses(anatomies: Iterable[Anatomy]) -> Mapping[str, tuple[float, ...]]:
    """By grade the kg that reach it of one of each piece that is sold as it, lightest first."""
    found: dict[str, list[float]] = defaultdict(list)
    for anatomy in anatomies:
        for piece in anatomy.pieces:
            for sale in piece.sells:
                found[sale.grade].append(piece.mass.mean * sale.share)
    return {grade: tuple(sorted(masses)) for grade, masses in found.items()}


def whole_masses(anatomies: Iterable[Anatomy]) -> Mapping[str, tuple[tuple[str, float], ...]]:
    """By grade the finds that are sold whole as it: what each is called, and its kg that reach it."""
    found: dict[str, list[tuple[str, float]]] = defaultdict(list)
    for anatomy in anatomies:
        for sale in anatomy.pieces[0].sells:
            found[sale.grade].append((anatomy.name, anatomy.pieces[0].mass.mean * sale.share))
    return {grade: tuple(named) for grade, named in found.items()}
