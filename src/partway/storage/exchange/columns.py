"""The tables of a Data Package: one for each kind of event and one for each list inside it.

They are made from the dataclasses of the payloads, so that no field is forgotten or read as another type.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import types
import typing
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Literal
from uuid import UUID

from partway.ledger.events.payloads import PAYLOADS, Payload

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
    """One column. `field`: the dataclass field it fills, if that has another name."""

    name: str
    type: Type
    nullable: bool = False
    choices: tuple[str, ...] = ()
    field: str = ""

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
        later = SINCE_2 if form == 1 and not self.parent else ()
        return tuple(column for column in self.columns if column.name not in later)

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
    Column("device", "string", nullable=True),
    Column("order", "datetime", nullable=True),
    Column("refs", "object", nullable=True),
)
SINCE_2 = frozenset({"device", "order", "refs"})  # columns that packages of format 1 do not have
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
        _list_table(kind, field.name, item)
        for kind, payload in PAYLOADS.items()
        for field, hint in _fields(payload)
        if (item := _item(hint)) is not None
    )


@cache
def lists_of(kind: str) -> tuple[Table, ...]:
    """The list tables of one kind of event."""
    return tuple(table for table in list_tables() if table.parent == kind)


def _list_table(kind: str, field: str, item: type[Any]) -> Table:
    row = item if dataclasses.is_dataclass(item) else None
    own = _columns(item) if row else (Column("value", TYPES[item]),)
    about = _about(item) if row else f"The {field} of a {kind} event, in their order."
    return Table(f"{kind}-{field}", (*LIST, *own), ("event", "n"), about, row, kind, field)


def _columns(payload: type[Any]) -> tuple[Column, ...]:
    return tuple(
        column for field, hint in _fields(payload) if _item(hint) is None for column in _of_field(field.name, hint)
    )


def _of_field(name: str, hint: Any) -> tuple[Column, ...]:
    """The columns of one field: one, or two for a place on the map."""
    inner, nullable = _without_none(hint)
    if typing.get_origin(inner) is Literal:
        return (Column(name, "string", nullable, typing.get_args(inner)),)
    if typing.get_origin(inner) is tuple:
        return tuple(Column(part, "number", nullable, field=name) for part in AT)
    return (Column(name, TYPES[inner], nullable),)


def _fields(payload: type[Any]) -> list[tuple[dataclasses.Field[Any], Any]]:
    hints = typing.get_type_hints(payload)
    return [(field, hints[field.name]) for field in dataclasses.fields(payload)]


def _without_none(hint: Any) -> tuple[Any, bool]:
    """A type without its None, and whether it had one."""
    if typing.get_origin(hint) not in {typing.Union, types.UnionType}:
        return hint, False
    inner = [part for part in typing.get_args(hint) if part is not types.NoneType]
    return inner[0], True


def _item(hint: Any) -> type[Any] | None:
    """The type of the items of a list; None for what is no list."""
    arguments = typing.get_args(hint)
    is_list = typing.get_origin(hint) is tuple and len(arguments) == 2 and arguments[1] is Ellipsis
    return arguments[0] if is_list else None


def _about(payload: type[Payload] | type[Any]) -> str:
    return " ".join((payload.__doc__ or "").split())
