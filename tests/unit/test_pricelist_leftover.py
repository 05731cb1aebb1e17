"""What is left over of a list is asked about: words beside a price, a unit over it, a price against the rest of it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, answer, read_price_list

GRADES = shipped().grades


def read(text: str, currency: str = "CAD", unit: str = "lb") -> list[PriceLine]:
    return read_price_list(text, GRADES, currency, unit, {})


def said(text: str, currency: str = "CAD", unit: str = "lb") -> list[tuple[str | None, str, str]]:
    lines = [line for line in read(text, currency, unit) if line.status == "understood"]
    return [(line.grade, "no" if line.refuses else str(line.price), line.unit) for line in lines]


@pytest.mark.parametrize("word", ["zorble", "quuxed"])
@pytest.mark.parametrize("rest", ["- minimum 50 lb", "per bundle of 12 lb"])
def test_words_with_a_figure_beside_a_price_are_never_dropped(word: str, rest: str) -> None:
    assert any(line.question for line in read(f"motors .38, {word} {rest}"))


def test_a_unit_over_a_list_that_is_no_heading_is_asked_about_once() -> None:
    lines = read("All wibbly by zorble kg\nno 2 copper 9.10\nmotors .80")
    asked = [line for line in lines if line.question]
    assert [line.asks for line in asked] == ["unit"]
    kg = answer(lines, asked[0].position, "kg")
    assert [(line.price, line.unit) for line in kg if line.price] == [(Decimal("9.10"), "kg"), (Decimal("0.80"), "kg")]


def test_two_units_in_one_heading_or_behind_one_price_are_asked_about() -> None:
    assert any(line.question for line in read("Prices per tonne (per lb)\nno 2 copper 4.10"))
    assert any(line.question for line in read("car batteries 26 cents /kg a pound"))


@pytest.mark.parametrize("text", ["cast iron 230, shred 0.08, motors .30, lead .55", "cast iron 230"])
def test_a_price_beyond_all_measure_is_asked_about(text: str) -> None:
    assert read(text)[0].question


def test_a_correction_takes_the_place_of_what_was_said() -> None:
    assert said("motors 32c\nsorry motors 31c") == [("motors", "0.31", "lb")]
    assert said("red brass 2.95\nedit: red brass is 2.90 not 2.95") == [("brass-red", "2.90", "lb")]


@pytest.mark.parametrize(("over", "unit"), [("P / KG TODAY", "kg"), ("board says (c/kg):", "kg")])
def test_hundredths_of_a_unit_over_a_list(over: str, unit: str) -> None:
    assert said(f"{over}\nbright copper 670\nlead 128", "GBP" if over[0] == "P" else "AUD") == [
        ("copper-bare-bright", "6.70", unit), ("lead-soft", "1.28", unit),
    ]  # fmt: skip


def test_who_speaks_is_no_part_of_a_name_and_the_number_of_a_row_is_no_price() -> None:
    thread = "Me: motors?\nYard: 32c. sealed units 18c\nMe: lead\nYard: .55"
    assert said(thread)[-2:] == [("sealed-unit", "0.18", "lb"), ("lead-soft", "0.55", "lb")]


def test_a_refusal_in_a_stream_is_of_what_comes_behind_it() -> None:
    assert ("lead-soft", "no", "lb") not in said("lead we don't do magnesium")
    assert ("magnesium", "no", "lb") in said("lead we don't do magnesium")


def test_of_a_table_with_days_down_the_latest_row_counts() -> None:
    table = "ridge\tBright\tLead\tMotors\nNov 2\t4.28\t.55\t.30\nNov 9\t4.35\t.56\t.31"
    assert said(table) == [("copper-bare-bright", "4.35", "lb"), ("lead-soft", "0.56", "lb"), ("motors", "0.31", "lb")]


@pytest.mark.parametrize("row", ["bright 4.35 no 1 copper 4.20 no 2 copper", "copper 4.10#1 3.90#2"])
def test_a_name_without_a_price_at_the_end_leaves_open_whose_the_prices_are(row: str) -> None:
    """The prices of such a row may stand before their names; where a comma parts them they do not."""
    lines = read(row)
    assert not any(line.status == "understood" for line in lines)
    at = next(n for n, line in enumerate(lines, 1) if "behind it" in line.question)
    said = answer(lines, at, "4.20")
    assert (said[at - 1].status, said[at - 1].price) == ("understood", Decimal("4.20")), "an answer stays"
    assert read("no 1 copper 4.20, motors")[0].status == "understood"
