"""Manners of price lists: tables with old columns, text read from photographs, sentences, tiers, one price for several.

How yards put such things: common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, answer, read_price_list
from partway.quantities import kg_per

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
    left = answer(unknown, 1, "yes")
    assert [line.passed_over for line in left] == ["left out", "left out", ""] and left[2].price == Decimal("0.70")


def test_a_price_for_a_ton_in_two_halves_is_the_large_one() -> None:
    """Nothing is bought for 1.80 a ton (common practice, no source); of money of another worth nobody knows it here."""
    assert said("shred one eighty a short ton") == [("light-iron", "180", "short ton")]
    assert read("shred one eighty a short ton", currency="MXN")[0].question


def test_a_sign_before_a_change_is_no_price() -> None:
    """165 a long ton and ten more; a change alone, of a price that nobody said before, is asked about."""
    known = {"light-iron": float(Decimal(165) / kg_per("long ton"))}
    (line,) = read_price_list("shred +10", GRADES, "USD", "lb", known)
    assert (line.price, line.unit) == (Decimal(175), "long ton")
    assert read("shred +10")[0].status != "understood"


def test_up_to_an_amount_of_money_is_its_price_and_up_to_a_mass_is_not() -> None:
    assert said("yellow brass up to 2.70") == [("brass-yellow", "2.70", "lb")]
    (line,) = read("yellow brass 2.70 up to 200 lb")
    assert line.price == Decimal("2.70") and line.most_mg


def test_what_is_not_on_a_thing_comes_before_its_price() -> None:
    text = "PC motherboards, no heatsinks, no batteries: $3.15\nHard drives, board attached: $0.90"
    assert said(text) == [("board-pc", "3.15", "lb"), ("hard-drive", "0.90", "lb")]
    assert any(line.refuses for line in read("yellow brass 2.40, no fridges"))  # behind a price it is a refusal


def test_what_is_not_on_a_thing_stands_above_its_price_where_each_cell_is_a_row() -> None:
    """A page pasted as it fell: eighteen refusals of batteries came of two such rows."""
    assert said("Whole laptops, no battery\n$1.45\nHard drives\n$0.92") == [
        ("laptop-whole", "1.45", "lb"),
        ("hard-drive", "0.92", "lb"),
    ]
    rows = read("Laptops, no batteries\nHard drives $0.92")  # the row below has a name of its own
    assert any(line.refuses and line.grade == "lead-acid" for line in rows)


def test_all_grades_of_a_family_move_together() -> None:
    known = {
        grade: float(Decimal(price) / kg_per("lb")) for grade, price in {"copper-1": "4.45", "copper-2": "4.20"}.items()
    }
    lines = read_price_list("copper is down a dime on all three grades", GRADES, "USD", "lb", known)
    assert {line.grade: line.price for line in lines} == {"copper-1": Decimal("4.35"), "copper-2": Decimal("4.10")}


def test_a_refusal_with_several_exclamation_marks_is_one() -> None:
    assert said("FRIDGES  NO!!") == [("appliance-refrigerant", "no", "lb")]


def test_a_column_of_codes_is_no_price() -> None:
    text = "code,material,price,uom\n101,Bare Bright,4.55,LB\n102,No. 1 Copper,4.41,LB"
    assert said(text) == [("copper-bare-bright", "4.55", "lb"), ("copper-1", "4.41", "lb")]


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
