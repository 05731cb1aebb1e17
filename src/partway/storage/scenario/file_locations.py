"""Names places in a scenario file, and turns pydantic's errors into refusals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from partway.catalogue.reading.messages import EXPECTED, at, field_names, locate, suggestion, unknown
from partway.errors import BadScenario
from partway.quantities import shown
from partway.storage.scenario.forms import ScenarioFile

Step = int | str


@dataclass(frozen=True)
class Spot:
    """Names the place of a value in the file, from the outside in: file, table, field."""

    where: str
    tables: Mapping[str, Any]

    def __call__(self, *loc: Step) -> str:
        """Words for one path, such as `FILE: buyer[harbour].km`."""
        return at(self.where, locate(self.tables, loc)[0])

    def refuse(self, given: str, expected: str, *loc: Step) -> BadScenario:
        """The refusal to raise for one path."""
        return BadScenario(given, expected, self(*loc))

    def unknown(self, name: str, what: str, known: Iterable[str], *loc: Step) -> BadScenario:
        """The refusal of an unknown name, with the closest known one."""
        return unknown(BadScenario, name, what, sorted(known), self(*loc))


def refusal(error: ValidationError, spot: Spot) -> BadScenario:
    """The first error of pydantic about a scenario file, as a refusal.

    A misspelt field is named before anything else, as errors that follow from its absence would mislead.
    """
    errors = error.errors(include_url=False)
    first = next((e for e in errors if e["type"] == "extra_forbidden"), errors[0])
    loc = first["loc"]
    where, value = locate(spot.tables, loc)
    if first["type"] == "extra_forbidden":
        known = field_names(ScenarioFile, loc[:-1])
        hint = suggestion(str(loc[-1])[:80], known)
        expected = f"one of {', '.join(known)}{hint}"
        return BadScenario(f"the unknown field {shown(loc[-1])}", expected, at(spot.where, where))
    field = _field(loc)
    if first["type"] == "missing":
        return BadScenario("nothing", _wanted(field), at(spot.where, where))
    return BadScenario(shown(value), _expected(first, field) + _meaning(field), at(spot.where, where))


def _expected(error: ErrorDetails, field: FieldInfo | None) -> str:
    kind, ctx = error["type"], {name: _plain(value) for name, value in error.get("ctx", {}).items()}
    if kind == "literal_error":
        choices = ctx["expected"].replace("'", "").replace(" or ", ", ")
        given = error["input"] if isinstance(error["input"], str) else ""
        return f"one of {choices}{suggestion(given[:80], choices.split(', '))}"
    if kind == "list_type" and field and (len(error["loc"]) == 1 or _model(field.annotation)):
        return f"tables headed by double brackets, [[{'.'.join(s for s in error['loc'] if isinstance(s, str))}]]"
    words = EXPECTED.get(kind)
    return words.format(**ctx) if words else error["msg"][:1].lower() + error["msg"][1:]


def _plain(bound: Any) -> Any:
    """A bound as people write it: 8784, not 8784.0."""
    return int(bound) if isinstance(bound, float) and bound.is_integer() else bound


def _meaning(field: FieldInfo | None) -> str:
    """What a field says about itself in the schema."""
    words = (field.description or "").rstrip(".") if field else ""
    if words[1:2].islower() or words[1:2] == " ":
        words = words[0].lower() + words[1:]
    return f" ({words})" if words else ""


def _wanted(field: FieldInfo | None) -> str:
    """What a missing table or field should have been."""
    model = _model(field.annotation) if field else None
    if model is None:
        return "a value" + _meaning(field)
    names = [f.alias or name for name, f in model.model_fields.items() if f.is_required()]
    return "this table with " + ", ".join(names)


def _field(loc: tuple[Step, ...]) -> FieldInfo | None:
    """The form's field at a path; where the form does not fix the fields, the last one known."""
    model: type[BaseModel] | None = ScenarioFile
    field: FieldInfo | None = None
    for step in loc:
        if isinstance(step, str) and model is not None:
            field = {f.alias or name: f for name, f in model.model_fields.items()}.get(step)
            model = _model(field.annotation) if field else None
    return field


def _model(annotation: object) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((m for inner in get_args(annotation) if (m := _model(inner))), None)
