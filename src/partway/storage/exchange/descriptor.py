"""datapackage.json: what a package holds, in the terms of the Data Package standard, version 2 (datapackage.org)."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from partway.ledger.events.fields import LARGEST_MG
from partway.storage.exchange.columns import Column, Table, event_tables, list_tables

NAME = "datapackage.json"
PHOTOGRAPHS = "photographs/"  # before the name of each photograph's file
# Of our tables, that of the newest column; the standard leaves room for properties of one's own.
FORMAT = max(column.since for table in (*event_tables(), *list_tables()) for column in table.columns)
PROFILES = "https://datapackage.org/profiles/2.0"
TEXTS = """\
A ledger of partway: what happened, one table for each kind of event and one for each list inside events.

- Masses are whole milligrams (`_mg`), money is in the workspace's currency, `km` kilometres, `minutes` minutes, `_l`
  litres. Times are UTC.
- An empty cell means nothing was said, except in text columns, where it is the empty text.
- `device` is the copy of the ledger that recorded an event, `order` the time that decides which of several words
  counts, where that is not `happened`, and `refs` which event made each find, bin, haul and ticket that it names.
  `intent` is what asked for an event, where that is known: it is carried out once, however often it is sent.
- Nothing is ever changed or deleted: a row of `corrected` names an event that does not count.
- Photographs lie in `photographs/`, each by the SHA-256 of its bytes, by which `pictured` names it. One that was not
  there when this was written is missing.
- The tables that begin with `derived-` follow from the others and are left out when the package is read back.
- A CSV file is data. Texts stand in it as they were typed, also those that begin with = + - or @, which a spreadsheet
  may take for formulas: import the file with its text columns as text, and do not save over it.
"""
_LEAST = {"count": 1, "times": 1, "n": 1, "schema": 1, "minutes": 0}


@dataclass(frozen=True, slots=True)
class FileSize:
    """Size and digest of a file."""

    size: int
    sha256: str


def descriptor_text(
    files: Mapping[str, FileSize], tables: Sequence[Table], about: str, others: Sequence[Mapping[str, Any]] = ()
) -> str:
    """The descriptor of a package with these tables and `others`, resources that are no tables; `about` says what part
    of the ledger it holds.
    """
    descriptor = {
        "$schema": f"{PROFILES}/datapackage.json",
        "name": "partway-ledger",
        "title": "A scrapper's ledger",
        "description": f"{TEXTS}\n{about}\n",
        "partway_format": FORMAT,
        "resources": [*(_resource(table, files[table.file]) for table in tables), *others],
    }
    return json.dumps(descriptor, indent=2, ensure_ascii=False) + "\n"


def _resource(table: Table, file: FileSize) -> dict[str, Any]:
    derived = {"derived": True} if table.name.startswith("derived-") else {}
    return {
        "$schema": f"{PROFILES}/dataresource.json",
        "name": table.name,
        "type": "table",
        "path": table.file,
        "description": f"Derived; left out on import. {table.about}" if derived else table.about,
        **derived,
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": file.size,
        "hash": f"sha256:{file.sha256}",
        "schema": table_schema(table),
    }


def table_schema(table: Table) -> dict[str, Any]:
    """The Table Schema of a table."""
    schema: dict[str, Any] = {
        "$schema": f"{PROFILES}/tableschema.json",
        "fields": [_field(column, table) for column in table.columns],
        "missingValues": [""],
        "primaryKey": list(table.key),
    }
    if table.parent:
        reference = {"resource": table.parent, "fields": ["id"]}
        schema["foreignKeys"] = [{"fields": ["event"], "reference": reference}]
    return schema


def _field(column: Column, table: Table) -> dict[str, Any]:
    is_uuid = column.type == "uuid"
    field: dict[str, Any] = {"name": column.name, "type": "string" if is_uuid else column.type}
    if is_uuid:
        field["format"] = "uuid"
    if column.type == "string" and not column.nullable:
        field["missingValues"] = []  # an empty text is a text, not a missing one
    constraints = _constraints(column, table)
    return {**field, "constraints": constraints} if constraints else field


def _constraints(column: Column, table: Table) -> dict[str, Any]:
    constraints: dict[str, Any] = {} if column.nullable else {"required": True}
    if column.choices:
        constraints["enum"] = list(column.choices)
    if column.type == "integer" and table.of is not None and not column.name.startswith("was_"):
        least = 0 if column.name.endswith("_mg") else _LEAST.get(column.name)
        if least is not None:
            constraints["minimum"] = least
    if column.type == "integer" and column.name.endswith("_mg") and table.of is not None:
        constraints["maximum"] = LARGEST_MG
    return constraints
