"""Scenario files: read, checked whole, refused with one message; and the schema that teaches them."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal, TypeVar

from pydantic import BaseModel, ValidationError

from partway.storage.scenario.assemble import assemble
from partway.storage.scenario.days import dated
from partway.storage.scenario.file_locations import Spot, refusal
from partway.storage.scenario.forms import AnatomyFile, ScenarioFile
from partway.storage.scenario.materials import read_materials
from partway.storage.scenario.opening import check_shape, read_tables, read_text
from partway.storage.scenario.teaching import taught
from partway.things.scenario import Scenario

T = TypeVar("T", bound=BaseModel)

_ANATOMY_FILE = set(AnatomyFile.model_fields)


def read_scenario(path: Path) -> Scenario:
    """The scenario in a TOML file. Raises Refused, saying what was given, what was expected and where."""
    return read_scenario_text(read_text(path), str(path))


def read_scenario_text(text: str, where: str) -> Scenario:
    """The scenario in a TOML text; `where` names it in refusals."""
    return _scenario(read_tables(text, where), where)


def read_scenario_json(document: dict[str, Any], where: str) -> Scenario:
    """The scenario in a JSON document of the same form, its days as text; `where` names it in refusals."""
    check_shape(document, where)
    return _scenario(dated(document), where)


def check_file(path: Path) -> Literal["scenario", "anatomies"]:
    """Check a file and say whether it is a scenario or a file of anatomies. Raises Refused on the first error.

    A file with nothing but [[grade]] and [[anatomy]] tables (and the source and date they share) is a
    file of anatomies; any other is read as a scenario.
    """
    where = str(path)
    tables = read_tables(read_text(path), where)
    if set(tables) <= _ANATOMY_FILE and {"grade", "anatomy"} & set(tables):
        _check_anatomies(tables, where)
        return "anatomies"
    _scenario(tables, where)
    return "scenario"


def scenario_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a scenario file, each field with its meaning, unit and examples.

    A TOML date counts as a string of format `date`.
    """
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **taught()}


def _scenario(tables: Mapping[str, Any], where: str) -> Scenario:
    spot = Spot(where, tables)
    return assemble(_form(ScenarioFile, spot), spot)


def _check_anatomies(tables: Mapping[str, Any], where: str) -> None:
    form = _form(AnatomyFile, Spot(where, tables))
    defaults = {name: tables[name] for name in ("source", "on") if name in tables}
    read_materials(form.grade, form.anatomy, where, defaults)


def _form(model: type[T], spot: Spot) -> T:
    try:
        return model.model_validate(spot.tables)
    except ValidationError as error:
        raise refusal(error, spot) from None
