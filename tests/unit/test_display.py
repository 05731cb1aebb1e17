"""Numbers, money and masses as locales write them, and numerals taken back.

The patterns expected here are those of Unicode CLDR for these locales (from memory); amounts are invented.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway import display
from partway.errors import BadQuantity
from partway.quantities import parse_mass

NBSP = "\N{NO-BREAK SPACE}"


def spaces(text: str) -> str:
    """No-break and thin spaces as plain ones: CLDR has changed its mind about which stands between thousands."""
    return text.replace(NBSP, " ").replace("\N{NARROW NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("locale", "text"),
    [
        ("en_GB", "1,234,567.891"),
        ("de_DE", "1.234.567,891"),
        ("fr_CA", "1 234 567,891"),
        ("ja_JP", "1,234,567.891"),
        ("de_CH", "1’234’567.891"),
    ],
)
def test_numbers(locale: str, text: str) -> None:
    assert spaces(display.number(Decimal("1234567.891"), locale)) == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        ("2.5", 0, "2"),
        ("3.5", 0, "4"),
        ("0.125", 2, "0.12"),
        ("0.375", 2, "0.38"),
        ("-0.001", 2, "0.00"),
        ("12", 2, "12.00"),
        ("1200", None, "1,200"),
        ("1E+3", None, "1,000"),
        ("0.50", None, "0.5"),
    ],
)
def test_numbers_are_rounded_halves_to_even(value: str, digits: int | None, text: str) -> None:
    assert display.number(Decimal(value), "en_GB", digits) == text


@pytest.mark.parametrize(
    ("currency", "locale", "text"),
    [
        ("GBP", "en_GB", "£1,234.50"),
        ("EUR", "de_DE", "1.234,50 €"),
        ("CAD", "fr_CA", "1 234,50 $"),
        ("JPY", "ja_JP", "￥1,234"),  # no decimals: ISO 4217; half a yen goes to the even one
        ("KWD", "en_GB", "KWD 1,234.500"),  # three decimals: ISO 4217
        ("CAD", "en_GB", "CA$1,234.50"),
    ],
)
def test_money(currency: str, locale: str, text: str) -> None:
    assert spaces(display.money(Decimal("1234.5"), currency, locale)).replace("KWD1", "KWD 1") == text


def test_money_below_zero_keeps_its_sign() -> None:
    assert display.money(Decimal("-4.10"), "GBP", "en_GB") == "-£4.10"
    assert spaces(display.money(Decimal("-4.10"), "EUR", "de_DE")) == "-4,10 €"
    assert display.money(Decimal("-0.001"), "GBP", "en_GB") == "£0.00"


@pytest.mark.parametrize(
    ("amount", "currency", "unit", "locale", "text"),
    [
        ("4.10", "GBP", "lb", "en_GB", "£4.10/lb"),
        ("0.095", "GBP", "lb", "en_GB", "£0.095/lb"),
        ("0.0954", "GBP", "lb", "en_GB", "£0.095/lb"),
        ("0.10", "GBP", "lb", "en_GB", "£0.10/lb"),
        ("4.105", "GBP", "lb", "en_GB", "£4.10/lb"),
        ("180", "EUR", "tonne", "de_DE", "180,00 €/tonne"),
        ("1200", "JPY", "kg", "ja_JP", "￥1,200/kg"),
        ("-0.05", "CAD", "lb", "fr_CA", "-0,05 $/lb"),
    ],
)
def test_prices(amount: str, currency: str, unit: str, locale: str, text: str) -> None:
    assert spaces(display.price(Decimal(amount), currency, unit, locale)) == text


@pytest.mark.parametrize(
    ("mg", "unit", "locale", "text"),
    [
        (22_679_618, "lb", "en_GB", "50 lb"),
        (5_600_000, "kg", "en_GB", "5.6 kg"),
        (5_600_000, "kg", "de_DE", "5,6 kg"),
        (5_600_000, "lb", "ja_JP", "12.3 lb"),
        (1_234_567_890, "kg", "fr_CA", "1 235 kg"),
        (350_000, "g", "en_GB", "350 g"),
        (1_500_000_000, "tonne", "de_DE", "1,5 tonne"),
        (907_184_740, "short ton", "en_GB", "1 short ton"),
        (500, "kg", "en_GB", "0 kg"),
    ],
)
def test_masses(mg: int, unit: str, locale: str, text: str) -> None:
    assert spaces(display.mass(mg, unit, locale)) == text


def test_masses_with_given_decimals() -> None:
    assert display.mass(5_600_000, "kg", "en_GB", 3) == "5.600 kg"
    with pytest.raises(BadQuantity, match='"short ton", "long ton" or "tonne"'):
        display.mass(5_600_000, "ton", "en_GB")


def test_counts_and_shares() -> None:
    assert display.count(1200, "en_GB") == "1,200 pc"
    assert display.share(Decimal("0.0512"), "en_GB", signed=True) == "+5.1%"
    assert display.share(Decimal("-0.05"), "en_GB", signed=True) == "-5%"
    assert spaces(display.share(Decimal("0.0512"), "de_DE")) in {"5,1 %", "5,1%"}


@pytest.mark.parametrize(
    ("environment", "locale"),
    [
        ({}, "en"),
        ({"LANG": "de_DE.UTF-8"}, "de_DE"),
        ({"LANG": "de_DE@euro"}, "de_DE"),
        ({"LANG": "C.UTF-8"}, "en"),
        ({"LANG": "POSIX"}, "en"),
        ({"LANG": ""}, "en"),
        ({"LANG": "xx_YY"}, "en"),
        ({"LANG": "../../x"}, "en"),
        ({"LANG": "de_DE", "LC_ALL": "fr_CA.UTF-8"}, "fr_CA"),
        ({"LANG": "de_DE.UTF-8", "PARTWAY_LOCALE": "ja-JP"}, "ja_JP"),
        ({"LANG": "de_DE.UTF-8", "PARTWAY_LOCALE": "nonsense"}, "de_DE"),
    ],
)
def test_the_locale_comes_from_the_environment(environment: dict[str, str], locale: str) -> None:
    assert display.locale_of(environment) == locale


def test_an_unknown_locale_is_written_as_english() -> None:
    assert display.number(Decimal("1234.5"), "xx_YY") == "1,234.5"


@pytest.mark.parametrize(
    ("text", "locale", "plain"),
    [
        ("4.10 kg", "en_GB", "4.10 kg"),
        ("4,10 kg", "de_DE", "4.10 kg"),
        ("4.10 kg", "de_DE", "4.10 kg"),
        ("1,250 lb", "en_GB", "1250 lb"),
        ("1,250 lb", "de_DE", "1.250 lb"),
        ("1.250,5 kg", "de_DE", "1250.5 kg"),
        ("1,250.5 kg", "en_GB", "1250.5 kg"),
        (f"1{NBSP}250,5 kg", "fr_CA", "1250.5 kg"),
        ("1’250.5 kg", "de_CH", "1250.5 kg"),
        (",5 kg", "fr_CA", "0.5 kg"),
        ("no number", "en_GB", "no number"),
    ],
)
def test_numerals_are_taken_back_as_the_locale_writes_them(text: str, locale: str, plain: str) -> None:
    assert display.with_points(text, locale, "field") == plain


@pytest.mark.parametrize(
    ("text", "locale", "expected"),
    [
        ("4,10 kg", "en_GB", "4.10 or 410"),
        ("4,10 kg", "ja_JP", "4.10 or 410"),
        ("1.250 kg", "de_DE", "1250 or 1.250"),
        ("1.250 kg", "fr_CA", "1250 or 1.250"),
        ("1,2,3 kg", "en_GB", "one decimal mark"),
        ("1 250 kg", "en_GB", "nothing between its thousands"),
        ("1" * 70, "en_GB", "at most 60 characters"),
    ],
)
def test_a_numeral_with_several_readings_is_asked_never_guessed(text: str, locale: str, expected: str) -> None:
    with pytest.raises(BadQuantity) as refused:
        display.with_points(text, locale, "field")
    assert expected in refused.value.expected and refused.value.where == "field"


def test_what_was_taken_back_is_a_mass() -> None:
    assert parse_mass(display.with_points("1.250,5 kg", "de_DE", ""), "") == Decimal("1250.5")
    assert display.decimal_comma("fr_CA") and not display.decimal_comma("ja_JP")
