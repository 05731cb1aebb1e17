"""Units against their definitions and against another library's table.

Sources: NIST Handbook 44, Appendix C, "General Tables of Units of Measurement", section 4 (exact values
are underlined there; re-typed from memory, unverified) and the yard and pound agreement of 1959
(1 lb = 0.45359237 kg, 1 yd = 0.9144 m). Imperial gallon: UK Weights and Measures Act 1985, Schedule 1
(from memory). scipy.constants carries its own table, built from the grain and the inch.
"""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest
from scipy import constants

from partway.quantities import parse_distance, parse_mass, parse_price, parse_volume
from partway.things.units import BY_NAME

PINT: pint.UnitRegistry[float] = pint.UnitRegistry()
SPELT = {"cu ft": "foot ** 3", "cubic foot": "foot ** 3", "cubic feet": "foot ** 3", "ft3": "foot ** 3",
         "m3": "metre ** 3", "cu m": "metre ** 3", "cubic metre": "metre ** 3", "cubic meter": "metre ** 3",
         "us gal": "gallon", "us gallon": "gallon", "imp gal": "imperial_gallon",
         "imperial gal": "imperial_gallon", "kilo": "kilogram", "kilogramme": "kilogram", "gramme": "gram",
         "kilometre": "km", "kilometer": "km", "mi": "mile"}  # fmt: skip

MASSES = [
    # text, kg exactly by definition, scipy.constants
    ("1 lb", "0.45359237", constants.lb),
    ("1 oz", "0.028349523125", constants.oz),
    ("1 short ton", "907.18474", constants.short_ton),
    ("1 long ton", "1016.0469088", constants.long_ton),
    ("1 tonne", "1000", constants.metric_ton),
    ("1 g", "0.001", constants.gram),
]
VOLUMES = [
    # text, litres exactly by definition, m3 in scipy.constants
    ("1 US gal", "3.785411784", constants.gallon_US),
    ("1 imperial gal", "4.54609", constants.gallon_imp),
    ("1 cu ft", "28.316846592", constants.foot**3),
    ("1 m3", "1000", 1.0),
]


@pytest.mark.parametrize(("text", "kg", "elsewhere"), MASSES)
def test_masses(text: str, kg: str, elsewhere: float) -> None:
    assert parse_mass(text, "") == Decimal(kg)
    assert float(parse_mass(text, "")) == pytest.approx(elsewhere, rel=1e-15)


@pytest.mark.parametrize(("dimension", "base"), [("mass", "kilogram"), ("volume", "litre"), ("distance", "km")])
def test_every_name_is_that_of_another_library(dimension: str, base: str) -> None:
    """Pint's own definitions (its default_en.txt), with the few names that it spells otherwise."""
    for name, factor in BY_NAME[dimension].items():
        one = name.removesuffix("s")
        theirs = SPELT.get(one, one.replace(" ", "_"))
        assert float(factor) == pytest.approx(PINT.Quantity(1.0, theirs).to(base).magnitude, rel=1e-12), name


@pytest.mark.parametrize(("text", "litres", "elsewhere"), VOLUMES)
def test_volumes(text: str, litres: str, elsewhere: float) -> None:
    assert parse_volume(text, "") == Decimal(litres)
    assert float(parse_volume(text, "")) / 1000.0 == pytest.approx(elsewhere, rel=1e-15)


def test_a_mile_is_1760_yards() -> None:
    """International: 1760 yd of 0.9144 m; scipy.constants builds it from the inch."""
    assert parse_distance("1 mi", "") == Decimal("1.609344") == 1760 * Decimal("0.9144") / 1000
    assert float(parse_distance("1 mile", "")) * 1000.0 == pytest.approx(constants.mile, rel=1e-15)


def test_a_lot_is_worth_the_same_priced_by_pound_and_by_short_ton() -> None:
    """2000 lb to the short ton, 2240 to the long ton: the same money for the same metal."""
    by_pound = parse_price("0.12 /lb", "USD", "")
    assert parse_price("240 /short ton", "USD", "") == pytest.approx(by_pound, rel=Decimal("1e-26"))
    assert parse_price("268.80 /long ton", "USD", "") == pytest.approx(by_pound, rel=Decimal("1e-26"))
