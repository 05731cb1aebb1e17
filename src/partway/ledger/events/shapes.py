"""The form of every dataclass of an event as JSON, worked out from the sorts of its fields; and of single values."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import types
import typing
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any
from uuid import UUID

from partway.ledger.events import fields as f
from partway.ledger.events.payload import Payload, Row
from partway.ledger.events.sorts import Since, Sort

PLAIN: dict[type, f.Read] = {bool: f.flag, dt.date: f.day, UUID: f.event_id}
ANY = Sort()
SHAPES: dict[type[Any], Shape] = {}


@dataclasses.dataclass(frozen=True, slots=True)
class Field:
    """One field: its reader, its sort, and the shape of its items where it is a list of dataclasses.

    `several`: it is a list. `since` is the format of an export that has it first, 0 for the oldest.
    """

    name: str
    read: f.Read
    sort: Sort
    required: bool
    default: Any
    several: bool = False
    items: Shape | None = None
    since: int = 0


class Shape:
    """How one dataclass is written as a JSON object and read back, and which of its fields name things."""

    __slots__ = ("cls", "fields", "known", "lists", "names", "optional")

    def __init__(self, cls: type[Any]) -> None:
        self.cls, self.fields = cls, tuple(_fields(cls))
        self.known = frozenset(field.name for field in self.fields)
        self.names = tuple(field for field in self.fields if field.sort.names)
        self.lists = tuple((field.name, field.items) for field in self.fields if field.items and field.items.names)
        self.optional = tuple((field.name, field.default) for field in self.fields if field.since)

    def read(self, data: Any) -> Any:
        """The dataclass of a JSON object. Raises Bad; fields that have a default may be absent."""
        if type(data) is not dict:
            raise f.Bad(data, "a table")
        if not self.known.issuperset(data):
            name = next(name for name in data if name not in self.known)
            raise f.Bad(name, "only " + ", ".join(sorted(self.known)))
        values = {}
        for field in self.fields:
            if field.name in data:
                try:
                    values[field.name] = field.read(data[field.name])
                except f.Bad as bad:
                    raise bad.inside(field.name) from None
            elif field.required:
                raise f.Bad(None, "a value", field.name)
        return self.cls(**values)

    def write(self, value: Any) -> dict[str, Any]:
        """The JSON object of a dataclass: every field, but for one of later that says nothing."""
        data = {field.name: written(getattr(value, field.name)) for field in self.fields}
        for name, default in self.optional:
            if getattr(value, name) == default:
                del data[name]
        return data


def shape_of(cls: type[Any]) -> Shape:
    """The shape of a dataclass of an event, worked out once."""
    shape = SHAPES.get(cls)
    if shape is None:
        shape = SHAPES[cls] = Shape(cls)
    return shape


def _fields(cls: type[Any]) -> Iterator[Field]:
    hints = typing.get_type_hints(cls, include_extras=True)
    for field in dataclasses.fields(cls):
        hint = hints[field.name]
        since = next((mark.format for mark in _unmarked(hint)[1] if isinstance(mark, Since)), 0)
        required = field.default is dataclasses.MISSING
        item = _item(hint)
        several, inner = item is not None, hint if item is None else item
        items = shape_of(inner) if dataclasses.is_dataclass(inner) else None
        sort = _sort(hint) if item is None else _sort(item)
        yield Field(field.name, reader_of(hint), sort, required, field.default, several, items, since)


def reader_of(hint: Any) -> f.Read:
    """What reads a value of a type from JSON."""
    plain, marks = _unmarked(hint)
    sort = next((mark for mark in marks if isinstance(mark, Sort)), ANY)
    if sort.read is not None:
        return sort.read
    inner = _without_none(plain)
    if inner is not None:
        return f.optional(reader_of(inner))
    item = _item(plain)
    if item is not None:
        return f.several(reader_of(item))
    if typing.get_origin(plain) is typing.Literal:
        return f.word(typing.get_args(plain))
    return shape_of(plain).read if dataclasses.is_dataclass(plain) else PLAIN[plain]


def _unmarked(hint: Any) -> tuple[Any, tuple[Any, ...]]:
    """A type and what it is annotated with."""
    if typing.get_origin(hint) is typing.Annotated:
        plain, *marks = typing.get_args(hint)
        return plain, tuple(marks)
    return hint, ()


def _sort(hint: Any) -> Sort:
    """The sort of a type, also where it may be None."""
    marks = _unmarked(_without_none(hint) or hint)[1]
    return next((mark for mark in marks if isinstance(mark, Sort)), ANY)


def _without_none(hint: Any) -> Any:
    """A type without its None; None where it has none."""
    if typing.get_origin(hint) not in {typing.Union, types.UnionType}:
        return None
    return next(part for part in typing.get_args(hint) if part is not types.NoneType)


def _item(hint: Any) -> Any:
    """The type of the items of a list; None for what is no list."""
    arguments = typing.get_args(hint)
    is_list = typing.get_origin(hint) is tuple and len(arguments) == 2 and arguments[1] is Ellipsis
    return arguments[0] if is_list else None


def written(value: Any) -> Any:
    """A value as JSON has it. What cannot be written exactly stays as it is, for the reader to refuse."""
    write = WRITERS.get(type(value))
    if write is not None:
        return write(value)
    return shape_of(type(value)).write(value) if isinstance(value, Payload | Row) else value


def decimal_text(value: Decimal) -> str:
    """Every digit, without an exponent where that takes no more than 40 digits."""
    text = str(value)
    return f"{value:f}" if "E" in text and abs(value.adjusted()) < 40 else text


def time_text(value: dt.datetime) -> str:
    """A time in UTC to the microsecond, always as long, so that texts sort as times do; naive times keep no Z."""
    if value.tzinfo is None:
        return value.isoformat()
    return value.astimezone(dt.UTC).isoformat(timespec="microseconds")[:-6] + "Z"


def canonical(data: object) -> str:
    """JSON with sorted keys and no spaces, in plain characters (no escapes but those JSON needs)."""
    return json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def payload_text(what: Payload) -> str:
    """The canonical text of a payload alone, as facts have it."""
    return canonical(written(what))


WRITERS: dict[type, Callable[[Any], Any]] = {
    UUID: str,
    Decimal: decimal_text,
    dt.datetime: time_text,
    dt.date: dt.date.isoformat,
    tuple: lambda values: [written(value) for value in values],
}
