"""Settings of the workspace, each checked before it is kept."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from zoneinfo import available_timezones

from partway.actions.buyers.buyers import point
from partway.actions.home.driving import cost_read, speed_read, unit_read
from partway.actions.home.results import SettingResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.heard import hearing, litres_heard, or_spoken
from partway.actions.recording.said_amounts import (
    NO_CURRENCY,
    hours_said,
    mass_written,
    number_said,
    price_written,
    wage_said,
)
from partway.catalogue.reading.messages import unknown
from partway.display import locale_of
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.days import SETTING, zone_named
from partway.ledger.events.kinds import Set
from partway.ledger.fold.driving import DISTANCE
from partway.ledger.fold.standing import settings
from partway.ledger.roles import ALL, CORRECTS, NO, OWN, PRICES, YES
from partway.quantities import parse_price, plain_text, shown
from partway.saying.lexicon import LANGUAGE, languages
from partway.spoken import Hearing
from partway.things.currencies import CURRENCIES
from partway.things.limits.opening import clock, clock_text
from partway.things.scenario import END, HOME
from partway.valuing.ends.impact import BURIED

UNITS = ("lb", "kg", "oz", "g")
ROOM = "room"  # no flat share
NONE = "none"  # no price: nothing is estimated from one
AT_HOME = "home"  # a trip ends where it began


Read = Callable[[str, str, Hearing], str]  # what was typed, the setting, what it is heard against


def _number(most: str, least: str = "0", said: Callable[[str, str, Hearing], Decimal] = number_said) -> Read:
    def read(value: str, where: str, hearing: Hearing) -> str:
        expected = f"a number from {least} to {most}"
        try:
            found = Decimal(value.strip())
        except InvalidOperation:
            found = or_spoken(Refused(shown(value), expected, where), lambda: said(value, where, hearing))
        if not found.is_finite() or not Decimal(least) <= found <= Decimal(most):
            raise Refused(shown(value), expected, where)
        return f"{found:f}"

    return read


def _whole(most: int) -> Read:
    def read(value: str, where: str, hearing: Hearing) -> str:
        expected = f"a whole number from 0 to {most}"
        plain = value.strip().isdecimal()
        refusal = Refused(shown(value), expected, where)
        found = Decimal(value) if plain else or_spoken(refusal, lambda: number_said(value, where, hearing))
        if found % 1 or not 0 <= found <= most:
            raise refusal
        return str(int(found))

    return read


def _plain(read: Callable[[str, str], str]) -> Read:
    """A reader that hears no numbers."""
    return lambda value, where, _: read(value, where)


def _one_of(known: Sequence[str], what: str) -> Callable[[str, str], str]:
    return lambda value, where: reading.one_of(value, known, what, where)


def _currency(value: str, where: str) -> str:
    code = value.strip().upper()
    if code not in CURRENCIES:
        raise unknown(Refused, value, "ISO 4217 code of a currency in use, such as CAD", CURRENCIES, where)
    return code


def _volume(value: str, where: str, hearing: Hearing) -> str:
    """As it was typed, since it can be read again; what was said in words in litres."""
    litres = litres_heard(value, hearing, where)
    return value.strip() if any(sign.isdigit() for sign in value) else f"{plain_text(litres)} L"


def _keep_factor(value: str, where: str, hearing: Hearing) -> str:
    """A flat share, or the word that goes back to the price of room."""
    return ROOM if value.strip().lower() == ROOM else _number("1")(value, where, hearing)


def _copper(value: str, where: str, hearing: Hearing) -> str:
    """A price above 0 with its unit, in the currency of the workspace, or the word that takes it back."""
    text = value.strip()
    if text.lower() == NONE:
        return NONE
    if re.match(r"[A-Za-z]{3}\b", text):
        raise Refused(
            shown(value), 'a price without a currency, such as "4.10 /lb": it is in that of the workspace', where
        )
    plain = price_written(text, NO_CURRENCY, where, hearing)
    if parse_price(plain, NO_CURRENCY, where) <= 0:
        raise Refused(shown(value), 'a price above 0, such as "4.10 /lb"', where)
    return plain


def _clock(value: str, where: str) -> str:
    try:
        return clock_text(clock(value))
    except ValueError:
        raise Refused(shown(value), "a time of the day such as 09:00", where) from None


def _home(value: str, where: str) -> str:
    latitude, longitude = point(value, where)
    return f"{latitude:f}, {longitude:f}"


def _end(value: str, where: str) -> str:
    """A name and a point, or the word for home again."""
    if value.strip().lower() == AT_HOME:
        return AT_HOME
    name, *degrees = value.rsplit(",", 2)
    if len(degrees) != 2 or not name.strip():
        expected = 'a name, latitude and longitude, such as "the workshop, 30.70, -40.52", or: home'
        raise Refused(shown(value), expected, where)
    return f"{reading.text(name, where)}, {_home(','.join(degrees), where)}"


def _locale(value: str, where: str) -> str:
    name = value.strip().replace("-", "_")
    if locale_of({"PARTWAY_LOCALE": name}) != name:
        raise Refused(shown(value), "a language and country, such as en_CA", where)
    return name


def _zone(value: str, where: str) -> str:
    """A name of the tz database as it is written there, or a fixed offset."""
    name = {known.lower(): known for known in available_timezones()}.get(value.strip().lower(), value.strip())
    try:
        zone_named(name)
    except ValueError:
        expected = "zone of the tz database, such as America/Halifax or UTC-04:00"
        raise unknown(Refused, value, expected, sorted(available_timezones()), where) from None
    return name


# name: (what it is, how it is read)
SETTINGS: dict[str, tuple[str, Read]] = {
    "currency": ("ISO 4217 code all money is in", _plain(_currency)),
    "unit": (
        "unit of a bare number on the scale: lb, kg, oz, g",
        _plain(_one_of(UNITS, "unit")),
    ),
    DISTANCE: ("unit of a bare distance, and that distances are shown in: km, mi", _plain(unit_read)),
    "division": ("smallest step of your scale, such as 5 g: a gap it explains is not asked about", mass_written),
    "bench": ("most hours at the bench in a plan", _number("8784", said=hours_said)),
    "away": ("most hours away in a plan", _number("8784", said=hours_said)),
    "trips": ("most trips in a plan", _whole(9)),
    "trip": ("most hours of one trip", _number("8784", said=hours_said)),
    "leave": ("when trips leave, such as 09:00; matters for buyers with opening hours", _plain(_clock)),
    "helpers": ("people who lift with you, where `lift` is set", _whole(9)),
    "wage": ("what an hour of yours is worth at least", _number("1000000", said=wage_said)),
    "copper": ('what a yard pays for No. 2 copper, such as "4.10 /lb", or: none; estimates at the curb', _copper),
    "keep_factor": ("flat share of its best price that what is kept counts for, or: room", _keep_factor),
    "storage": ("what your shed holds, such as 5000 L", _volume),
    "inflow": ("mass that comes into the bins each week, such as 60 kg; else as measured", mass_written),
    "payload": ("most mass of one load", mass_written),
    "volume": ("most bulk volume of one load", _volume),
    "cost_per_km": ('fuel and wear per km, or as "0.56 /mi"', cost_read),
    "kmh": ('average speed in km/h, or as "28 mph"', speed_read),
    "whole_above": ("pieces above this mass are loaded whole, as finds are, never cut to fill a load", mass_written),
    "lift": ("most that you lift alone: without a helper nothing heavier is loaded", mass_written),
    BURIED: ("share of what you take that would else have been buried, such as 0.4; for what you spared", _number("1")),
    "road_factor": ("how many times the straight line the road is", _number("10", "1")),
    "home": ('latitude, longitude where trips start, such as "30.65, -40.57"', _plain(_home)),
    END: (
        'where a trip ends if not at home: name, latitude, longitude, such as "the workshop, 30.70, -40.52"; or: home',
        _plain(_end),
    ),
    PRICES: ("whether helpers record prices heard: yes, no", _plain(_one_of((YES, NO), "answer"))),
    CORRECTS: (
        "what helpers take back or put right: own, all; own is what they recorded themselves",
        _plain(_one_of((OWN, ALL), "answer")),
    ),
    "name": ("name of the workspace, on plans", _plain(reading.text)),
    "locale": ("how numbers are written, such as en_CA", _plain(_locale)),
    LANGUAGE: (
        "what you say things in: en, fr, es",
        _plain(_one_of(languages(), "language")),
    ),
    SETTING: (
        "where your days begin, such as America/Halifax; the machine's zone from the first record on",
        _plain(_zone),
    ),
}


@decides()
def set_(book: Book, context: Context, name: str, value: str) -> Recorded[SettingResult]:
    """Change one setting. The currency stays once money has been recorded: amounts do not carry one."""
    wanted = name.strip().lower().replace("-", "_")
    if wanted not in SETTINGS:
        raise unknown(Refused, name, f"setting ({', '.join(SETTINGS)})", SETTINGS, "set")
    changed = set_many(book, context, {wanted: value})
    return Recorded(changed.events, changed.result[0], changed.undo, changed.clock)


@decides()
def set_many(book: Book, context: Context, values: Mapping[str, str]) -> Recorded[tuple[SettingResult, ...]]:
    """Change several settings of SETTINGS, all or none."""
    known, heard = settings(book), hearing(book)
    result = []
    for name, value in values.items():
        read = SETTINGS[name][1](value, name, heard)
        before = known.get(name, "")
        if name == "currency" and before not in ("", read) and _has_money(book):
            raise Refused(f"{read}, while money is recorded in {before}", "a new workspace for another currency", name)
        if name == END and read != AT_HOME and HOME not in known and HOME not in values:
            raise Refused(shown(value), "home first: the way to the end begins there", name)
        result.append(SettingResult(name, read, before))
    return record(book, context, [Set(one.name, one.value) for one in result], tuple(result))


def _has_money(book: Book) -> bool:
    return bool(book.facts("quote:")) or any(not name.startswith("minutes:") for name in book.accounts())
