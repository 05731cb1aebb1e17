"""Where the catalogue names a hazard: every grade, kind, component, piece and operation that does."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from partway.catalogue.shipped import Catalogue
from partway.things.anatomy import Anatomy, Piece
from partway.things.material import Grade

What = Literal["grade", "kind", "component", "piece", "operation"]


@dataclass(frozen=True, slots=True)
class Names:
    """Something that names hazards. `of` is the kind or component a piece or an operation belongs to, else empty."""

    what: What
    id: str
    of: str
    name: str
    hazards: tuple[str, ...]


def names(catalogue: Catalogue) -> Iterator[Names]:
    """All that name a hazard: grades, then kinds and components, each with its pieces and operations.

    A piece names why it stays shut, and what can hurt about the grades it may be sold as.
    """
    for grade in catalogue.grades.values():
        if grade.hazards:
            yield Names("grade", grade.id, "", grade.name, grade.hazards)
    for anatomy in catalogue.all_anatomies():
        yield from _in_anatomy("kind", anatomy, catalogue.grades)
    for name in catalogue.component.names:
        yield from _in_anatomy("component", catalogue.component(name), catalogue.grades)


def _in_anatomy(what: Literal["kind", "component"], anatomy: Anatomy, grades: Mapping[str, Grade]) -> Iterator[Names]:
    if anatomy.cautions:
        yield Names(what, anatomy.kind, "", anatomy.name, anatomy.cautions)
    for piece in anatomy.pieces:
        if hazards := hazards_of_piece(piece, grades):
            yield Names("piece", piece.id, anatomy.kind, piece.name, hazards)
    for operation in anatomy.operations:
        if operation.cautions:
            yield Names("operation", operation.id, anatomy.kind, operation.name, operation.cautions)


def hazards_of_piece(piece: Piece, grades: Mapping[str, Grade]) -> tuple[str, ...]:
    """Why a piece stays shut, and the hazards of the grades it may be sold as."""
    stop = () if piece.stop is None else (piece.stop,)
    return _once([*stop, *(h for sale in piece.sells for h in grades[sale.grade].hazards)])


def hazards_of(anatomy: Anatomy, grades: Mapping[str, Grade]) -> tuple[str, ...]:
    """Every hazard a kind can bring up: its own first, then its operations', then its pieces'.

    A battery that nobody has looked at comes out by the cards that hold for any; what its label adds is told when
    somebody has read it and says so.
    """
    later = {p.id for p in anatomy.pieces if anatomy.guessed and p.answer_to not in (None, anatomy.whole.id)}
    ops = [op for op in anatomy.operations if not {gives.piece for gives in op.gives} & later]
    found = [*anatomy.cautions, *(c for op in ops for c in op.cautions)]
    pieces = [piece for piece in anatomy.pieces if piece.id not in later]
    return _once([*found, *(h for piece in pieces for h in hazards_of_piece(piece, grades))])


def hazards_of_opening(
    anatomy: Anatomy, operations: Container[str], sold_as: Iterable[str], grades: Mapping[str, Grade]
) -> tuple[str, ...]:
    """What opening a find brings up: the kind's, the operations' run, what stays shut of what they give, the bins'."""
    run = [op for op in anatomy.operations if op.id in operations]
    shut = [stop for op in run for gives in op.gives if (stop := anatomy.piece(gives.piece).stop)]
    bins = [h for grade in sold_as for h in grades[grade].hazards]
    return _once([*anatomy.cautions, *(c for op in run for c in op.cautions), *shut, *bins])


def _once(hazards: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(hazards))
