"""A Data Package read back as events, each cell checked."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from partway.ledger.events.event import Event
from partway.storage.exchange.columns import Table, event_tables, lists_of
from partway.storage.exchange.csvfile import BadPackage, CsvRow, read_rows
from partway.storage.exchange.descriptor import NAME
from partway.storage.exchange.flatten import event_of
from partway.storage.exchange.package_files import PackageSource, is_unchanged, package_at, resources_of
from partway.storage.exchange.package_photographs import check_photographs
from partway.storage.exchange.union import Read

Lists = dict[str, dict[str, list[CsvRow]]]  # field -> event -> rows


def read_package(source: Path) -> Iterator[Read]:
    """The events of a package, each with its file and row. Raises BadPackage naming file, row and column.

    A file changed since it was written is refused only at the end, so that a wrong cell is named first.
    """
    with package_at(source) as package:
        yield from _events(package)


def _events(source: PackageSource) -> Iterator[Read]:
    resources, photographs, form = resources_of(source)
    check_photographs(source, photographs)
    changed = [file for file, resource in resources.items() if not is_unchanged(source, file, resource)]
    seen: set[object] = set()
    for table in event_tables():
        lists: Lists = {of.field: _by_event(_rows(source, of, resources, form)) for of in lists_of(table.name)}
        for row in _rows(source, table, resources, form):
            if row.values["id"] in seen:
                raise BadPackage(f"id {row.values['id']} once more", "each event once", f"{row.where}, column id")
            seen.add(row.values["id"])
            yield row.where, _event(row, table, lists)
        _check_orphans(lists, table)
    if changed:
        raise BadPackage(
            "a file that was changed after it was written",
            f"the file as it was; where the change is meant, take its hash and bytes out of {NAME}",
            f"{source.name}/{changed[0]}",
        )


def _event(row: CsvRow, table: Table, lists: Lists) -> Event:
    mine = {field: rows.pop(str(row.values["id"]), []) for field, rows in lists.items()}
    return event_of(row, table, mine)


def _rows(source: PackageSource, table: Table, resources: dict[str, Any], form: int) -> Iterator[CsvRow]:
    if table.file not in resources:
        return
    with source.open(table.file) as binary:
        yield from read_rows(binary, table.columns_of(form), f"{source.name}/{table.file}")


def _by_event(rows: Iterator[CsvRow]) -> dict[str, list[CsvRow]]:
    """The rows of a list table by their event, each list in its order. Raises BadPackage where one is not 1, 2, 3..."""
    found: dict[str, list[CsvRow]] = {}
    for row in rows:
        found.setdefault(str(row.values["event"]), []).append(row)
    for items in found.values():
        items.sort(key=_place)
        for n, row in enumerate(items, start=1):
            if row.values["n"] != n:
                raise BadPackage(str(row.values["n"]), f"{n}: items are 1, 2, 3 and so on", f"{row.where}, column n")
    return found


def _place(row: CsvRow) -> int:
    return int(row.values["n"] or 0)


def _check_orphans(lists: Lists, table: Table) -> None:
    for rows in lists.values():
        for event_id, items in rows.items():
            raise BadPackage(event_id, f"the id of an event in {table.file}", f"{items[0].where}, column event")
