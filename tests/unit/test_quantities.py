"""Masses, volumes and prices as people write them: what is read, and what is refused with which words."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partway.errors import BadQuantity
from partway.quantities import (
    format_mass,
    format_money,
    kg_per,
    mg_text,
    number_readings,
    parse_mass,
    parse_price,
    parse_volume,
    shown,
    to_mg,
)

LB = Decimal("0.45359237")
WHERE = "scenario.toml: stock.copper-2"


@pytest.mark.parametrize(
    ("text", "kg"),
    [
        ("450 kg", Decimal(450)),
        ("10 lb", 10 * LB),
        ("10lb", 10 * LB),
        ("10 LB", 10 * LB),
        ("10 lbs", 10 * LB),
        (" 10  lb. ", 10 * LB),
        ("10 pounds", 10 * LB),
        ("16 oz", LB),
        ("300 g", Decimal("0.3")),
        ("250 mg", Decimal("0.00025")),
        ("2 short ton", 4000 * LB),
        ("2 short  tons", 4000 * LB),
        ("1 long ton", 2240 * LB),
        ("1 tonne", Decimal(1000)),
        ("1.5 metric tons", Decimal(1500)),
        ("0 kg", Decimal(0)),
        (".5 kg", Decimal("0.5")),
        ("1e3 kg", Decimal(1000)),
    ],
)
def test_masses_are_read_exactly(text: str, kg: Decimal) -> None:
    assert parse_mass(text, WHERE) == kg


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3 ton", '"short ton", "long ton" or "tonne"'),
        ("3 tons", '"short ton", "long ton" or "tonne"'),
        ("3 T", '"short ton", "long ton" or "tonne"'),
        ("5 Mg", '"tonne" for 1000 kg'),
        ("-1 kg", "a mass of at least 0"),
        ("1,000 lb", "a point before the decimals and nothing between thousands"),
        ("4,5 kg", "a point before the decimals"),
        ("10000001 kg", "a mass of at most 10,000,000 kg"),
        ("1e400 kg", "a number between 1e-15 and 1e15"),
        ("1e-400 kg", "a number between 1e-15 and 1e15"),
        ("nan kg", "a number and a unit of mass"),
        ("inf kg", "a number and a unit of mass"),
        ("-inf kg", "a number and a unit of mass"),
        ("10", "a number and a unit of mass"),
        ("kg", "a number and a unit of mass"),
        ("10 20 kg", "a number and a unit of mass"),
        ("10 kg*lb", "a number and a unit of mass"),
        ("10 kg lb", "a unit of mass: kg, g, mg, lb, oz"),
        ("10 stone", "a unit of mass: kg, g, mg, lb, oz"),
        ("10 L", "a unit of mass: kg, g, mg, lb, oz"),
        ("10 metre", "a unit of mass: kg, g, mg, lb, oz"),
        ("", "a mass with its unit in quotes"),
        ("1" * 70 + " kg", "a mass with its unit in quotes"),
        (10, "a mass with its unit in quotes"),
        (10.0, "a mass with its unit in quotes"),
        (float("nan"), "a mass with its unit in quotes"),
        (True, "a mass with its unit in quotes"),
        (None, "a mass with its unit in quotes"),
        (["10 kg"], "a mass with its unit in quotes"),
        ({"kg": 10}, "a mass with its unit in quotes"),
    ],
)
def test_what_is_no_mass_is_refused_with_given_expected_and_where(text: object, expected: str) -> None:
    with pytest.raises(BadQuantity) as refused:
        parse_mass(text, WHERE)
    message = str(refused.value)
    assert message.startswith(f"{WHERE}: got {shown(text)}; expected ")
    assert expected in refused.value.expected
    assert "\n" not in message
    assert refused.value.exit_status == 2


def test_zero_is_refused_where_asked() -> None:
    assert parse_mass("0 lb", WHERE) == 0
    with pytest.raises(BadQuantity, match="expected a mass above 0"):
        parse_mass("0 lb", WHERE, positive=True)
    with pytest.raises(BadQuantity, match="expected a volume above 0"):
        parse_volume("0 L", WHERE, positive=True)


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("1800 L", Decimal(1800)),
        ("1800 l", Decimal(1800)),
        ("2 litres", Decimal(2)),
        ("1.2 m3", Decimal(1200)),
        ("1.2 m³", Decimal(1200)),
        ("500 mL", Decimal("0.5")),
        ("50 cu ft", 50 * Decimal("28.316846592")),
        ("50 cubic feet", 50 * Decimal("28.316846592")),
        ("1 US gal", Decimal("3.785411784")),
        ("1 imperial gallon", Decimal("4.54609")),
    ],
)
def test_volumes_are_read_exactly(text: str, litres: Decimal) -> None:
    assert parse_volume(text, WHERE) == litres


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("60 gal", '"US gal" or "imperial gal"'),
        ("60 gallons", '"US gal" or "imperial gal"'),
        ("60 kg", "a unit of volume: L, mL, m3, cu ft, US gal or imperial gal"),
        ("-1 L", "a volume of at least 0"),
        ("1e9 L", "a volume of at most 10,000,000 L"),
        (1800, "a volume with its unit in quotes"),
    ],
)
def test_what_is_no_volume_is_refused(text: object, expected: str) -> None:
    with pytest.raises(BadQuantity) as refused:
        parse_volume(text, WHERE)
    assert expected in refused.value.expected


@pytest.mark.parametrize(
    ("text", "per_kg"),
    [
        ("4.10 /lb", Decimal("4.10") / LB),
        ("4.10/lb", Decimal("4.10") / LB),
        ("4.10/lb.", Decimal("4.10") / LB),
        ("4.10 per lb", Decimal("4.10") / LB),
        ("38 ¢/lb", Decimal("0.38") / LB),
        ("38c/lb", Decimal("0.38") / LB),
        ("38 cents/lb", Decimal("0.38") / LB),
        ("38p/lb", Decimal("0.38") / LB),
        ("GBP 4.10 /kg", Decimal("4.10")),
        ("4.10 GBP/kg", Decimal("4.10")),
        ("120 /short ton", Decimal(120) / (2000 * LB)),
        ("120 /long ton", Decimal(120) / (2240 * LB)),
        ("120 /tonne", Decimal("0.12")),
        ("-5 /tonne", Decimal("-0.005")),
        ("\N{MINUS SIGN}5 /tonne", Decimal("-0.005")),
        ("0 /kg", Decimal(0)),
    ],
)
def test_prices_become_money_per_kg(text: str, per_kg: Decimal) -> None:
    assert parse_price(text, "GBP", WHERE) == pytest.approx(per_kg, rel=Decimal("1e-26"))


@pytest.mark.parametrize(
    ("text", "currency", "expected"),
    [
        ("4,10 /lb", "GBP", "a point before the decimals and nothing between thousands: 4.10, 1000"),
        ("$4.10 /lb", "USD", "no currency sign"),
        ("£4.10 /lb", "GBP", "no currency sign"),
        ("USD 4.10 /lb", "GBP", "a price in GBP, the scenario's currency"),
        ("4.10 USD /lb", "GBP", "a price in GBP, the scenario's currency"),
        ("38 p/lb", "CAD", "a price in CAD, the scenario's currency"),
        ("38 ¢/kg", "JPY", "JPY, which has no hundredths"),
        ("120 /ton", "GBP", '"short ton", "long ton" or "tonne"'),
        ("4.10 /L", "GBP", "a unit of mass"),
        ("4.10", "GBP", "a price for a unit of mass"),
        ("4.10 lb", "GBP", "a price for a unit of mass"),
        ("/lb", "GBP", "a number, a slash and a unit of mass"),
        ("4.10 /", "GBP", "a unit of mass"),
        ("4.10 /lb/kg", "GBP", "a unit of mass"),
        ("nan /lb", "GBP", "a number, a slash and a unit of mass"),
        ("inf /lb", "GBP", "a number, a slash and a unit of mass"),
        ("1000001 /kg", "GBP", "a price of at most 1,000,000 per kg"),
        ("-1e9 /kg", "GBP", "a price of at most 1,000,000 per kg"),
        (4.10, "GBP", "a price with its unit in quotes"),
        (True, "GBP", "a price with its unit in quotes"),
    ],
)
def test_what_is_no_price_is_refused(text: object, currency: str, expected: str) -> None:
    with pytest.raises(BadQuantity) as refused:
        parse_price(text, currency, "buyer[harbour].price")
    assert expected in refused.value.expected
    assert refused.value.where == "buyer[harbour].price"


@given(st.text(max_size=30) | st.from_regex(r"[-+0-9.,eE]{1,8} ?[/¢a-zA-Z ]{0,12}", fullmatch=True))
def test_any_text_is_read_as_finite_or_refused(text: str) -> None:
    for read in (parse_mass, parse_volume, lambda t, w: parse_price(t, "GBP", w)):
        try:
            assert read(text, WHERE).is_finite()
        except BadQuantity as refused:
            assert str(refused).isprintable()


@given(st.decimals(min_value=0, max_value=1000, places=3), st.sampled_from(["lb", "oz", "g", "short ton"]))
def test_a_mass_is_its_number_times_its_unit(number: Decimal, unit: str) -> None:
    assert parse_mass(f"{number} {unit}", WHERE) == number * kg_per(unit)


@pytest.mark.parametrize(
    ("kg", "text"),
    [
        (0.35, "350 g"),
        (0.9996, "1.0 kg"),
        (1.25, "1.2 kg"),
        (99.96, "100 kg"),
        (450.4, "450 kg"),
        (-1e-9, "0 g"),
    ],
)
def test_masses_for_people(kg: float, text: str) -> None:
    assert format_mass(kg) == text


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        (12.3, "GBP", "GBP 12.30"),
        (-0.5, "GBP", "GBP -0.50"),
        (-0.001, "GBP", "GBP 0.00"),
        (1200.4, "JPY", "JPY 1200"),
    ],
)
def test_money_for_people(amount: float, currency: str, text: str) -> None:
    assert format_money(amount, currency) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (True, "true"),
        (None, "nothing"),
        pytest.param(10**5000, "a number of more than 60 digits", id="5001 digits"),
        ("\x1b[31mred", '"?[31mred"'),
        ([1, 2, 3, 4, 5], "[1, 2, 3, 4, ...]"),
        ({"a": 1}, "a table"),
    ],
)
def test_what_was_given_is_shown_on_one_safe_line(value: object, text: str) -> None:
    assert shown(value) == text


@pytest.mark.parametrize(
    ("text", "mg"),
    [
        ("1 kg", 1_000_000),
        ("1 g", 1_000),
        ("1 lb", 453_592),  # 453,592.37 mg
        ("10 lb", 4_535_924),  # 4,535,923.7 mg
        ("50 lb", 22_679_618),  # 22,679,618.5 mg: halves go to the even milligram
        ("150 lb", 68_038_856),  # 68,038,855.5 mg
        ("1 oz", 28_350),  # 28,349.523125 mg
        ("1 short ton", 907_184_740),
        ("1 long ton", 1_016_046_909),  # 1,016,046,908.8 mg
        ("1 tonne", 1_000_000_000),
        ("0 kg", 0),
    ],
)
def test_masses_in_whole_milligrams_halves_to_even(text: str, mg: int) -> None:
    """1 lb = 453.59237 g exactly: the yard and pound agreement of 1959; the tons: NIST Handbook 44, Appendix C."""
    assert to_mg(text, WHERE) == mg
    assert to_mg(parse_mass(text, WHERE), WHERE) == mg


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3 ton", '"short ton", "long ton" or "tonne"'),
        ("3 t", '"short ton", "long ton" or "tonne"'),
        ("10", "a number and a unit of mass"),
        ("4,5 kg", "a point before the decimals"),
    ],
)
def test_what_is_no_mass_is_no_milligrams(text: str, expected: str) -> None:
    with pytest.raises(BadQuantity) as refused:
        to_mg(text, WHERE)
    assert expected in refused.value.expected


@pytest.mark.parametrize("kg", [Decimal("nan"), Decimal("inf"), Decimal("1e8"), Decimal("-1e8")])
def test_no_milligrams_beyond_all_measure(kg: Decimal) -> None:
    with pytest.raises(BadQuantity):
        to_mg(kg, WHERE)


@pytest.mark.parametrize(
    ("mg", "unit", "text"),
    [
        (22_679_618, "lb", "50 lb"),
        (45_359_237, "lb", "100 lb"),
        (22_679_619, "lb", "50.000001 lb"),
        (1_234_567, "kg", "1.234567 kg"),
        (500_000, "kg", "0.5 kg"),
        (28_350, "oz", "1 oz"),
        (907_184_740, "short ton", "1 short ton"),
        (-500_000, "kg", "-0.5 kg"),
        (0, "lb", "0 lb"),
    ],
)
def test_milligrams_are_written_with_no_more_decimals_than_they_need(mg: int, unit: str, text: str) -> None:
    assert mg_text(mg, unit) == text


@pytest.mark.parametrize(
    ("numeral", "by_point", "by_comma"),
    [
        ("410", ["410"], ["410"]),
        ("4.10", ["4.10"], ["4.10"]),
        (".38", ["0.38"], ["0.38"]),
        ("4.", ["4"], ["4"]),
        ("4,10", ["4.10", "410"], ["4.10"]),
        ("0,250", ["0.250", "250"], ["0.250"]),
        ("1,250", ["1250"], ["1.250"]),
        ("1.250", ["1.250"], ["1250", "1.250"]),
        ("0.250", ["0.250"], ["0.250"]),
        ("1,250.50", ["1250.50"], ["1250.50"]),
        ("1.250,50", ["1250.50"], ["1250.50"]),
        ("1,250,000", ["1250000"], ["1250000"]),
        ("1,2,3", [], []),
        ("4.10,38", [], []),
        ("1.2.3", [], []),
        ("", [], []),
        (",", [], []),
        ("4a", [], []),
    ],
)
def test_what_a_numeral_may_mean(numeral: str, by_point: list[str], by_comma: list[str]) -> None:
    assert number_readings(numeral, comma=False) == tuple(Decimal(one) for one in by_point)
    assert number_readings(numeral, comma=True) == tuple(Decimal(one) for one in by_comma)
