"""A payload with some of its fields said anew, as text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from partway.actions.bench.finds import condition
from partway.actions.books.changes_found import TRAITS, found_anew
from partway.actions.books.money import ACTIVITIES
from partway.actions.buyers.buyers import KINDS, number
from partway.actions.buyers.quoting import unit_price
from partway.actions.home.distances import km
from partway.actions.recording import reading
from partway.actions.recording.said_amounts import count_said
from partway.catalogue.reading.messages import unknown
from partway.distances import distance_number
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Found, Payload, Quoted
from partway.ledger.events.shapes import PayloadField, shape_of
from partway.quantities import MG_PER_KG
from partway.valuing.known import estimates_of


def changeable(what: Payload, distance: str) -> dict[str, str]:
    """What may be said anew of a payload, by the name `changed` takes, as it stands, in text that can be read again;
    ways in the unit `distance`.
    """
    known = isinstance(what, Found) and not what.mostly  # of a kind of the catalogue nobody says what it is made of
    return {
        name: _text(what, field, distance) for name, field in _alone(what).items() if not (known and name in TRAITS)
    }


def _alone(what: Payload) -> dict[str, PayloadField]:
    """Fields that mean something without the others, by the names they are typed by."""
    return {_short(field.name): field for field in shape_of(type(what)).fields if field.sort.alone}


def _text(what: Payload, field: PayloadField, distance: str) -> str:
    value = getattr(what, field.name)
    if isinstance(what, Quoted) and field.sort.name == "price":
        return "" if value is None else f"{value} /{what.unit}"
    if value is None:
        return ""
    if field.sort.name == "km":
        return f"{distance_number(value, distance)} {distance}"
    return mass_text(value) if field.sort.name == "mass" else str(value)


def mass_text(mg: int) -> str:
    """A mass to the milligram, as it can be read again."""
    return f"{format(Decimal(mg) / MG_PER_KG, 'f')} kg"


def changed(book: Book, what: Payload, changes: Mapping[str, str], today: dt.date) -> Payload:
    """The payload with other values, days seen from `today`. Raises Refused for a field that is not there or cannot be
    changed alone.
    """
    names = _alone(what)
    values: dict[str, Any] = {}
    made_of: dict[str, str] = {}
    for given, text in changes.items():
        short = "source" if given == "from" and "source" in names else given.strip().lower().replace("-", "_")
        if short not in names:
            what_for = f"field to set ({', '.join(names) or 'none'}); anything else: take it back, record it anew"
            raise unknown(Refused, given, what_for, names, "set")
        if isinstance(what, Found) and short in {"kind", *TRAITS}:
            made_of[short] = text
        else:
            values |= _value(book, names[short], text, today)
    if isinstance(what, Quoted) and "price" in values:  # one price in place of a range, too
        values |= {"low": None, "high": None}
    after = replace(what, **values)
    if isinstance(what, Found) and isinstance(after, Found):
        return found_anew(what, after, made_of, estimates_of(book))
    return after


def _short(name: str) -> str:
    return name.removesuffix("_mg").removesuffix("_l")


def _value(book: Book, field: PayloadField, text: str, today: dt.date) -> dict[str, Any]:
    """The fields that a text says: a price says its unit and its own words, too."""
    if field.sort.name == "day":
        return {field.name: reading.day_been(text, today, _short(field.name))}
    if field.sort.name == "price":
        price, unit = unit_price(book, text, "price")
        return {"price": price, "unit": unit, "said": text[:200]}
    return {field.name: READERS[field.sort.name](book, text, _short(field.name))}


def _count(_: Book, text: str, where: str) -> int:
    return reading.count(count_said(text, where), where)


def _number(_: Book, text: str, where: str) -> Decimal:
    return number(text, where, Decimal(1_000_000))


READERS: dict[str, Callable[[Book, str, str], Any]] = {  # by the name of a sort
    "text": lambda _, text, where: reading.text(text, where),
    "words": lambda _, text, where: reading.words(text, where),
    "mass": lambda book, text, where: reading.mass_mg(book, text, where, positive=False),
    "count": _count,
    "minutes": lambda _, text, where: reading.minutes(text, where),
    "money": reading.money,
    "total": lambda book, text, where: reading.money(book, text, where, negative=True),
    "km": lambda book, text, where: km(book, text, where, Decimal(1_000_000)),
    "litres": _number,
    "share": lambda _, text, where: reading.share(text, where),
    "works": lambda _, text, __: condition(text),
    "buyer kind": lambda _, text, where: reading.one_of(text, KINDS, "kind of buyer", where),
    "activity": lambda _, text, where: reading.one_of(text, ACTIVITIES, "activity", where),
    "category": lambda _, text, where: reading.slug(text, where),
}
