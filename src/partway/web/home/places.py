"""Where somebody scraps, as their own browser says it: currency, what scales there show, and how roads are measured.

The browser sends the languages it was set to, some with a country (Accept-Language, RFC 9110, section 12.5.4). It is
shown and asked about, never taken in silence.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

POUNDS = frozenset({"US", "CA"})  # where yards price by the pound (common practice, no source)
# Where roads are measured in miles: Unicode CLDR, unitPreferences of length for "road", as the example of UTS #35,
# Part 6, Unit Preferences has them: US and GB; kilometres in the rest of the world.
MILES = frozenset({"US", "GB"})
TAG = re.compile(r"([A-Za-z]{2,3})-(?:[A-Za-z]{4}-)?([A-Za-z]{2})")
MASSES = {"lb": "pounds", "kg": "kilograms"}
WAYS = {"km": "kilometres", "mi": "miles"}
USUAL = ("US", "CA", "DE")  # offered where the browser names no country


@dataclass(frozen=True, slots=True)
class MyPlace:
    """One place to choose: a locale such as en_CA, an ISO 4217 currency and its name, lb or kg, and km or mi."""

    locale: str
    currency: str
    money: str
    unit: str
    distance: str

    @property
    def value(self) -> str:
        """All of it together, as a button sends them."""
        return f"{self.locale}|{self.currency}|{self.unit}|{self.distance}"

    @property
    def said(self) -> str:
        """In words: "Canadian dollars, pounds, kilometres"."""
        mass, way = MASSES[self.unit], WAYS[self.distance]
        return f"{self.money}, {mass}, {way}"


def my_places(header: str) -> tuple[MyPlace, ...]:
    """The place that a browser names first with its other unit, or the usual ones where it names none."""
    named = TAG.search(header)
    first = place_of(named[1].lower(), named[2].upper()) if named else None
    if first is None:
        return tuple(place for country in USUAL if (place := place_of("en", country)) is not None)
    other = replace(first, unit="kg" if first.unit == "lb" else "lb")
    return first, other


def place_of(language: str, country: str) -> MyPlace | None:
    """A language and country as a place; None where no such country or no currency of it is known."""
    from babel import Locale, UnknownLocaleError
    from babel.numbers import get_currency_name, get_territory_currencies

    money = get_territory_currencies(country)
    if not money:
        return None
    try:
        locale = str(Locale.parse(f"{language}_{country}"))
    except (UnknownLocaleError, ValueError):
        locale = f"en_{country}"
    unit, distance = "lb" if country in POUNDS else "kg", "mi" if country in MILES else "km"
    return MyPlace(locale, money[0], get_currency_name(money[0], count=2, locale="en"), unit, distance)
