"""Dates in a scenario that came as JSON: JSON has no dates, so they are text where a TOML file has a date."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

DAY = re.compile(r"\d{4}-\d\d-\d\d")


def dated(document: dict[str, Any]) -> dict[str, Any]:
    """The document with its dates read. Text that is no date is left for the forms to refuse."""
    found = {
        name: _on(value) if name in {"scenario", "grade", "anatomy"} else value for name, value in document.items()
    }
    if isinstance(document.get("buyer"), list):
        found["buyer"] = [_priced(buyer) for buyer in document["buyer"]]
    return found


def _priced(buyer: Any) -> Any:
    return {**buyer, "price": _on(buyer["price"])} if isinstance(buyer, dict) and "price" in buyer else buyer


def _on(value: Any) -> Any:
    """A table, or tables, with their `on` as a day."""
    if isinstance(value, list):
        return [_on(inner) for inner in value]
    return {**value, "on": _day(value["on"])} if isinstance(value, dict) and "on" in value else value


def _day(value: Any) -> Any:
    if not isinstance(value, str) or not DAY.fullmatch(value):
        return value
    try:
        return dt.date.fromisoformat(value)
    except ValueError:
        return value
