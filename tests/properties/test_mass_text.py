"""Milligrams written in any unit and read again are the same milligrams."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partway import display
from partway.quantities import kg_per, mg_text, number_readings, parse_mass, to_mg
from partway.things.units import MASS_UNITS

MASSES = st.integers(0, 10**12)  # mg: up to a thousand tonnes
# International pound: the yard and pound agreement of 1959. Tons: NIST Handbook 44, Appendix C.
MG_PER = {
    "lb": Fraction("453592.37"),
    "kg": Fraction(10**6),
    "oz": Fraction("453592.37") / 16,
    "g": Fraction(1000),
    "short ton": 2000 * Fraction("453592.37"),
    "long ton": 2240 * Fraction("453592.37"),
    "tonne": Fraction(10**9),
}


def test_every_unit_is_held_against_its_definition() -> None:
    assert {unit: Fraction(kg_per(unit)) * 10**6 for unit in MASS_UNITS} == MG_PER


@pytest.mark.parametrize("unit", MASS_UNITS)
@given(mg=MASSES)
def test_milligrams_to_text_and_back(unit: str, mg: int) -> None:
    text = mg_text(mg, unit)
    assert to_mg(text, "") == mg
    # The text itself is within half a milligram, in exact fractions.
    assert abs(Fraction(text.removesuffix(f" {unit}")) * MG_PER[unit] - mg) <= Fraction(1, 2)


@pytest.mark.parametrize("unit", MASS_UNITS)
@given(thousandths=st.integers(0, 9 * 10**6))
def test_what_people_write_comes_back_as_they_wrote_it(unit: str, thousandths: int) -> None:
    """Up to three decimals of a unit of at least a gram tell milligrams apart, so they survive as they are."""
    if unit == "g":
        thousandths -= thousandths % 1000  # a thousandth of a gram is the milligram itself
    written = Decimal(thousandths) / 1000
    back = mg_text(to_mg(f"{written:f} {unit}", ""), unit)
    assert parse_mass(back, "") == parse_mass(f"{written:f} {unit}", "")


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_CA", "ja_JP", "de_CH"])
@given(mg=MASSES, unit=st.sampled_from(["lb", "kg", "oz", "g"]), digits=st.integers(1, 5))
def test_what_is_shown_in_any_locale_can_be_typed_again(locale: str, mg: int, unit: str, digits: int) -> None:
    """To the shown digits; where a point with three decimals could be thousands, both readings are named instead."""
    shown = display.mass(mg, unit, locale, digits)
    plain = display.with_points(shown, locale, "")
    error = abs(Fraction(plain.removesuffix(f" {unit}")) - Fraction(mg) / MG_PER[unit])
    assert error <= Fraction(1, 2 * 10**digits)
    assert parse_mass(plain, "") >= 0


@given(st.text(alphabet="0123456789.,' ", max_size=20), st.booleans())
def test_any_numeral_is_read_or_not(numeral: str, comma: bool) -> None:
    readings = number_readings(numeral, comma=comma)
    assert len(readings) <= 2 and all(reading >= 0 for reading in readings)
    if not comma and "," not in numeral and readings:
        assert readings == (Decimal(numeral),)
