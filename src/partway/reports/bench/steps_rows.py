"""Rows to weigh pieces in when a find is opened: what the steps give, where it may go, what it usually weighs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from partway.reports.bench.steps import BenchStep, Bins, Comes
from partway.things.anatomy import Anatomy, Piece
from partway.things.estimate import Estimate
from partway.things.material import Grade

RESIDUE = "residue"


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """Where a piece may go: a grade and a bin of it, no bin for one still to be made; residue goes to nobody."""

    grade: str
    name: str
    bin: str = ""


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece to weigh. `early`: it is opened again, or not touched, so it is only weighed where one stops there.

    `usual` is the mass of `count` of them in kg; `best` is where it sells best, None where nothing tells. A `part` is
    best kept in the find until somebody buys it.
    """

    piece: str
    name: str
    count: int
    usual: Estimate
    places: tuple[PiecePlace, ...]
    best: PiecePlace | None
    early: bool
    part: bool = False


def weighing_rows(
    anatomy: Anatomy, steps: Iterable[BenchStep], left: Iterable[Comes], bins: Bins, grades: Mapping[str, Grade]
) -> tuple[PieceRow, ...]:
    """What comes out in the order of the steps, then what is opened again on the way, then all there is besides."""
    rows: dict[str, PieceRow] = {}
    came, as_it_is = [c for step in steps for c in step.gives], list(left)
    for one in [*(c for c in came if c.way != "open"), *(c for c in came if c.way == "open"), *as_it_is]:
        early = one.way == "open" or (bool(came) and one in as_it_is)
        rows.setdefault(one.piece, _row(anatomy.piece(one.piece), one, early, bins, grades))
    for piece in anatomy.pieces:
        name = anatomy.name if piece is anatomy.whole else piece.name
        places = _places(piece, bins, grades)
        rows.setdefault(piece.id, PieceRow(piece.id, name, 1, piece.mass, places, None, early=True))
    return tuple(sorted(rows.values(), key=lambda row: row.early))


def _row(piece: Piece, came: Comes, early: bool, bins: Bins, grades: Mapping[str, Grade]) -> PieceRow:
    places = _places(piece, bins, grades)
    best = next((p for p in places if p.grade == came.grade and came.bin in ("", p.bin) and not came.bins), None)
    return PieceRow(piece.id, came.name, came.count, came.mass_kg, places, best, early, came.way == "part")


def _places(piece: Piece, bins: Bins, grades: Mapping[str, Grade]) -> tuple[PiecePlace, ...]:
    return tuple(_each(piece, bins, grades))


def any_place(bins: Bins, grades: Mapping[str, Grade]) -> Iterator[PiecePlace]:
    """Every grade, those with a bin first, and nobody at last."""
    for grade in sorted(grades, key=lambda grade: (grade not in bins, grades[grade].name)):
        if grade != RESIDUE:
            for bin_id in bins.get(grade, ()) or ("",):
                yield PiecePlace(grade, grades[grade].name, bin_id)
    yield PiecePlace(RESIDUE, "residue, nobody takes it")


def _each(piece: Piece, bins: Bins, grades: Mapping[str, Grade]) -> Iterator[PiecePlace]:
    """Its grades, each with the bins that hold it, and nobody at last."""
    sold = list(dict.fromkeys(sale.grade for sale in piece.sells if sale.grade != RESIDUE))
    for grade in sold:
        for bin_id in bins.get(grade, ()) or ("",):
            yield PiecePlace(grade, grades[grade].name, bin_id)
    yield PiecePlace(RESIDUE, "residue, nobody takes it")
