"""Numbers, money and masses as the reader's locale writes them, and numerals taken back only where they are sure.

Patterns and names come from Unicode CLDR through Babel, which is imported on first use: it takes time to load.
"""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from decimal import ROUND_HALF_EVEN, Decimal
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from partway.distances import distance_digits, km_per
from partway.errors import BadQuantity
from partway.quantities import LONGEST_TEXT, MG_PER_KG, kg_per, number_readings, plain_text, shown
from partway.things.currencies import decimals

if TYPE_CHECKING:
    from babel import Locale

FALLBACK = "en"
REMEMBERED = 20_000  # numbers whose text is kept: a page writes hundreds, most of them again and again
VARIABLES = ("PARTWAY_LOCALE", "LC_ALL", "LANG")
NUMERAL = re.compile(r"[0-9][0-9.,]*|[.,][0-9][0-9.,]*")
SPACED = re.compile(r"(?<![0-9.,])([0-9]{1,3})((?:[\s'’][0-9]{3})+)(?![0-9])")  # \s has the no-break spaces, too


def locale_of(environment: Mapping[str, str] | None = None) -> str:
    """The locale to write in, such as "fr_CA": the first known of PARTWAY_LOCALE, LC_ALL and LANG, else "en"."""
    environment = os.environ if environment is None else environment
    for variable in VARIABLES:
        name = environment.get(variable, "").split(".")[0].split("@")[0].replace("-", "_")
        if name and name not in {"C", "POSIX"} and _known(name):
            return name
    return FALLBACK


def number(value: Decimal | int, locale: str, digits: int | None = None) -> str:
    """A number with the locale's marks: so many decimals, halves to the even digit, or all that it has."""
    if digits is None:
        digits = max(0, -_exponent(Decimal(plain_text(Decimal(value)))))
    return _number(_rounded(value, digits), locale, digits)


@lru_cache(maxsize=REMEMBERED)
def _number(rounded: Decimal, locale: str, digits: int) -> str:
    from babel.numbers import format_decimal

    pattern = f"#,##0.{'0' * digits}" if digits else "#,##0"
    return format_decimal(rounded, format=pattern, locale=_locale(locale), decimal_quantization=False)


def money(amount: Decimal | int, currency: str, locale: str) -> str:
    """An amount as the locale writes that currency (ISO 4217), with the currency's own number of decimals."""
    return _money(_rounded(amount, decimals(currency)), currency, locale)


@lru_cache(maxsize=REMEMBERED)
def _money(rounded: Decimal, currency: str, locale: str) -> str:
    from babel.numbers import format_currency

    return format_currency(rounded, currency, locale=_locale(locale))


def rough(amount: Decimal | int, currency: str, locale: str) -> str:
    """An amount for a glance: whole units from ten up, all decimals of the currency below."""
    from babel.numbers import format_currency

    if abs(Decimal(amount)) < 10:
        return money(amount, currency, locale)
    known = _locale(locale)
    pattern = re.sub(r"\.0+", "", known.currency_formats["standard"].pattern)
    return format_currency(_rounded(amount, 0), currency, pattern, locale=known, currency_digits=False)


def price(amount: Decimal, currency: str, unit: str, locale: str) -> str:
    """A price per one `unit`: "£4.10/lb", with one decimal more where it is small and has it: "£0.095/lb"."""
    digits = decimals(currency)
    if abs(amount) < 1 and _rounded(amount, digits) != amount:
        digits += 1
    return f"{_price(str(_rounded(amount, digits)), currency, locale)}/{unit}"


@lru_cache(maxsize=REMEMBERED)
def _price(rounded: str, currency: str, locale: str) -> str:
    """By the text of the amount: 0.10 and 0.100 are shown with as many decimals as they have."""
    from babel.numbers import format_currency

    return format_currency(
        Decimal(rounded), currency, locale=_locale(locale), currency_digits=True, decimal_quantization=False
    )


def mass(mg: int, unit: str, locale: str, digits: int | None = None) -> str:
    """Milligrams in a unit, to three figures or so unless `digits` says how many decimals.

    Units keep the names that partway reads in every language, so that what is shown can be typed again.
    """
    amount = Decimal(mg) / (kg_per(unit) * MG_PER_KG)
    if digits is None:
        digits = 0 if abs(amount) >= 100 else 1 if abs(amount) >= 10 else 2 if abs(amount) >= 1 else 3
        amount = Decimal(plain_text(_rounded(amount, digits)))
        digits = max(0, -_exponent(amount))
    return f"{number(amount, locale, digits)} {unit}"


def distance(km: Decimal, unit: str, locale: str) -> str:
    """Kilometres in a unit, without needless zeros: "14 km", "8.7 mi"; units keep their names, as masses do."""
    amount = km / km_per(unit)
    rounded = Decimal(plain_text(_rounded(amount, distance_digits(amount))))
    return f"{number(rounded, locale)} {unit}"


def count(pieces: int, locale: str) -> str:
    """A number of pieces: "3 pc"."""
    return f"{number(pieces, locale)} pc"


def share(part: Decimal, locale: str, *, signed: bool = False) -> str:
    """A share of one as a percentage with one decimal; `signed` puts a plus before an increase."""
    from babel.numbers import format_percent

    sign = "+" if signed and part > 0 else ""
    return sign + format_percent(_rounded(part, 3), format="#,##0.#%", locale=_locale(locale))


def decimal_comma(locale: str) -> bool:
    """Whether decimals come after a comma in the locale."""
    from babel.numbers import get_decimal_symbol

    return get_decimal_symbol(_locale(locale)) == ","


def with_points(text: str, locale: str, where: str) -> str:
    """A text whose numerals are rewritten the way `partway.quantities` reads them: "4,10 kg" is "4.10 kg" in de_DE.

    Nothing is guessed: a comma means decimals only where the locale says so. Raises BadQuantity naming the readings
    where a numeral has several.
    """
    if len(text) > LONGEST_TEXT:
        raise BadQuantity(shown(text), f"at most {LONGEST_TEXT} characters", where)
    comma = decimal_comma(locale)
    if SPACED.search(text) and not _groups_apart(locale):
        raise BadQuantity(shown(text), "a number with nothing between its thousands", where)
    spaced = SPACED.sub(lambda found: found[1] + re.sub(r"[^0-9]", "", found[2]), text)

    def pointed(found: re.Match[str]) -> str:
        readings = number_readings(found[0], comma=comma)
        if not readings:
            raise BadQuantity(shown(text), "a number with one decimal mark", where)
        if len(readings) > 1:
            choices = " or ".join(f"{reading:f}" for reading in readings)
            raise BadQuantity(shown(text), f"{choices}: which one, written with a point", where)
        return f"{readings[0]:f}"

    return NUMERAL.sub(pointed, spaced)


def _groups_apart(locale: str) -> bool:
    """Whether the locale parts thousands with a space or an apostrophe."""
    from babel.numbers import get_group_symbol

    return get_group_symbol(_locale(locale)) not in {",", "."}


def _rounded(value: Decimal | int, digits: int) -> Decimal:
    rounded = Decimal(value).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_EVEN)
    return abs(rounded) if rounded.is_zero() else rounded  # no "-0"


def _exponent(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return exponent if isinstance(exponent, int) else 0


@cache
def _known(name: str) -> bool:
    from babel import Locale, UnknownLocaleError

    try:
        Locale.parse(name)
    except (ValueError, UnknownLocaleError):
        return False
    return True


@cache
def _locale(name: str) -> Locale:
    """The locale of that name; English where there is none."""
    from babel import Locale

    return Locale.parse(name if _known(name) else FALLBACK)


def length_of_time(minutes: float) -> str:
    """A length of time as every page and command says it: "45 min", "1 h 20", "6 h"."""
    if 0 < minutes < 0.5:
        return "under a minute"
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"
