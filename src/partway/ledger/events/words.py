"""What an event says in words: a template of field names beside its data, filled in by whoever knows units and names.

`{field}` stands for a value; `{pieces.bin}` for that field of each item of a list. What stands in brackets is left out
where one of its fields says nothing: it is empty, as it is by default, a mass of 0 or a count of 1. Of `[this|that]`
the second then stands instead. A list is the words of its items, one after the other.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from partway.ledger.events.payload import Payload, PayloadRow
from partway.ledger.events.shapes import PayloadField, shape_of
from partway.ledger.events.sorts import Sort

GROUP = re.compile(r"\[([^]|]*)(?:\|([^]]*))?\]")
NAME = re.compile(r"\{(\w+)(?:\.(\w+))?\}")
NOTHING = {"mass": 0, "count": 1}  # by sort: no mass, and the one of which nobody speaks
Show = Callable[[Any, Sort], str]  # a single value of some sort, as people read it


def said(what: Payload, show: Show) -> str:
    """What an event says; `show` writes each value."""
    return _filled(what.words(), what, show)


def _filled(template: str, record: Payload | PayloadRow, show: Show) -> str:
    fields = {field.name: field for field in shape_of(type(record)).fields}

    def group(match: re.Match[str]) -> str:
        names = [name for name, _ in NAME.findall(match[1])]
        nothing = any(_nothing(getattr(record, name), fields[name]) for name in names)
        return (match[2] or "") if nothing else match[1]

    def value(match: re.Match[str]) -> str:
        return _shown(getattr(record, match[1]), fields[match[1]], match[2], show)

    return NAME.sub(value, GROUP.sub(group, template))


def _nothing(value: Any, field: PayloadField) -> bool:
    empty = value is None or value in ("", ())
    return empty or (not field.required and value == field.default) or NOTHING.get(field.sort.name) == value


def _shown(value: Any, field: PayloadField, of_items: str | None, show: Show) -> str:
    if not field.several:
        return show(value, field.sort)
    if field.items is None:
        return ", ".join(show(item, field.sort) for item in value)
    template = f"{{{of_items}}}" if of_items else None
    return ", ".join(_filled(template or item.WORDS, item, show) for item in value)
