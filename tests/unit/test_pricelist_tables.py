"""Price lists as tables: side by side, a column for each lot, several columns of prices, notes, headings.

How yards put such things: common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, all_understood, answer, read_price_list
from partway.pricelist.tables.price_columns import tiers_in_words
from partway.pricelist.tables.side_by_side import one_below_the_other
from partway.quantities import to_mg

GRADES = shipped().grades


def read(text: str, unit: str = "lb", currency: str = "USD") -> list[PriceLine]:
    return read_price_list(text, GRADES, currency, unit, {})


def said(lines: list[PriceLine]) -> list[tuple[str | None, str, str]]:
    """Grade, price and unit of each line that says one; every one of them is understood."""
    found = [line for line in lines if line.status != "remark"]
    assert all_understood(lines), [line.question for line in found if line.question]
    return [(line.grade, "no" if line.refuses else str(line.price), line.unit) for line in found]


def test_two_lists_side_by_side_are_read_each_under_its_heading() -> None:
    text = "COPPER            STAINLESS\n#1     4.25       304    .50\n#2     4.00       316    .75"
    assert said(read(text)) == [
        ("copper-1", "4.25", "lb"), ("copper-2", "4.00", "lb"),
        ("stainless-304", "0.50", "lb"), ("stainless-316", "0.75", "lb"),
    ]  # fmt: skip


@pytest.mark.parametrize("text", [
    "Yellow brass 2.45 under 100 lb   2.55 over\nLead .60   under 100 lb .55",
    "Bare bright   4.40   4.35\n#1 copper   4.20   4.10",
    "No 2 copper  4.10   500 lb and up  4.20\nLead   .60   500 lb and up   .65",
    "Item    Updated\nLead  .60    Nov 24, 2026\nZinc   .40   Nov 24, 2026",
    "Bare bright 4.40   #1 copper 4.20",
    "",
])  # fmt: skip
def test_what_are_no_columns_side_by_side_stay_as_they_are(text: str) -> None:
    assert one_below_the_other(text) == text


def test_a_column_for_each_lot_is_a_tier() -> None:
    text = "$/lb      under 100   100-499   500+\n#1 copper   4.10        4.20      4.28\nLead   .60   .62   .65"
    assert [(line.grade, line.price, line.from_mg) for line in read(text) if line.status != "remark"] == [
        (grade, Decimal(price), to_mg(f"{first} lb", "") if first else 0)
        for grade, *prices in (("copper-1", "4.10", "4.20", "4.28"), ("lead-soft", "0.60", "0.62", "0.65"))
        for price, first in zip(prices, (0, 100, 500), strict=True)
    ]


def test_a_point_before_cents_is_never_lost_to_a_leader_of_dots() -> None:
    for leader in ("   ", "....", " .... "):
        assert tiers_in_words(f"Item   1-99   100+\nMotors{leader} .30   .33").endswith("Motors .30, at least 100 .33")
    assert tiers_in_words("Item   1-99   100+\nMotors   .30   CALL").endswith("Motors .30")


def test_which_column_of_prices_counts_is_asked_once_for_the_list() -> None:
    lines = read("Grade   collected   delivered\nNo 2 copper   4.00   4.10\nLead   .60   .65\nMotors   .30   .33")
    (asks,) = [line for line in lines if line.question]
    assert [choice.key for choice in asks.choices] == ["column 1", "column 2", "one by one", "leave out"]
    second = answer(lines, asks.position, "column 2")
    assert [price for _, price, _ in said(second)] == ["4.10", "0.65", "0.33"]
    assert len([line for line in answer(lines, asks.position, "one by one") if line.question]) == 3


def test_one_price_in_two_units_is_one_price() -> None:
    """A pound is 0.45359237 kg (NIST SP 811), so a price per kg is 2.2046 times that per pound."""
    text = "Grade   lb   kg\nNo 2 copper   4.60   10.14\nYellow brass   2.95   6.50"
    assert said(read(text)) == [("copper-2", "4.60", "lb"), ("brass-yellow", "2.95", "lb")]
    turned = "Grade   kg   lb\nNo 2 copper   10.14   4.60\nYellow brass   6.50   2.95"
    assert said(read(turned)) == [("copper-2", "4.60", "lb"), ("brass-yellow", "2.95", "lb")]
    assert any(line.question for line in read("No 2 copper   4.60   10.14\nYellow brass   2.95   3.10"))


def test_notes_beside_prices_say_no_price_and_a_least_lot_there_is_kept() -> None:
    text = "Item\tPrice\tNotes\nMotherboards\t2.90\tno batteries, no heatsinks\nLead\t.60\tmin 50 lb"
    lines = [line for line in read(text) if line.status != "remark"]
    assert [(line.grade, line.minimum_mg) for line in lines] == [("board-pc", 0), ("lead-soft", to_mg("50 lb", ""))]


@pytest.mark.parametrize(("heading", "unit", "price"), [
    ("PER 100 LBS", "lb", "0.08"), ("Item Unit Price", "lb", "0.09"), ("STEEL, per ton of 2240 lb", "long ton", "8.00"),
    ("FERROUS - per gross ton (2240 lb)", "long ton", "8.00"), ("FERROUS per ton (2000 lbs)", "short ton", "8.00"),
])  # fmt: skip
def test_what_a_heading_says_that_prices_are_per(heading: str, unit: str, price: str) -> None:
    said_price = price if heading.startswith("Item") else "8.00"
    line = next(line for line in read(f"{heading}\nShred {said_price}") if line.grade == "light-iron")
    assert (line.unit, line.item.prices[0].readings[0]) == (unit, Decimal(price))


@pytest.mark.parametrize(
    ("heading", "unit"), [("*** EACH ***", "each"), ("PRICE PER PIECE", "each"), ("Item Unit", "lb")]
)
def test_a_heading_that_says_by_the_piece(heading: str, unit: str) -> None:
    assert [line.unit for line in read(f"{heading}\nCar alternators .50") if line.grade] == [unit]


def test_a_price_for_a_hundred_pounds_is_divided_once() -> None:
    lines = read("PER 100 LBS\nShred 8.00\nCast iron 9.25\nPER POUND\nLead .60")
    found = [(line.grade, line.price, line.unit) for line in lines if line.status == "understood"]
    assert found == [
        ("light-iron", Decimal("0.08"), "lb"),
        ("cast-iron", Decimal("0.0925"), "lb"),
        ("lead-soft", Decimal("0.60"), "lb"),
    ]  # fmt: skip


def test_a_grade_said_twice_is_one_question_with_both_prices() -> None:
    lines = read("laptop boards 6.25\nserver boards 4.80\nlead .60")
    (asks,) = [line for line in lines if line.question]
    assert "6.25 /lb" in asks.question and "4.80 /lb" in asks.question
    assert [price for _, price, _ in said(answer(lines, asks.position, "keep line 2"))] == ["4.80", "0.60"]


def test_materials_go_on_in_a_row_until_another_one() -> None:
    assert [line[:2] for line in said(read("alum ext 1.05 cast .80 sheet .75, red brass 3.00"))] == [
        ("al-extrusion", "1.05"), ("al-cast", "0.80"), ("al-sheet", "0.75"), ("brass-red", "3.00"),
    ]  # fmt: skip
    assert read("alum ext 1.05. cast 9 cents")[-1].grade != "al-cast"


def test_names_in_brackets_behind_their_prices() -> None:
    lines = read("Copper $10.40/kg (bright), $9.90 (no.1), $9.40 (no.2)", "kg", "AUD")
    assert said(lines) == [
        ("copper-bare-bright", "10.40", "kg"), ("copper-1", "9.90", "kg"), ("copper-2", "9.40", "kg"),
    ]  # fmt: skip
    aside = read("Motors .35 (aluminium), brass 2.40 (dirty), lead .60 (clean)", "lb", "USD")
    assert said(aside) == [("motors-al", "0.35", "lb"), ("brass-dirty", "2.40", "lb"), ("lead-soft", "0.60", "lb")]


TWO_COLUMNS = (("Item", "Walk-in", "Picked up (1000 lb min)"), ("Lead", ".70", ".65"), ("Zinc die cast", ".90", ".80"))


@pytest.mark.parametrize("stroke", [" | ", "\t", ",", "    "])
def test_which_of_two_columns_counts_is_one_question_whatever_parts_them(stroke: str) -> None:
    lines = read("\n".join(stroke.join(row) for row in TWO_COLUMNS))
    (asked,) = [line for line in lines if line.question]
    assert [choice.label for choice in asked.choices][1:2] == ["Picked up (1000 lb min): 0.65 and 0.80"]
    answered = answer(lines, asked.position, asked.choices[0].key)
    assert said(answered) == [("lead-soft", "0.70", "lb"), ("zinc-diecast", "0.90", "lb")]


def test_decimals_after_a_comma_part_no_columns() -> None:
    lines = read("Lead\t1,10\t1,20\nPewter\t7,00\t7,50\nZinc die cast\t0,90\t0,95", "kg", "EUR")
    assert [line.text for line in lines] == ["Lead\t1,10   1,20", "Pewter\t7,00   7,50", "Zinc die cast\t0,90   0,95"]
    (asked,) = [line for line in lines if line.question]
    assert said(answer(lines, asked.position, "column 2"))[0] == ("lead-soft", "1.20", "kg")


def test_two_prices_beside_each_other_are_not_shared_out_to_two_names() -> None:
    """With a stroke between them they are, as between the names."""
    (asked, _) = [line for line in read("304/316 stainless   .48   .72") if line.status != "remark"]
    assert asked.question and asked.price is None
    assert said(read("304/316 stainless .48/.72")) == [("stainless-304", "0.48", "lb"), ("stainless-316", "0.72", "lb")]


def test_before_leader_dots_stands_one_name() -> None:
    bright, melt, wheels = read(
        "Bare bright wire (16 ga or heavier).....$4.35\n#1 heavy melt, under 3 ft.....$210 / gross ton\n"
        "Tires, off rim ............. $4.00 each"
    )
    assert (bright.grade, bright.price) == ("copper-bare-bright", Decimal("4.35")) and not bright.question
    assert melt.question and wheels.status != "understood"  # once: aluminium wheels at 4.00


def test_an_alloy_before_its_metal_is_no_price() -> None:
    assert said(read("6063 extrusion .86")) == [("al-extrusion", "0.86", "lb")]


def test_a_column_of_least_lots_may_say_none_and_notes_may_be_missing() -> None:
    lines = read("Item\tPrice per lb\tMinimum\tNotes\nYellow brass\t2.40\t20 lb\tclean\nLead\t.70\tnone")
    assert [(line.grade, line.item.minimum is not None) for line in lines if line.grade] == [
        ("brass-yellow", True), ("lead-soft", False),
    ]  # fmt: skip
    assert not any(line.question for line in lines)
