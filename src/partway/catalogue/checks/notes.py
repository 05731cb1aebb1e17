"""Where a note is needed: wherever something is decided, and nowhere else, so that what is shown is read."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from partway.catalogue.checks.graph import Flaw
from partway.things.anatomy import Anatomy, Operation, Piece
from partway.things.material import Grade

RESIDUE = "residue"
NEEDED = "a note of what decides"
NOT_NEEDED = "no note where nothing is decided: it belongs to the kind, its grade or the operation"


def grade_note_flaws(grades: Mapping[str, Grade]) -> Iterable[Flaw]:
    """Grades that do not say what decides whether a piece belongs to them."""
    for grade in grades.values():
        if not grade.note:
            yield Flaw("nothing", NEEDED, f"grade[{grade.id}].note", grade.id)


def note_flaws(anatomy: Anatomy, *, component: bool = False) -> Iterable[Flaw]:
    """Notes that are missing, and notes where nothing is decided. Of a component only the pieces are shown."""
    root = f"anatomy[{anatomy.kind}]"
    yield from _flaw(anatomy.note, not component, f"{root}.note", anatomy.whole.id)
    for piece in anatomy.pieces:
        yield from _flaw(piece.note, decides(anatomy, piece), f"{root}.piece[{piece.id}].note", piece.id)
    for operation in anatomy.operations:
        if not operation.asks:
            needed = chosen(anatomy, operation)
            yield from _flaw(operation.note, needed, f"{root}.operation[{operation.id}].note", operation.on)


def decides(anatomy: Anatomy, piece: Piece) -> bool:
    """Whether something is decided with the piece in hand: it is asked about, stays shut, or goes as one of several
    grades.
    """
    grades = {sale.grade for sale in piece.sells} - {RESIDUE}
    return bool(anatomy.answers_to(piece.id) or piece.stop or len(grades) > 1)


def chosen(anatomy: Anatomy, operation: Operation) -> bool:
    """Whether something is decided about the operation: it comes first, or is one of several ways."""
    ways = [other for other in anatomy.operations_on(operation.on) if not other.asks]
    return operation.required or len(ways) > 1


def _flaw(note: str, needed: bool, place: str, piece: str) -> Iterable[Flaw]:
    if needed and not note:
        yield Flaw("nothing", NEEDED, place, piece)
    if note and not needed:
        yield Flaw("a note", NOT_NEEDED, place, piece)
