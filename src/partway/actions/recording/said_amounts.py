"""Masses, prices and numbers for what is worked out and not recorded: the same words are read as where it is recorded.

A plain quantity is read as it is; anything else as people say it (`spoken`), against `hearing`, which is that of the
workspace where there is one. Raises BadQuantity, with what was understood up to where.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

from partway.actions.recording.heard import or_spoken
from partway.errors import BadQuantity
from partway.quantities import parse_mass, parse_price, plain_text, shown
from partway.spoken import Hearing, read_mass, read_minutes, read_money, read_number, read_price
from partway.spoken.durations import HOUR

T = TypeVar("T")
PLAIN = Hearing()
ANY = ("USD", "GBP", "EUR")  # where no currency is set, dollars, pounds and euros are words for whatever one counts in
NO_CURRENCY = "XXX"  # ISO 4217: none is meant
LONGEST_COUNT = 9  # digits
NO_WAGE = 1000  # of two readings of what an hour is worth, one of so much is none (common practice, no source)


def kg_said(text: str, where: str, *, positive: bool = False, hearing: Hearing = PLAIN) -> Decimal:
    """A mass in kg: "10 lb", "6lb8oz", "half a pound"."""
    try:
        return parse_mass(text, where, positive=positive)
    except BadQuantity as refusal:
        found = or_spoken(refusal, lambda: read_mass(text, hearing, where))
        if positive and found <= 0:
            raise
        return found


def mass_written(text: str, where: str, hearing: Hearing = PLAIN) -> str:
    """A mass above 0 as digits and a unit, as settings keep it: what is written so already stays as it is."""
    try:
        parse_mass(text, where, positive=True)
    except BadQuantity:
        return f"{plain_text(kg_said(text, where, positive=True, hearing=hearing))} kg"
    return text.strip()


def price_written(text: str, currency: str, where: str, hearing: Hearing = PLAIN) -> str:
    """A price for a unit of mass as digits, slash and unit: "four dollars ten a pound" is "4.1 /lb"."""
    if currency != NO_CURRENCY:
        hearing = replace(hearing, currency=currency)
    try:
        parse_price(text, currency, where)
    except BadQuantity as refusal:
        said = or_spoken(refusal, lambda: _of_any(lambda heard: read_price(text, heard, where), hearing))
        per, reading = said.per, said.heard.readings[0]
        if per is None or per.each or per.fault or len(per.units) != 1:
            raise
        return f"{plain_text(reading / per.count)} /{per.units[0]}"
    return text.strip()


def per_kg_said(text: str, currency: str, where: str, hearing: Hearing = PLAIN) -> Decimal:
    """A price per kg: "4.10 /lb", "four dollars ten a pound"."""
    return parse_price(price_written(text, currency, where, hearing), currency, where)


def number_said(text: str, where: str, hearing: Hearing = PLAIN) -> Decimal:
    """A number: 12.5, "twelve and a half"."""
    return read_number(text, hearing, where)


def count_said(text: str, where: str, hearing: Hearing = PLAIN, least: int = 1) -> int:
    """How many, at least so many: 2, "two", "a dozen". Raises Refused."""
    plain = text.strip()
    if plain.isascii() and plain.isdecimal() and len(plain) < LONGEST_COUNT:
        number = Decimal(plain)
    else:
        refusal = BadQuantity(shown(text), f"a whole number of at least {least}, such as 2", where)
        number = or_spoken(refusal, lambda: read_number(text, hearing, where))
    if number % 1 or not least <= number < 10**LONGEST_COUNT:
        raise BadQuantity(shown(text), f"a whole number of at least {least}, such as 2", where)
    return int(number)


def wage_said(text: str, where: str, hearing: Hearing = PLAIN) -> Decimal:
    """What an hour is worth: 12.50, "twelve fifty", "20 bucks"."""
    return _of_any(lambda heard: read_money(text, heard, where, below=Decimal(NO_WAGE)), hearing)


def _of_any(read: Callable[[Hearing], T], hearing: Hearing) -> T:
    """What is read against a hearing; where that has no currency, against one of `ANY`."""
    for code in ("", *ANY) if not hearing.currency else ():
        with suppress(BadQuantity):
            return read(replace(hearing, currency=code))
    return read(hearing)


def hours_said(text: str, where: str, hearing: Hearing = PLAIN) -> Decimal:
    """Hours: 6.5, "six and a half", "6 h 30", "90 minutes"."""
    try:
        return read_number(text, hearing, where)
    except BadQuantity as refusal:
        try:
            return read_minutes(text, hearing, where) / HOUR
        except BadQuantity:
            raise refusal from None
