"""Manners of price lists: tables with old columns, text read from photographs, sentences, tiers, one price for several.

How yards put such things: common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, answer, read_price_list

GRADES = shipped().grades


def read(text: str, unit: str = "lb", currency: str = "CAD") -> list[PriceLine]:
    return read_price_list(text, GRADES, currency, unit, {})


def said(text: str, unit: str = "lb", currency: str = "CAD") -> list[tuple[str | None, str, str]]:
    """Grade, price and unit of each line that says one; every one of them is understood."""
    lines = [line for line in read(text, unit, currency) if line.status != "remark"]
    assert all(line.status == "understood" for line in lines), [line.question for line in lines]
    return [(line.grade, "no" if line.refuses else str(line.price), line.unit) for line in lines]


@pytest.mark.parametrize("table", [
    "Item | Last week | This week | Chg\nNo 2 copper | 4.10 | 4.20 | +.10\nLead | .70 | .72 | +.02",
    "Item\tNow\tWas\nNo 2 copper\t4.20\t4.10\nLead\t.72\t.70",
])  # fmt: skip
def test_of_a_table_only_the_column_of_today_counts(table: str) -> None:
    assert said(table) == [("copper-2", "4.20", "lb"), ("lead-soft", "0.72", "lb")]


def test_columns_without_a_heading_are_asked_about() -> None:
    assert any(line.question for line in read("No 2 copper | 4.10 | 4.20"))


@pytest.mark.parametrize(("text", "price"), [
    ("| Yel1ow 8rass ....... 2.5O", "2.50"), ("Yellow Brass | $2.S5", "2.55"), ("Ye1low brass 2.l5 .", "2.15"),
    ("yellow brass was 2.40, now 2.50", "2.50"), ("yellow brass 2.50 (was 2.40)", "2.50"),
    ("yellow brass up a nickel from last week, 2.55", "2.55"), ("yellow brass down to 2.30", "2.30"),
    ("yellow brass 2.50 (+.05)", "2.50"), ("yellow brass has dropped a dime to two forty", "2.4"),
])  # fmt: skip
def test_one_price_however_it_is_put(text: str, price: str) -> None:
    assert [line[:2] for line in said(text)] == [("brass-yellow", price)]


@pytest.mark.parametrize("text", [
    "yellow brass ?.50", "yellow brass 2.?0", "yellow brass 2.4x", "ten cents more for yellow brass",
])  # fmt: skip
def test_a_figure_nobody_could_read_is_no_price(text: str) -> None:
    assert [line.status for line in read(text)] != ["understood"]
    assert not any(line.status == "understood" for line in read(text))


def test_what_is_numbered_and_what_is_mistaken_for_letters_stay_apart() -> None:
    assert [line[0] for line in said("hms1 9c, cat5 wire 1.05, 1copper 4.40")] == [
        "heavy-melt-1",
        "wire-data",
        "copper-1",
    ]


def test_a_heading_says_what_follows_is_per_until_the_next_or_another_metal() -> None:
    text = "STEEL per tonne\nlight iron 190\ncast 240\nCOPPER per lb\n#1 4.40"
    assert said(text) == [
        ("light-iron", "190", "tonne"), ("cast-iron", "240", "tonne"), ("copper-1", "4.40", "lb"),
    ]  # fmt: skip
    assert said("STEEL per tonne\nlight iron 190\nsoft lead .70")[1] == ("lead-soft", "0.70", "lb")


def test_one_price_behind_several_names() -> None:
    assert [line[:2] for line in said("motors, alternators, starters: .35")] == [
        ("motors", "0.35"), ("alternator", "0.35"), ("starters", "0.35"),
    ]  # fmt: skip
    assert [line[0] for line in said("cans, sheet, cast alum - 55 cents")] == ["al-cans", "al-sheet", "al-cast"]
    assert [line[0] for line in said("hard drives, with or without boards: .85")] == ["hard-drive"]
    assert read("motors, alternators .35")[0].question  # the price of the first may have been lost


@pytest.mark.parametrize(("text", "edges"), [
    ("lead .70 under 100 lb, .74 over", [0, 100]), ("lead .70 up to 100 lb then .74", [0, 100]),
    ("lead 0-100 lb .70, 100-500 lb .74, 500+ .76", [0, 100, 500]),
])  # fmt: skip
def test_tiers_by_their_upper_edge(text: str, edges: list[int]) -> None:
    lines = read(text)
    assert [line.status for line in lines] == ["understood"] * len(edges)
    assert [round(line.from_mg / 453592.37) for line in lines] == edges


def test_a_bare_ton_and_names_of_no_grade_are_asked_once_for_the_list() -> None:
    tons = read("light iron 180 a ton, heavy melt no 1 220 a ton")
    assert [bool(line.question) for line in tons] == [True, False]
    assert {line.unit for line in answer(tons, 1, "tonne")} == {"tonne"}
    unknown = read("wibble 1.20, wobbler 2.30, lead .70")
    assert sum(bool(line.question) for line in unknown) == 1
    left = answer(unknown, 1, "leave all out")
    assert [line.passed_over for line in left] == ["left out", "left out", ""] and left[2].price == Decimal("0.70")


def test_per_kilogram_written_with_a_p_is_no_pence() -> None:
    assert said("lead 1.30 p/kg", "kg", "GBP") == [("lead-soft", "1.30", "kg")]
    assert said("lead 85p/kg", "kg", "GBP")[0][1] == "0.85"


def test_a_sentence_ends_at_its_full_stop() -> None:
    assert said("We take no crts. Soft lead .70. Alum. cans .55.") == [
        ("tube-whole", "no", "lb"), ("lead-soft", "0.70", "lb"), ("al-cans", "0.55", "lb"),
    ]  # fmt: skip


def test_a_table_parted_by_commas_is_one() -> None:
    text = "PRODUCT,UNIT,PRICE\nBare bright,LB,4.60\nLight iron,NT,165.00"
    assert said(text) == [("copper-bare-bright", "4.60", "lb"), ("light-iron", "165.00", "short ton")]


def test_a_day_is_no_pound_that_was_read_wrongly() -> None:
    """One and b after a stroke are a pound sign read wrongly; one and six are a day."""
    lines = read("EFF. 11/16\nNo 2 copper 4.10 /1b")
    assert [(line.grade, str(line.price), line.unit) for line in lines if line.grade] == [("copper-2", "4.10", "lb")]
    assert not any(line.question for line in lines)
