"""Turns events into rows of tables and back, through their JSON form, so that only the codec says what is valid."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, cast

from partway.errors import BadEvent
from partway.ledger.events.codec import from_json, to_json
from partway.ledger.events.event import FIRST, Event
from partway.ledger.events.shapes import canonical
from partway.storage.exchange.columns import AT, SINCE_2, SINCE_8, Column, Json, Table, event_tables, lists_of
from partway.storage.exchange.csvfile import BadPackage, CsvRow

_PATH = re.compile(r"(?:data\.)?(?P<field>\w+)(?:\[(?P<item>\d+)\](?:\.(?P<inner>\w+))?)?")


def rows_of(event: Event) -> Iterator[tuple[Table, list[Json]]]:
    """The rows an event takes: one in the table of its kind, one for each item of its lists."""
    data = to_json(event)
    for table in event_tables():
        if table.name == data["kind"]:
            head = [_shared(data, column) for column in table.shared]
            yield table, head + [_cell(data["data"], column) for column in table.own]
    for table in lists_of(data["kind"]):
        for n, item in enumerate(data["data"].get(table.field, ()), start=1):
            inner = [_cell(item, column) for column in table.own] if isinstance(item, dict) else [item]
            yield table, [data["id"], n, *inner]


def event_of(row: CsvRow, table: Table, lists: Mapping[str, Sequence[CsvRow]]) -> Event:
    """The event of a row, with the rows of its lists by field, in their order. Raises BadPackage naming the cell."""
    said = [column for column in table.own if column.fills != "at" and column.name in row.values]
    data: dict[str, Any] = {column.fills: row.values[column.name] for column in said}
    if any(column.fills == "at" for column in table.own):
        at = [row.values[part] for part in AT]
        data["at"] = None if at == [None, None] else at
    for of in lists_of(table.name):
        data[of.field] = [_item(item, of) for item in lists.get(of.field, ())]
    head = {column.name: row.values[column.name] for column in table.shared if column.name not in SINCE_2 + SINCE_8}
    try:
        return from_json({**head, **_later(row), "kind": table.name, "data": data})
    except BadEvent as error:
        raise _placed(error, row, lists) from error


def _shared(data: Mapping[str, Any], column: Column) -> Json:
    value = data.get(column.name)
    return canonical(value) if isinstance(value, dict) else cast(Json, value)


def _later(row: CsvRow) -> dict[str, Any]:
    """The fields that schema 1 did not have; None if their cells are empty or missing."""
    filled = {name: row.values[name] for name in SINCE_2 + SINCE_8 if row.values.get(name) is not None}
    if not filled and row.values["schema"] == FIRST:
        return {}
    refs = filled.get("refs")
    return {**dict.fromkeys(SINCE_2), **filled, "refs": json.loads(refs) if isinstance(refs, str) else refs}


def _cell(data: Mapping[str, Any], column: Column) -> Json:
    value = data.get(column.fills, column.default)
    if column.fills == "at" and value is not None:
        value = value[AT.index(column.name)]
    return cast(Json, value)


def _item(row: CsvRow, table: Table) -> Any:
    if not table.of:
        return row.values["value"]
    return {column.name: row.values[column.name] for column in table.own if column.name in row.values}


def _placed(error: BadEvent, row: CsvRow, lists: Mapping[str, Sequence[CsvRow]]) -> BadPackage:
    """A refusal of the codec, with the cell in place of the path inside the event."""
    _, _, path = error.where.partition(", ")
    found = _PATH.fullmatch(path)
    if found is None:
        return BadPackage(error.given, error.expected, row.where)
    field, item, inner = found["field"], found["item"], found["inner"]
    if item is not None:
        return BadPackage(error.given, error.expected, f"{lists[field][int(item)].where}, column {inner or 'value'}")
    column = AT[0] if field == "at" else field
    where = f"{row.where}, column {column}" if column in row.values else row.where
    return BadPackage(error.given, error.expected, where)
