"""The OpenAPI document: FastAPI's own, held closer to what is really sent and taken."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic import TypeAdapter

from partway.storage.scenario.scenario import scenario_schema
from partway.web.api.problems import Problem

INSIDE = "#/components/schemas/"
ABOUT = "All that partway does, as JSON: reading is GET, recording is POST, one address for each thing a person does."


def document(app: FastAPI) -> dict[str, Any]:
    """The document, made once."""
    if app.openapi_schema is None:
        made = _renamed(get_openapi(title=app.title, version=app.version, description=ABOUT, routes=app.routes))
        schemas = made["components"]["schemas"]
        for name in ("HTTPValidationError", "ValidationError"):
            schemas.pop(name, None)
        for schema in schemas.values():
            _exact(schema)
        for parameter in _parameters(made):
            _present(parameter)
        schemas |= _problem() | _scenario()
        app.openapi_schema = made
    return app.openapi_schema


def _renamed(made: dict[str, Any]) -> dict[str, Any]:
    """Reports that share a name are told apart by the names of their modules: flows.Place becomes FlowsPlace."""
    text = json.dumps(made)
    for long in sorted(name for name in made["components"]["schemas"] if name.startswith("partway__")):
        *_, module, name = long.split("__")
        text = text.replace(f'"{long}"', f'"{_camel(module)}{name}"').replace(
            f'{INSIDE}{long}"', f'{INSIDE}{_camel(module)}{name}"'
        )
    found: dict[str, Any] = json.loads(text)
    return found


def _camel(module: str) -> str:
    return "".join(word.capitalize() for word in module.split("_"))


def _exact(schema: dict[str, Any]) -> None:
    """A report sends all of its fields and no other. Bodies say for themselves that they take no other."""
    if "properties" in schema and "additionalProperties" not in schema:
        schema["required"] = list(schema["properties"])
        schema["additionalProperties"] = False


def _parameters(made: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for path in made["paths"].values():
        for operation in path.values():
            yield from operation.get("parameters", ())


def _present(parameter: dict[str, Any]) -> None:
    """No address and no header can say null: what is not said is left out."""
    schema = parameter["schema"]
    kinds = [kind for kind in schema.pop("anyOf", ()) if kind != {"type": "null"}]
    if len(kinds) == 1:
        schema.update(kinds[0])
    elif kinds:
        schema["anyOf"] = kinds


def _problem() -> dict[str, Any]:
    schema = TypeAdapter(Problem).json_schema(mode="serialization", ref_template=INSIDE + "{model}")
    return {**schema.pop("$defs"), "Problem": schema}


def _scenario() -> dict[str, Any]:
    text = json.dumps(scenario_schema()).replace("#/$defs/", INSIDE)
    schema = json.loads(text)
    del schema["$schema"]
    return {**schema.pop("$defs"), "Scenario": schema}
