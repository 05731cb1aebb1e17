"""A payload with some of its fields said anew, as text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from decimal import Decimal
from typing import Any

from partway.actions.bench.finds import condition
from partway.actions.books.money import ACTIVITIES
from partway.actions.buyers.buyers import KINDS, number
from partway.actions.buyers.quoting import price_said
from partway.actions.recording import reading
from partway.actions.recording.kinds import kind_meant
from partway.actions.recording.questions import Asked
from partway.catalogue.reading.messages import unknown
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Found, Payload, Quoted, Ruled
from partway.quantities import MG_PER_KG, shown

# What other events go by, what only makes sense together, and what the ledger said before.
NOT_ALONE = frozenset({
    "find", "bin", "to_bin", "buyer", "haul", "ticket", "was_mg", "event", "instead", "status", "pieces", "runs",
    "lines", "deductions", "shipping", "at", "refuses", "stops", "closes", "unit", "value", "grade", "to_grade",
    "material", "context", "answers", "card",
})  # fmt: skip
TEXTS = frozenset({"source", "note", "photo", "name", "what", "said", "how", "number", "why"})
WORDS = frozenset({"says", "source"})  # of a place card: longer, and never empty


def changeable(what: Payload) -> dict[str, str]:
    """What may be said anew of a payload, by the name `changed` takes, as it stands, in text that can be read again."""
    return {_short(f.name): _text(what, f.name) for f in fields(what) if f.name not in NOT_ALONE}


def _text(what: Payload, name: str) -> str:
    value = getattr(what, name)
    if isinstance(what, Quoted) and name == "price":
        return "" if value is None else f"{value} /{what.unit}"
    if value is None:
        return ""
    return mass_text(value) if name.endswith("_mg") else str(value)


def mass_text(mg: int) -> str:
    """A mass to the milligram, as it can be read again."""
    return f"{format(Decimal(mg) / MG_PER_KG, 'f')} kg"


def changed(book: Book, what: Payload, changes: Mapping[str, str]) -> Payload:
    """The payload with other values. Raises Refused for a field that is not there or cannot be changed alone."""
    names = {_short(f.name): f.name for f in fields(what) if f.name not in NOT_ALONE}
    values: dict[str, Any] = {}
    for given, text in changes.items():
        short = "source" if given == "from" and "source" in names else given.strip().lower().replace("-", "_")
        if short not in names:
            what_for = f"field to set ({', '.join(names) or 'none'}); anything else: take it back, record it anew"
            raise unknown(Refused, given, what_for, names, "set")
        values |= _value(book, what, names[short], text)
    return replace(what, **values)


def _short(name: str) -> str:
    return name.removesuffix("_mg").removesuffix("_l")


def _value(book: Book, what: Payload, name: str, text: str) -> dict[str, Any]:
    if isinstance(what, Quoted) and name == "price":
        price, unit = price_said(text, reading.currency(book), "price")
        return {"price": price, "unit": unit, "said": text[:200]}
    if isinstance(what, Ruled) and name in WORDS:
        return {name: reading.words(text, name)}
    if name in TEXTS:
        return {name: reading.text(text, name)}
    return {name: _one(book, what, name, text)}


def _one(book: Book, what: Payload, name: str, text: str) -> Any:
    if name.endswith("_mg"):
        return reading.mass_mg(book, text, name.removesuffix("_mg"), positive=False)
    if name == "kind":
        known = _find_kind if isinstance(what, Found) else _buyer_kind
        return known(text, name)
    if name in READERS:
        return READERS[name](text, name)
    return reading.money(book, text, name, negative=name == "total")


def _find_kind(text: str, where: str) -> str:
    """The kind of a find. A correction asks nothing back: what is no exact name is refused with those near it."""
    try:
        return kind_meant(text, where)
    except Asked as asked:
        raise Refused(asked.given, asked.expected, asked.where) from None


def _buyer_kind(text: str, where: str) -> str:
    return reading.one_of(text, KINDS, "kind of buyer", where)


def _activity(text: str, where: str) -> str:
    return reading.one_of(text, ACTIVITIES, "activity", where)


def _works(text: str, _: str) -> str:
    return condition(text)


def _litres_or_km(text: str, where: str) -> Decimal:
    return number(text, where, Decimal(1_000_000))


def _count(text: str, where: str) -> int:
    return reading.count(_int(text, where), where)


def _int(text: str, where: str) -> int:
    if not text.strip().isdecimal():
        raise Refused(shown(text), "a whole number", where)
    return int(text)


def _day(text: str, where: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        raise Refused(shown(text), "a day such as 2026-03-14", where) from None


READERS: dict[str, Callable[[str, str], Any]] = {
    "minutes": reading.minutes,
    "works": _works,
    "count": _count,
    "on": _day,
    "seen": _day,
    "km": _litres_or_km,
    "capacity_l": _litres_or_km,
    "category": reading.slug,
    "activity": _activity,
}
