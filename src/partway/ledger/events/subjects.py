"""What an event is about, so that all of a find's, a bin's or a buyer's events can be looked up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import Shape, shape_of


def subjects_of(event: Event) -> tuple[str, ...]:
    """The subjects an event names, each once, sorted.

    find:ID, bin:ID, buyer:ID, haul:ID, ticket:ID, setting:NAME, context:ID, rule:ID, and event:ID of what a correction
    corrects.
    """
    return named_in(event.what)


def named_in(what: Payload) -> tuple[str, ...]:
    """The same of a payload alone: the values of all fields whose sort is a name of something."""
    return tuple(sorted(set(_named(what, shape_of(type(what))))))


def _named(record: Any, shape: Shape) -> Iterator[str]:
    for field in shape.names:
        value, sort = getattr(record, field.name), field.sort.names
        if field.several:
            yield from (f"{sort}:{name}" for name in value)
        elif value is not None:
            yield f"{sort}:{value}"
    for name, items in shape.lists:
        for item in getattr(record, name):
            yield from _named(item, items)


def renamed_in(what: Payload, keys: Mapping[str, str]) -> Payload:
    """A payload with other names for some of its subjects; `keys` has the new subject of each."""
    renamed: Payload = _renamed(what, shape_of(type(what)), keys)
    return renamed


def _renamed(record: Any, shape: Shape, keys: Mapping[str, str]) -> Any:
    changes: dict[str, Any] = {}
    for field in shape.names:
        value, sort = getattr(record, field.name), field.sort.names
        if field.several:
            changes[field.name] = tuple(_new(sort, name, keys) for name in value)
        elif isinstance(value, str):
            changes[field.name] = _new(sort, value, keys)
    for name, items in shape.lists:
        changes[name] = tuple(_renamed(item, items, keys) for item in getattr(record, name))
    return replace(record, **changes)


def _new(sort: str, name: str, keys: Mapping[str, str]) -> str:
    return keys.get(f"{sort}:{name}", f"{sort}:{name}").partition(":")[2]
