"""One value as the text of a cell and back, between the JSON form of an event (`ledger.events.codec`) and Table Schema.

Money and days are text in JSON as well; numbers, true and false, and nothing need a form of their own in a cell. Here
only types are checked; which values are allowed is the codec's to say.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable

from partway.storage.exchange.columns import Column, Json, Type

INTEGER_MOST = 20  # characters, so that nobody's file costs time
_INTEGER = re.compile(r"-?(0|[1-9][0-9]*)")
_BOOLEAN = {"true": True, "false": False}
EXPECTED: dict[Type, str] = {
    "string": "text",
    "uuid": "a UUID in lower case",
    "integer": "a whole number",
    "number": "a decimal number with a point",
    "boolean": "true or false",
    "date": "a day such as 2026-03-14",
    "datetime": "a time with its zone such as 2026-03-14T09:30:00Z",
    "object": "a JSON object",
}


def text_of(value: Json) -> str:
    """The cell's text; None is an empty cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def value_of(text: str, column: Column) -> Json:
    """The value in a cell. Raises ValueError if the text is not of the column's type."""
    if text == "" and column.nullable:
        return None
    if column.choices and text not in column.choices:
        raise ValueError(text)
    return READ.get(column.type, str)(text)


def expected_of(column: Column) -> str:
    """What a cell of this column may hold, in words."""
    words = " | ".join(column.choices) or EXPECTED[column.type]
    return f"{words}, or nothing" if column.nullable else words


def _integer(text: str) -> int:
    if len(text) > INTEGER_MOST or not _INTEGER.fullmatch(text):
        raise ValueError(text)
    return int(text)


def _boolean(text: str) -> bool:
    if text not in _BOOLEAN:
        raise ValueError(text)
    return _BOOLEAN[text]


def _object(text: str) -> str:
    """The text of an object, as it is."""
    try:
        given = json.loads(text)
    except RecursionError:
        raise ValueError(text) from None
    if type(given) is not dict:
        raise ValueError(text)
    return text


READ: dict[Type, Callable[[str], Json]] = {"integer": _integer, "boolean": _boolean, "object": _object}
