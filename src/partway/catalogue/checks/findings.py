"""Everything wrong with the catalogue we ship; a release has no finding."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from partway.catalogue.checks.anatomy import anatomy_flaws, closure_flaws, grade_flaws
from partway.catalogue.checks.cards import card_flaws
from partway.catalogue.checks.graph import Flaw
from partway.catalogue.checks.hazards import hazard_flaws
from partway.catalogue.checks.notes import grade_note_flaws, note_flaws
from partway.catalogue.checks.sold import unsold_flaws
from partway.catalogue.checks.work import work_flaws
from partway.catalogue.key.checks import key_flaws
from partway.catalogue.reading.messages import suggestion
from partway.catalogue.shipped import Catalogue, Shelf
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong in a file; `difference` is in kg where masses are concerned."""

    file: str
    piece: str
    difference: float | None
    message: str


def findings(catalogue: Catalogue) -> list[Finding]:
    """Everything wrong, in the order of the files."""
    found = [_finding("grades", flaw) for flaw in grade_flaws(catalogue.grades, catalogue.cautions)]
    found += [_finding("grades", flaw) for flaw in grade_note_flaws(catalogue.grades)]
    found += [
        _finding("grades", flaw)
        for grade in catalogue.grades.values()
        for flaw in _unknown_source(grade.source, f"grade[{grade.id}].source", grade.id, catalogue)
    ]
    found += [_finding("cautions.toml", flaw) for flaw in card_flaws(catalogue.cautions)]
    for shelf in (catalogue.component, catalogue.shelf):
        for name in shelf.names:
            found += _in_file(shelf, name, catalogue)
    if not found:  # what follows reads every file whole
        found += [_finding("grades", flaw) for flaw in unsold_flaws(catalogue.grades, catalogue.all_anatomies())]
    return found + _in_key(catalogue)


def _in_key(catalogue: Catalogue) -> list[Finding]:
    try:
        key = catalogue.key
    except BadCatalogue as error:
        return [Finding("identify", "", None, str(error))]
    flaws = key_flaws(key, catalogue.grades, catalogue.cautions, catalogue.sources)
    return [_finding("identify", flaw) for flaw in flaws]


def _finding(file: str, flaw: Flaw) -> Finding:
    message = str(BadCatalogue(flaw.given, flaw.expected, f"{file}: {flaw.place}"))
    return Finding(file, flaw.piece, flaw.difference, message)


def _in_file(shelf: Shelf, name: str, catalogue: Catalogue) -> list[Finding]:
    file = shelf.where(name)
    try:
        anatomy = shelf(name)
    except BadCatalogue as error:
        return [Finding(file, "", None, str(error))]
    flaws = list(anatomy_flaws(anatomy, catalogue.grades, catalogue.cautions))
    if not flaws:
        flaws = [*_ours_only(anatomy, catalogue), *note_flaws(anatomy, component=shelf is catalogue.component)]
    return [_finding(file, flaw) for flaw in flaws]


def _ours_only(anatomy: Anatomy, catalogue: Catalogue) -> Iterable[Flaw]:
    """What only our own files are held to."""
    root = f"anatomy[{anatomy.kind}]"
    yield from closure_flaws(anatomy, at_mean=True)
    yield from hazard_flaws(anatomy, catalogue.grades, catalogue.cautions)
    yield from work_flaws(anatomy, catalogue.cautions)
    yield from _unknown_source(anatomy.source, f"{root}.source", anatomy.whole.id, catalogue)
    for published in anatomy.published:
        yield from _unknown_source(published.source, f"{root}.published", anatomy.whole.id, catalogue)
    for kind in anatomy.became:
        if kind not in catalogue.kinds or catalogue.anatomy(kind).became:
            yield Flaw(shown(kind), "a kind there is, itself not split", f"{root}.became", anatomy.whole.id)
    for piece in anatomy.pieces:
        if not (piece.sells or piece.parts or piece.stop or anatomy.operations_on(piece.id)):
            expected = "a grade, a part, an operation or a stop; residue is a grade too"
            yield Flaw("nothing to do with the piece", expected, f"{root}.piece[{piece.id}]", piece.id)


def _unknown_source(source: str, place: str, piece: str, catalogue: Catalogue) -> Iterable[Flaw]:
    if source not in catalogue.sources:
        yield Flaw(shown(source), f"a known source{suggestion(source, catalogue.sources)}", place, piece)
