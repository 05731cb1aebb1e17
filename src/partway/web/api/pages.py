"""The document as a page needs it: each address with what it takes and gives, in plain words."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from partway.web.api.document import INSIDE
from partway.web.api.problems import MEANS

METHODS = ("get", "post", "delete")


@dataclass(frozen=True, slots=True)
class ApiField:
    """A parameter or a field of a body or an answer. `where` it stands: query, path, header; empty in a body."""

    name: str
    kind: str
    required: bool
    words: str
    where: str = ""
    refers: str = ""


@dataclass(frozen=True, slots=True)
class ApiOperation:
    """A method of an address. `body` and `gives` name what is sent and answered, where it has a name; `own` are the
    statuses of a refusal that not every address has.
    """

    method: str
    path: str
    words: str
    parameters: tuple[ApiField, ...]
    body: str
    fields: tuple[ApiField, ...]
    example: str
    gives: str
    gives_refers: str
    done: str
    own: tuple[str, ...]

    @property
    def anchor(self) -> str:
        """Its place on the page."""
        return f"{self.method.lower()}{self.path}".replace("/", "-").replace("{", "").replace("}", "")


@dataclass(frozen=True, slots=True)
class ApiGroup:
    """Operations that belong together."""

    name: str
    operations: tuple[ApiOperation, ...]


@dataclass(frozen=True, slots=True)
class Thing:
    """Something with fields of its own that is sent or answered."""

    name: str
    words: str
    fields: tuple[ApiField, ...]


@dataclass(frozen=True, slots=True)
class Status:
    """A status that is not a yes, and what it means."""

    status: int
    words: str


@dataclass(frozen=True, slots=True)
class Contents:
    """All of the document; `everywhere` are the statuses that any address can answer."""

    groups: tuple[ApiGroup, ...]
    statuses: tuple[Status, ...]
    everywhere: tuple[str, ...]


def contents(document: Mapping[str, Any]) -> Contents:
    """The document in plain words."""
    schemas = document["components"]["schemas"]
    groups: dict[str, list[ApiOperation]] = {}
    everywhere = _everywhere(document)
    for path, methods in document["paths"].items():
        for method in METHODS:
            if method in methods:
                found = _operation(path, method, methods[method], schemas, everywhere)
                groups.setdefault(methods[method]["tags"][0], []).append(found)
    return Contents(
        tuple(ApiGroup(name, tuple(found)) for name, found in groups.items()),
        tuple(Status(status, words) for status, words in MEANS.items()),
        tuple(sorted(everywhere)),
    )


def _everywhere(document: Mapping[str, Any]) -> frozenset[str]:
    """The statuses that each method of each address has, but for the one that says it is done."""
    each = [set(said["responses"]) for methods in document["paths"].values() for said in methods.values()]
    return frozenset(status for status in set.intersection(*each) if not status.startswith("2"))


def thing(document: Mapping[str, Any], name: str) -> Thing | None:
    """One thing of the document, None where there is none of that name."""
    schema = document["components"]["schemas"].get(name)
    return None if schema is None else Thing(name, schema.get("description", ""), _fields(schema))


def _operation(
    path: str, method: str, said: Mapping[str, Any], schemas: Mapping[str, Any], everywhere: Collection[str]
) -> ApiOperation:
    sent = said.get("requestBody", {}).get("content", {}).get("application/json", {}).get("schema", {})
    body = _refers(sent)
    schema = schemas.get(body, {})
    statuses = sorted(said["responses"])
    done = next(s for s in statuses if s.startswith("2"))
    given = said["responses"][done].get("content", {}).get("application/json", {}).get("schema", {})
    example = next(iter(schema.get("examples", ())), None)
    return ApiOperation(
        method.upper(),
        path,
        said.get("description", ""),
        tuple(_parameter(parameter) for parameter in said.get("parameters", ())),
        body,
        _fields(schema),
        "" if example is None else json.dumps(example, ensure_ascii=False),
        kind_of(given),
        _refers(given),
        done,
        tuple(s for s in statuses if s != done and s not in everywhere),
    )


def _parameter(said: Mapping[str, Any]) -> ApiField:
    schema = said["schema"]
    words = said.get("description", "")
    return ApiField(said["name"], kind_of(schema), said.get("required", False), words, said["in"], _refers(schema))


def _fields(schema: Mapping[str, Any]) -> tuple[ApiField, ...]:
    needed = schema.get("required", ())
    return tuple(
        ApiField(name, kind_of(one), name in needed, one.get("description", ""), refers=_refers(one))
        for name, one in schema.get("properties", {}).items()
    )


def kind_of(schema: Mapping[str, Any]) -> str:
    """What a schema takes, in a few words: text, number, list of PieceTable, yes | no | unknown."""
    if "$ref" in schema:
        return str(schema["$ref"]).removeprefix(INSIDE)
    if "anyOf" in schema:
        return " or ".join(dict.fromkeys(kind_of(kind) for kind in schema["anyOf"]))
    if "enum" in schema or "const" in schema:
        return " | ".join(str(value) for value in schema.get("enum", [schema.get("const")]))
    if schema.get("type") == "array":
        return _list(schema)
    if schema.get("type") == "object":
        inner = schema.get("additionalProperties")
        return f"{kind_of(inner)} by name" if isinstance(inner, dict) else "object"
    words = {"string": "text", "integer": "whole number", "boolean": "true or false", "null": "null"}
    if schema.get("format") == "date":
        return "day"
    return words.get(str(schema.get("type", "")), str(schema.get("type", "anything")))


def _list(schema: Mapping[str, Any]) -> str:
    if "prefixItems" in schema:
        return f"[{', '.join(kind_of(item) for item in schema['prefixItems'])}]"
    return f"list of {kind_of(schema.get('items', {}))}"


def _refers(schema: Mapping[str, Any]) -> str:
    """The first thing with a name of its own in a schema."""
    return next(_names(schema), "")


def _names(schema: Mapping[str, Any]) -> Iterator[str]:
    if "$ref" in schema:
        yield str(schema["$ref"]).removeprefix(INSIDE)
    inner: Iterable[Any] = (*schema.get("anyOf", ()), *schema.get("prefixItems", ()))
    for one in (*inner, schema.get("items"), schema.get("additionalProperties")):
        if isinstance(one, dict):
            yield from _names(one)
