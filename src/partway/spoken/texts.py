"""A whole text read as one thing, or refused with what was understood of it and from where on it was not.

Every function takes the text, what it is heard against, and `where`: the field, for the message. Raises BadQuantity.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import NoReturn

from partway.errors import BadQuantity
from partway.quantities import LONGEST_TEXT, plain_text, shown
from partway.spoken.days import day_at
from partway.spoken.distances import distance_at
from partway.spoken.durations import minutes_at
from partway.spoken.masses import mass_at
from partway.spoken.moments import moment_at
from partway.spoken.money import Heard, money_at
from partway.spoken.numbers import number_at
from partway.spoken.prices import SaidPrice, said_price_at
from partway.spoken.tokens import Token, tokens_of
from partway.spoken.tongue import Hearing
from partway.spoken.volumes import litres_said


@dataclass
class NotUnderstood(BadQuantity):
    """A text that cannot be read to its end; `understood` says how far it was."""

    understood: str = field(default="", kw_only=True)


LONGEST_SAID = 2 * LONGEST_TEXT  # characters: words take more of them than digits
MASS = 'a mass, such as "12.4 lb" or "6 lb 8 oz"'
VOLUME = 'a volume, such as "1800 L", "forty litres" or "five US gallons"'
MONEY = 'an amount, such as 12.50, "$14.99" or "30 bucks"'
PRICE = 'a price, such as "4.10 /lb", "38 c a lb" or "12 to 18 cents"'
MINUTES = 'a time, such as 45, "1 h 30", "1.5 h", 1:30 or "nineteen minutes"'
DAY = 'a day, such as yesterday, monday, "nov 20" or 2026-03-14'
NUMBER = 'a number, such as 12.5 or "twelve and a half"'
MOMENT = 'a day or a time, such as yesterday, "monday 3 pm", "at 15:30" or "2026-03-14 15:30"'


def read_mass(text: str, hearing: Hearing, where: str) -> Decimal:
    """A mass in kg; a bare number is in the hearing's unit."""
    tokens = _tokens(text, MASS, where)
    said = mass_at(tokens, 0, hearing)
    _whole(text, tokens, said.end if said else 0, MASS, where)
    assert said is not None  # noqa: S101  a text of which nothing is understood was refused
    kgs = said.kg(hearing.unit)
    if not kgs:
        raise BadQuantity(shown(text), f"{MASS}: the number {plain_text(said.amounts[0])}, of what unit", where)
    if len(kgs) > 1:
        amounts = [f"{plain_text(n)} {unit}".strip() for n in said.amounts for unit in said.units or (hearing.unit,)]
        _which(text, amounts, where)
    return kgs[0]


def read_volume(text: str, hearing: Hearing, where: str) -> Decimal:
    """A volume in litres."""
    tokens = _tokens(text, VOLUME, where)
    found = tuple(dict.fromkeys(litres_said(text, tokens, hearing, where)))
    if not found:
        raise NotUnderstood(shown(text), VOLUME, where)
    if len(found) > 1:
        _which(text, [f"{plain_text(one)} L" for one in found], where)
    return found[0]


def read_distance(text: str, hearing: Hearing, where: str) -> Decimal:
    """A distance in km; a bare number is in the hearing's unit, kilometres where it has none."""
    unit = hearing.distance or "km"
    expected = f'a distance, such as "12 {unit}" or "eight and a half"'
    tokens = _tokens(text, expected, where)
    said = distance_at(tokens, 0, hearing)
    _whole(text, tokens, said.end if said else 0, expected, where)
    assert said is not None  # noqa: S101
    kms = said.km(unit)
    if len(kms) > 1:
        _which(text, [f"{plain_text(amount)} {said.unit or unit}" for amount in said.amounts], where)
    return kms[0]


def read_money(text: str, hearing: Hearing, where: str, below: Decimal | None = None) -> Decimal:
    """An amount in the currency of the hearing: "$14.99", "30 bucks", "a buck ninety". A bare number is as it is.

    Of several readings those that are not `below` are none, where one is.
    """
    tokens = _tokens(text, MONEY, where)
    found = money_at(tokens, 0, hearing)
    _whole(text, tokens, found[1] if found else 0, MONEY, where)
    assert found is not None  # noqa: S101
    heard = found[0]
    left = tuple(one for one in heard.readings if below is None or one < below)
    return _sure(text, replace(heard, readings=left) if left else heard, where)


def read_number(text: str, hearing: Hearing, where: str) -> Decimal:
    """A number of no unit: 12.5, "twelve and a half", "9,2" where decimals come after a comma."""
    tokens = _tokens(text, NUMBER, where)
    found = number_at(tokens, 0, hearing)
    _whole(text, tokens, found[2] if found else 0, NUMBER, where)
    assert found is not None  # noqa: S101
    readings = found[0] if found[1] in {"comma", "split"} else found[0][:1]
    if len(readings) > 1:
        _which(text, [plain_text(reading) for reading in readings], where)
    return readings[0]


def read_price(text: str, hearing: Hearing, where: str) -> SaidPrice:
    """A price whose amount is sure: `heard` has one reading, or one range. What it is per is the caller's to judge."""
    tokens = _tokens(text, PRICE, where)
    said = said_price_at(tokens, 0, hearing)
    _whole(text, tokens, said.end if said else 0, PRICE, where)
    assert said is not None  # noqa: S101
    value = _sure(text, said.heard, where)
    ends = said.heard.ends_at(value)
    return SaidPrice(Heard((value,), ends=(ends,) if ends else ()), said.per, said.pays, said.end)


def read_minutes(text: str, hearing: Hearing, where: str) -> Decimal:
    """Minutes; a bare number is of minutes."""
    tokens = _tokens(text, MINUTES, where)
    found = minutes_at(tokens, 0, hearing)
    _whole(text, tokens, found[2] if found else 0, MINUTES, where)
    assert found is not None  # noqa: S101
    if len(found[0]) > 1:
        _which(text, [f"{plain_text(reading)} minutes" for reading in found[0]], where)
    return found[0][0]


def read_day(text: str, today: dt.date, hearing: Hearing, where: str) -> dt.date:
    """A day seen from `today`; a week, or a day that may be two, is asked about."""
    tokens = _tokens(text, DAY, where)
    said = day_at(tokens, 0, today, hearing)
    _whole(text, tokens, said.end if said else 0, DAY, where)
    assert said is not None  # noqa: S101
    return _one_day(text, said.readings, today, where)


def _one_day(text: str, readings: Sequence[tuple[dt.date, dt.date]], today: dt.date, where: str) -> dt.date:
    if len(readings) > 1:
        _which(text, [day_text(first, today) for first, _ in readings], where)
    first, last = readings[0]
    if first != last:
        between = f"{day_text(first, today)} to {day_text(last, today)}"
        raise BadQuantity(shown(text), f"one day of it: {between}", where)
    return first


def read_moment(text: str, now: dt.datetime, hearing: Hearing, where: str) -> tuple[dt.date, dt.time | None]:
    """A day, and the time of it where one was said, seen from `now`; what may be two moments is asked about."""
    tokens = _tokens(text, MOMENT, where)
    said = moment_at(tokens, 0, now.date(), hearing)
    _whole(text, tokens, said.end if said else 0, MOMENT, where)
    assert said is not None  # noqa: S101
    if not said.times:
        return _one_day(text, said.days, now.date(), where), None
    found = said.passed(now)
    if len(found) > 1:
        _which(text, [moment_text(day, time, now.date()) for day, time in found], where)
    return found[0]


def moment_text(day: dt.date, time: dt.time | None, today: dt.date) -> str:
    """A moment as people say it: "Monday 16 November at 15:30"."""
    return day_text(day, today) if time is None else f"{day_text(day, today)} at {time:%H:%M}"


def dated(day: dt.date) -> str:
    """A day by its date alone, which no other day has: "14 March 2026"."""
    return f"{day.day} {day:%B %Y}"


def day_text(day: dt.date, today: dt.date) -> str:
    """A day as people say it: "Monday 16 November", with its year where that is another."""
    text = f"{day:%A} {day.day} {day:%B}"
    return text if day.year == today.year else f"{text} {day.year}"


def understood_to(text: str, tokens: Sequence[Token], end: int) -> str:
    """What of a text was understood, and from where on it was not."""
    if not end:
        return "nothing of it was understood"
    read, rest = text[: tokens[end - 1].end].strip(), text[tokens[end].start :].strip()
    return f"{shown(read)} was understood, {shown(rest)} was not"


def _tokens(text: str, expected: str, where: str) -> list[Token]:
    if len(text) > LONGEST_SAID or not text.strip():
        raise NotUnderstood(shown(text), expected, where)
    return tokens_of(text)


def _whole(text: str, tokens: Sequence[Token], end: int, expected: str, where: str) -> None:
    """Refuses a text of which something is left over."""
    if end and end < len(tokens) and all(token.text == "." for token in tokens[end:]):
        return
    if not end or end < len(tokens):
        understood = understood_to(text, tokens, end)
        raise NotUnderstood(shown(text), f"{expected}; {understood}", where, understood=understood if end else "")


def _sure(text: str, heard: Heard, where: str) -> Decimal:
    """The one reading of an amount; a whole number without cents or a currency is one of whole units here."""
    if heard.fault:
        raise BadQuantity(shown(text), f"money as this workspace counts it; {heard.fault}", where)
    if heard.style not in {"bare", "minus"} and len(heard.readings) > 1:
        _which(text, [plain_text(reading) for reading in heard.readings], where)
    return heard.readings[0]


def _which(text: str, readings: Sequence[str], where: str) -> NoReturn:
    *first, last = dict.fromkeys(readings)
    either = f"{', '.join(first)} or {last}" if first else last
    raise BadQuantity(shown(text), f"{either}: which one", where)
