"""The form of every dataclass of an event as JSON, worked out from the sorts of its fields; and of single values."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import types
import typing
from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from typing import Any, TypeVar
from uuid import UUID

from partway.ledger.events import fields as f
from partway.ledger.events.payload import Payload, PayloadRow
from partway.ledger.events.sorts import Since, Sort

PLAIN: dict[type, f.Read] = {bool: f.flag, dt.date: f.day, UUID: f.event_id}
M = TypeVar("M")
ANY = Sort()
SHAPES: dict[type[Any], Shape] = {}


@dataclasses.dataclass(frozen=True, slots=True)
class PayloadField:
    """One field: its reader, its sort and plain type, those of its items where it is a list (`several`).

    `nullable`: it may be None. `since` is the format of a Data Package that has it first, 1 for the oldest.
    """

    name: str
    read: f.Read
    sort: Sort
    type: Any
    nullable: bool
    several: bool
    required: bool
    default: Any
    since: int

    @property
    def items(self) -> Shape | None:
        """The shape of the items of a list of dataclasses."""
        return shape_of(self.type) if self.several and _is_row(self.type) else None


class Shape:
    """How one dataclass is written as a JSON object and read back, and which of its fields name things."""

    __slots__ = ("cls", "fields", "known", "lists", "names", "optional")

    def __init__(self, cls: type[Any]) -> None:
        self.cls, self.fields = cls, tuple(_fields(cls))
        self.known = frozenset(field.name for field in self.fields)
        self.names = tuple(field for field in self.fields if field.sort.names)
        lists = ((field.name, field.items) for field in self.fields)
        self.lists = tuple((name, items) for name, items in lists if items is not None and items.names)
        self.optional = tuple((field.name, field.default) for field in self.fields if field.since > 1)

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


def _fields(cls: type[Any]) -> Iterator[PayloadField]:
    hints = typing.get_type_hints(cls, include_extras=True)
    for field in dataclasses.fields(cls):
        hint = hints[field.name]
        bare, outer = _unmarked(hint)  # a list may be marked as a whole
        item = _item(bare)
        one = hint if item is None else item
        inner = _without_none(one)
        plain, marks = _unmarked(one if inner is None else inner)
        yield PayloadField(
            name=field.name,
            read=reader_of(hint),
            sort=_first(Sort, marks) or ANY,
            type=plain,
            nullable=inner is not None,
            several=item is not None,
            required=field.default is dataclasses.MISSING,
            default=field.default,
            since=getattr(_first(Since, (*outer, *marks)), "format", 1),
        )


def _first(of: type[M], marks: Sequence[Any]) -> M | None:
    return next((mark for mark in marks if isinstance(mark, of)), None)


def reader_of(hint: Any) -> f.Read:
    """What reads a value of a type from JSON."""
    plain, marks = _unmarked(hint)
    sort = _first(Sort, marks)
    if sort is not None and sort.read is not None:
        return sort.read
    inner = _without_none(plain)
    if inner is not None:
        return f.optional(reader_of(inner))
    item = _item(plain)
    if item is not None:
        return f.several(reader_of(item))
    if typing.get_origin(plain) is typing.Literal:
        return f.word(typing.get_args(plain))
    return shape_of(plain).read if _is_row(plain) else PLAIN[plain]


def _is_row(of: Any) -> bool:
    return isinstance(of, type) and issubclass(of, PayloadRow)


def _unmarked(hint: Any) -> tuple[Any, tuple[Any, ...]]:
    """A type and what it is annotated with."""
    if typing.get_origin(hint) is typing.Annotated:
        plain, *marks = typing.get_args(hint)
        return plain, tuple(marks)
    return hint, ()


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
    return shape_of(type(value)).write(value) if isinstance(value, Payload | PayloadRow) else value


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
