"""One clear message for the first thing wrong in a file: what was given, what was expected, where."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from partway.errors import Refused
from partway.quantities import shown

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError

FEW = 8  # of what is known, to be listed in a refusal
R = TypeVar("R", bound=Refused)
F = TypeVar("F", bound="BaseModel")

# What an entry of a list is called by, in this order.
NAMING_FIELDS = ("id", "kind", "grade", "piece", "name")

# What pydantic says for itself is replaced by the words of the file: text, table, list.
EXPECTED = {
    "string_type": "text in quotes",
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "bool_type": "true or false",
    "finite_number": "a finite number",
    "list_type": "a list in [ ]",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "dict_type": "a table",
    "date_type": "a date without quotes, such as 2026-03-14",
    "date_from_datetime_inexact": "a date without a time, such as 2026-03-14",
    "string_too_short": "text that is not empty",
    "greater_than": "a number above {gt}",
    "greater_than_equal": "a number of at least {ge}",
    "less_than": "a number below {lt}",
    "less_than_equal": "a number of at most {le}",
    "literal_error": "{expected}",
    "too_short": "at least {min_length} of them",
    "too_long": "at most {max_length} of them",
    "string_too_long": "at most {max_length} characters",
}


def read_form(form: type[F], tables: Mapping[str, Any], where: str, refused: type[R]) -> F:
    """The tables as a form; raises `refused` with the first error in it."""
    from pydantic import ValidationError

    try:
        return form.model_validate(tables)
    except ValidationError as error:
        raise translate(error, form, tables, where, refused) from None


def translate(
    error: ValidationError, form: type[BaseModel], tables: Mapping[str, Any], where: str, refused: type[R]
) -> R:
    """The first error of a failed validation as a refusal.

    A misspelt field comes before all else: what its absence leads to would only mislead.
    """
    errors = error.errors(include_url=False)
    first = next((e for e in errors if e["type"] == "extra_forbidden"), errors[0])
    loc, kind = first["loc"], first["type"]
    place, value = locate(tables, loc)
    if kind == "extra_forbidden":
        known = field_names(form, loc[:-1])
        hint = suggestion(str(loc[-1])[:80], known) or f": {', '.join(known)}"
        return refused(shown(loc[-1]), "a known field" + hint, at(where, place))
    if kind == "missing":
        return refused("nothing", "a value, which this table cannot do without", at(where, place))
    expected = EXPECTED.get(kind, first["msg"][:1].lower() + first["msg"][1:])
    return refused(shown(value), expected.format(**first.get("ctx", {})), at(where, place))


def at(where: str, place: str) -> str:
    """A place inside a file."""
    return f"{where}: {place}" if place else where


def locate(tables: Mapping[str, Any], loc: Sequence[int | str]) -> tuple[str, Any]:
    """A path people can follow ("anatomy[bread-machine].piece[motor].mass_kg") and what stands there."""
    place, here = "", typing.cast(Any, tables)
    for step in loc:
        if isinstance(step, int) and isinstance(here, (list, tuple)) and step < len(here):
            here = here[step]
            place += f"[{_called(here, step)}]"
        elif isinstance(here, Mapping):
            here = here.get(str(step))
            name = _inked(str(step))
            place += f".{name}" if place else name
        # Any other step is pydantic naming a branch of a choice, which is nothing the file says.
    return place, here


def _inked(name: str) -> str:
    """A name of the file as it may stand in a message: short, on one line, nothing a terminal obeys."""
    return shown(name)[1:-1]


def _called(entry: object, index: int) -> str:
    """The name an entry goes by, else its place in the list counted from 1."""
    if isinstance(entry, Mapping):
        for field in NAMING_FIELDS:
            if isinstance(entry.get(field), str):
                return _inked(entry[field])
    return f"#{index + 1}"


def field_names(form: type[BaseModel], loc: Sequence[int | str]) -> tuple[str, ...]:
    """The fields of the form a path leads to, as the file spells them."""
    from pydantic import BaseModel

    def forms_in(annotation: object) -> list[type[BaseModel]]:
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            return [annotation]
        return [found for inner in typing.get_args(annotation) for found in forms_in(inner)]

    candidates = [form]
    for step in loc:
        fields = [
            info.annotation
            for candidate in candidates
            for name, info in candidate.model_fields.items()
            if step in (info.alias, name)
        ]
        if fields:
            candidates = [found for field in fields for found in forms_in(field)]
    return tuple(info.alias or name for each in candidates for name, info in each.model_fields.items())


def suggestion(name: str, known: Iterable[str]) -> str:
    """A hint for a mistyped name, empty when nothing known comes close."""
    import difflib

    close = difflib.get_close_matches(name, list(known), n=1, cutoff=0.6)
    return f'; did you mean "{close[0]}"?' if close else ""


def unknown(refused: type[R], name: str, what: str, known: Iterable[str], where: str, listed: bool = True) -> R:
    """A refusal of a name nobody has heard of, with the closest one that is known, or all where they are few.

    `listed` is false for names that nobody gave, as of offers: a form shows them otherwise.
    """
    names = sorted(known)
    few = f" ({', '.join(names)})" if listed and 0 < len(names) <= FEW and "(" not in what else ""
    return refused(shown(name), f"a known {what}{suggestion(name, names) or few}", where)
