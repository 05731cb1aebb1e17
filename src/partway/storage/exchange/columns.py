"""The tables of a Data Package: one for each kind of event and one for each list inside it.

They are made from the dataclasses of `ledger.events.kinds`, so that no field is forgotten or read as another type.
"""

from __future__ import annotations

import datetime as dt
import typing
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from typing import Any, Literal, cast
from uuid import UUID

from partway.ledger.events.kinds import PAYLOADS
from partway.ledger.events.shapes import PayloadField, shape_of, written

Json = str | int | bool | None
Type = Literal["string", "uuid", "integer", "number", "boolean", "date", "datetime", "object"]
TYPES: dict[type, Type] = {
    str: "string",
    UUID: "uuid",
    int: "integer",
    Decimal: "number",
    bool: "boolean",
    dt.date: "date",
    dt.datetime: "datetime",
}
AT = ("latitude", "longitude")


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `field`: the dataclass field it fills, if that has another name; `since`: the first format of a
    package that has it; `default`: what stands there where an event leaves out a field of later.
    """

    name: str
    type: Type
    nullable: bool = False
    choices: tuple[str, ...] = ()
    field: str = ""
    since: int = 1
    default: Json = None

    @property
    def fills(self) -> str:
        """The dataclass field."""
        return self.field or self.name


@dataclass(frozen=True, slots=True)
class Table:
    """One CSV file. `of`: the dataclass of a row's own fields, None if a row is a single text.

    Of a list, `parent` is the table of the events its rows belong to and `field` the list's name in it.
    """

    name: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    about: str
    of: type[Any] | None = None
    parent: str = ""
    field: str = ""

    @property
    def file(self) -> str:
        """Its file's name."""
        return f"{self.name}.csv"

    @property
    def shared(self) -> tuple[Column, ...]:
        """The first columns, which all tables of this sort share."""
        return LIST if self.parent else EVENT

    def columns_of(self, form: int) -> tuple[Column, ...]:
        """The columns that a package of some format has."""
        return tuple(column for column in self.columns if column.since <= form)

    @property
    def own(self) -> tuple[Column, ...]:
        """The columns of this table alone."""
        return self.columns[len(self.shared) :]


EVENT = (
    Column("id", "uuid"),
    Column("happened", "datetime"),
    Column("typed", "datetime"),
    Column("who", "string"),
    Column("schema", "integer"),
    # Empty for schema 1.
    Column("device", "string", nullable=True, since=2),
    Column("order", "datetime", nullable=True, since=2),
    Column("refs", "object", nullable=True, since=2),
    Column("intent", "uuid", nullable=True, since=8),  # empty where nothing is known to have asked for the event
)
SINCE_2 = tuple(column.name for column in EVENT if column.since == 2)
SINCE_8 = tuple(column.name for column in EVENT if column.since == 8)
LIST = (Column("event", "uuid"), Column("n", "integer"))


@cache
def event_tables() -> tuple[Table, ...]:
    """A table for each kind of event, named like the kind."""
    return tuple(
        Table(kind, (*EVENT, *_columns(payload)), ("id",), _about(payload), payload)
        for kind, payload in PAYLOADS.items()
    )


@cache
def list_tables() -> tuple[Table, ...]:
    """A table for each list inside events, named like its kind and field: opened-pieces, ticketed-lines."""
    return tuple(
        _list_table(kind, field)
        for kind, payload in PAYLOADS.items()
        for field in shape_of(payload).fields
        if field.several
    )


@cache
def lists_of(kind: str) -> tuple[Table, ...]:
    """The list tables of one kind of event."""
    return tuple(table for table in list_tables() if table.parent == kind)


def _list_table(kind: str, field: PayloadField) -> Table:
    row = field.type if field.items else None
    own = _columns(row) if row else (Column("value", TYPES[field.type]),)
    own = tuple(replace(column, since=max(column.since, field.since)) for column in own)
    about = _about(row) if row else f"The {field.name} of a {kind} event, in their order."
    return Table(f"{kind}-{field.name}", (*LIST, *own), ("event", "n"), about, row, kind, field.name)


def _columns(payload: type[Any]) -> tuple[Column, ...]:
    return tuple(column for field in shape_of(payload).fields if not field.several for column in _of_field(field))


def _of_field(field: PayloadField) -> tuple[Column, ...]:
    """The columns of one field: one, or two for a place on the map."""
    default = None if field.required else cast(Json, written(field.default))
    column = Column(field.name, "string", field.nullable, since=field.since, default=default)
    if typing.get_origin(field.type) is Literal:
        return (replace(column, choices=typing.get_args(field.type)),)
    if typing.get_origin(field.type) is tuple:
        return tuple(replace(column, name=part, type="number", field=field.name) for part in AT)
    return (replace(column, type=TYPES[field.type]),)


def _about(payload: type[Any]) -> str:
    return " ".join((payload.__doc__ or "").split())
