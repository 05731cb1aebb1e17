"""From the tables of a file to grades, cautions, sources and anatomies."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from partway.catalogue.checks.graph import repeated
from partway.catalogue.reading.expand import Components, expanded
from partway.catalogue.reading.messages import at, read_form
from partway.errors import BadCatalogue
from partway.quantities import shown
from partway.things.anatomy import Anatomy
from partway.things.material import Caution, Grade, Law, Source
from partway.things.placecard import PlaceCard
from partway.things.traits import shown_name

if TYPE_CHECKING:
    from partway.catalogue.reading.forms import CautionForm, GradeForm

Tables = Sequence[Mapping[str, Any]]


def read_grades(
    tables: Tables, where: str, known: Mapping[str, Grade], defaults: Mapping[str, Any] | None = None
) -> dict[str, Grade]:
    """`known` with the [[grade]] tables laid over it.

    An id that is known changes only in the fields given; a new one needs at least a density.
    `defaults` (source, on) hold for rows that name none. Raises BadCatalogue.
    """
    from partway.catalogue.reading.forms import GradesFile

    form = read_form(GradesFile, {**(defaults or {}), "grade": list(tables)}, where, BadCatalogue)
    _once([row.id for row in form.grade], "grade", where)
    grades = dict(known)
    for row in form.grade:
        grades[row.id] = _grade(row, grades.get(row.id), form.source, form.on, where)
    return grades


def _grade(row: GradeForm, known: Grade | None, source: str | None, on: dt.date | None, where: str) -> Grade:
    defaults: dict[str, Any] = {"source": source, "on": on}
    given = defaults | {field: getattr(row, field) for field in row.model_fields_set}
    changes: dict[str, Any] = {
        field: tuple(value) if isinstance(value, list) else value for field, value in given.items() if value is not None
    }
    if known is not None:
        return replace(known, **changes)
    if row.density is None:
        place = at(where, f"grade[{row.id}].density")
        raise BadCatalogue("nothing", "a bulk density in kg/L, which a new grade cannot do without", place)
    named: dict[str, Any] = {"name": shown_name(row.id), "family": "other", **changes}
    return Grade(**named)


def read_cautions(tables: Tables, where: str) -> dict[str, Caution]:
    """The [[caution]] tables by id. Raises BadCatalogue."""
    from partway.catalogue.reading.forms import CautionsFile

    form = read_form(CautionsFile, {"caution": list(tables)}, where, BadCatalogue)
    _once([row.id for row in form.caution], "caution", where)
    return {row.id: _caution(row) for row in form.caution}


def _caution(row: CautionForm) -> Caution:
    law = tuple(Law(said.place, said.says, said.read) for said in row.law)
    return Caution(**{**row.model_dump(), "forbids": tuple(row.forbids), "law": law})


def read_place_cards(tables: Tables, where: str) -> dict[str, PlaceCard]:
    """The [[card]] tables of the place cards by id. Raises BadCatalogue."""
    from partway.catalogue.reading.forms import PlaceCardsFile

    form = read_form(PlaceCardsFile, {"card": list(tables)}, where, BadCatalogue)
    _once([row.id for row in form.card], "card", where)
    return {row.id: PlaceCard(**row.model_dump()) for row in form.card}


def read_sources(tables: Tables, where: str) -> dict[str, Source]:
    """The [[source]] tables by id. Raises BadCatalogue."""
    from partway.catalogue.reading.forms import SourcesFile

    form = read_form(SourcesFile, {"source": list(tables)}, where, BadCatalogue)
    _once([row.id for row in form.source], "source", where)
    return {row.id: Source(**row.model_dump()) for row in form.source}


def read_anatomies(tables: Tables, where: str, components: Components) -> dict[str, Anatomy]:
    """The [[anatomy]] tables by kind, with `like` and "rest" worked out.

    `components` gives a component's anatomy and raises KeyError for a name it does not know. Raises
    BadCatalogue; whether grades and masses hold is for check_anatomy to say.
    """
    from partway.catalogue.reading.forms import AnatomiesFile

    form = read_form(AnatomiesFile, {"anatomy": list(tables)}, where, BadCatalogue)
    _once([row.kind for row in form.anatomy], "anatomy", where)
    return {row.kind: expanded(row, where, components) for row in form.anatomy}


def _once(names: Sequence[str], table: str, where: str) -> None:
    if twice := repeated(names):
        raise BadCatalogue(f"{shown(twice)} twice", f"each {table} once", at(where, f"{table}[{twice}]"))
