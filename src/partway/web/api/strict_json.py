"""JSON that every reader reads alike (RFC 7493): each name once, finite numbers, not nested without end."""

from __future__ import annotations

import json
import math
from typing import Any, NoReturn

from partway.web.serving.failures import Malformed

NAMES_MOST = 1000


def parsed(body: bytes) -> Any:
    """What a body says. Raises Malformed."""
    try:
        return json.loads(body.decode(), parse_constant=_no_number, parse_float=_finite, object_pairs_hook=_table)
    except RecursionError:
        raise Malformed("lists in lists without end", "JSON that is nested less deeply", "body") from None
    except ValueError as error:
        raise Malformed(
            f"no such JSON ({str(error)[:80]})", "JSON in UTF-8, each name once (RFC 7493)", "body"
        ) from None


def _table(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object; one that says a name twice is read differently by different readers."""
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("a name twice")
    if len(found) > NAMES_MOST:
        raise ValueError(f"{len(found)} names in one object")
    return found


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("a number beyond all bounds")
    return number
