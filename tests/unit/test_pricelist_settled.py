"""What a list leaves open and something else settles: older prices, the rest of the list, what a name mostly means.

And what nothing settles is asked, once for the list. How yards put such things: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, all_understood, answer, preview, read_price_list
from partway.pricelist.lines import PieceMass
from partway.pricelist.names import listed, spoken
from partway.quantities import kg_per

GRADES = shipped().grades
OLD = {"copper-2": "4.05 lb", "copper-1": "4.30 lb", "brass-yellow": "2.60 lb", "light-iron": "190 tonne"}


def read(text: str, old: dict[str, str] | None = None, unit: str = "lb", currency: str = "CAD") -> list[PriceLine]:
    known = {}
    for grade, said in (old or {}).items():
        price, of = said.split()
        known[grade] = float(Decimal(price) / kg_per(of))
    return read_price_list(text, GRADES, currency, unit, known, elsewhere=ten_kilograms)


def ten_kilograms(grade: str, words: Sequence[str]) -> PieceMass:
    """What one piece of anything weighs here."""
    del grade, words
    return PieceMass(10_000_000, "this test")


@pytest.mark.parametrize(("text", "grade", "price", "unit"), [
    ("No. 2 is up a nickel", "copper-2", "4.10", "lb"), ("yellow brass down ten cents", "brass-yellow", "2.50", "lb"),
    ("number one same as last week", "copper-1", "4.30", "lb"), ("y brass no change", "brass-yellow", "2.60", "lb"),
    ("no change on yellow brass", "brass-yellow", "2.60", "lb"), ("#2 copper down a penny", "copper-2", "4.04", "lb"),
    ("shred is down 5 bucks", "light-iron", "185", "tonne"), ("shred same as last time", "light-iron", "190", "tonne"),
    ("#2 copper up 5 cents a pound", "copper-2", "4.10", "lb"),
])  # fmt: skip
def test_a_price_that_only_moved_or_stayed_is_the_older_one_moved(text: str, grade: str, price: str, unit: str) -> None:
    (line,) = read(text, OLD)
    assert (line.status, line.grade, line.unit) == ("understood", grade, unit), line.question
    assert line.price == Decimal(price)


@pytest.mark.parametrize(("text", "old"), [
    ("motors up a nickel", OLD), ("#2 copper up 3", {"copper-2": "12 lb"}), ("#2 copper down 3 bucks", OLD),
    ("shred down a nickel", {"light-iron": "0.33333 lb"}), ("#2 copper up 5 cents a kilo", OLD),
])  # fmt: skip
def test_by_how_much_it_moved_says_nothing_without_an_older_price_that_it_fits(text: str, old: dict[str, str]) -> None:
    (line,) = read(text, old)
    assert line.status != "understood" and line.question


def test_up_so_many_pounds_is_no_change_and_a_price_behind_a_change_is_the_price() -> None:
    assert read("#2 copper up a nickel to 4.12", OLD)[0].price == Decimal("4.12")
    assert read("#2 copper 4.10, 4.20 up 500 lb", OLD)[0].price == Decimal("4.10")


def test_the_older_price_of_one_grade_tells_a_plain_name_apart_where_nothing_else_is_near() -> None:
    (brass,) = read("brass 2.65", OLD)
    assert (brass.grade, brass.status) == ("brass-yellow", "understood")
    assert read("brass 2.65")[0].question and read("brass 2.30", OLD)[0].question
    assert read("copper 4.10", {"copper-2": "4.05 lb"})[0].question  # No. 1 is too near
    assert read("brass 2.65", {**OLD, "brass-red": "3.30 lb"})[0].question  # of two nobody knows which


def test_what_settled_a_line_is_shown_with_it() -> None:
    def shown(text: str, old: dict[str, str] | None = None) -> list[str]:
        return [row.told_by for row in preview(read(text, old))]

    assert shown("brass 2.65, #2 4.10", OLD) == ["as this buyer quoted it before", ""]
    assert shown("#2 copper up a nickel", OLD) == ["by the price before"]
    list_of_coppers = "#1 copper 4.40, yellow brass 2.40, copper transformers 60c, transformers 20c"
    assert shown(list_of_coppers) == ["", "", "", "by the rest of the list"]


def test_a_name_is_told_apart_by_what_else_stands_in_the_list() -> None:
    lines = read("#1 copper 4.40, yellow brass 2.40, lead .60, copper transformers 60c, transformers 20c")
    assert lines[-1].grade == "transformer-al" and all_understood(lines)
    dear = read("#1 copper 4.40, yellow brass 2.40, lead .60, copper transformers 60c, transformers 2.60")
    assert dear[-1].question


def test_what_plain_names_mostly_mean_is_one_question_and_never_taken_unasked() -> None:
    lines = read("#2 copper 4.10, brass 2.40, stainless .50, lead .60")
    (asks,) = [line for line in lines if line.question]
    assert '"brass" Yellow brass' in asks.question and '"stainless" Stainless 304' in asks.question
    assert [line.grade for line in lines if line.status != "understood"] == [None, None]
    settled = answer(lines, asks.position, "yes")
    assert all_understood(settled) and {line.grade for line in settled} > {"brass-yellow", "stainless-304"}
    apart = answer(lines, asks.position, "one by one")
    assert len([line for line in apart if line.question]) == 2
    assert {"brass-red", "brass-dirty"} < {choice.key for line in apart for choice in line.choices}


def test_a_price_that_is_none_of_what_it_mostly_means_is_shown_as_the_one_that_is_worth_it() -> None:
    lines = read("#2 copper 4.10, #1 copper 4.30, brass 1.00, stainless .50, boards .40")
    brass = lines[2]
    assert "brass-yellow" not in brass.question and brass.offers[0].key == "brass-dirty" and len(brass.offers) > 3


@pytest.mark.parametrize(("text", "grades"), [
    ("no fridges or tires", {"appliance-refrigerant"}), ("fridges no thanks", {"appliance-refrigerant"}),
    ("no tires no propane tanks no freon", {"cylinders", "appliance-refrigerant"}),
    ("not taking any more lithium", {"li-ion", "li-ion-lfp", "lithium-primary"}),
    ("not buying printers or brake rotors", set()), ("not taking sinks", set()),
])  # fmt: skip
def test_what_a_refusal_refuses_and_no_more(text: str, grades: set[str]) -> None:
    lines = read(text)
    assert {line.grade for line in lines if line.status == "understood" and line.refuses} == grades
    assert not any(line.question for line in lines)


def test_examples_are_names_that_exist() -> None:
    known = {" ".join(words) for words, _ in spoken()}
    assert listed("examples") <= known


def test_who_pays_is_asked_once_where_people_mostly_pay_to_be_rid_of_it() -> None:
    lines = read("TV sets $15 each\nPropane cylinders $2 each\nlead .60")
    (asks,) = [line for line in lines if line.question]
    assert [choice.key for choice in asks.choices][:2] == ["they pay", "you pay"]
    mine, theirs = (answer(lines, asks.position, key) for key in ("you pay", "they pay"))
    assert [line.price for line in mine] == [Decimal(-15), Decimal(-2), Decimal("0.60")] and all_understood(mine)
    assert [line.price for line in theirs] == [Decimal(15), Decimal(2), Decimal("0.60")] and all_understood(theirs)


@pytest.mark.parametrize(("text", "price"), [
    ("propane tanks: we pay $2 each", "2"), ("propane tanks $2 each to drop off", "-2"), ("propane tanks free", "0"),
    ("propane tanks: $3 charge each", "-3"), ("propane tanks you pay 2 each", "-2"),
])  # fmt: skip
def test_who_pays_is_not_asked_where_it_is_said(text: str, price: str) -> None:
    (line,) = read(text)
    assert (line.status, line.price) == ("understood", Decimal(price)), line.question


@pytest.mark.parametrize("text", ["no 2 copper 4.34/b", "lead .60 /ld", "motors .38 per bag", "cans .50/x, lead .60"])
def test_a_word_behind_a_stroke_that_is_no_unit_is_asked_about(text: str) -> None:
    line = read(text)[0]
    assert line.status == "unknown" and "is no mass" in line.question


def test_two_names_with_a_stroke_between_their_prices_are_no_unit() -> None:
    lines = read("no 1 copper 4.50 / bb 4.70, lead .60/zinc .40")
    assert [line.grade for line in lines] == ["copper-1", "copper-bare-bright", "lead-soft", "zinc-diecast"]
    assert all_understood(lines)


def test_a_list_that_writes_all_its_prices_with_a_comma_says_so_itself() -> None:
    assert all_understood(read("bare bright 11,10\ncans 1,20", unit="kg"))
    assert read("bare bright 11,10\ncans 1.20", unit="kg")[0].question
    beside = read("bare bright 4.40\n#1 copper 4.25\n#2 copper 4,05")
    assert beside[2].price == Decimal("4.05") and all_understood(beside)  # 405 would be a hundred times that


def test_a_figure_that_was_not_understood_is_not_passed_over_beside_a_name() -> None:
    assert [line.status for line in read("#1 cu 4.9ish, #2 copper 4.65")] == ["understood", "understood"]
    assert read("#1 cu 4.9x")[0].question


def test_a_least_shipment_holds_for_the_ticket_and_not_for_the_row_above() -> None:
    lines = read("power supplies .28\nMinimum shipment 20 lb. We do not buy CRT glass.")
    assert lines[0].minimum_mg == 0 and lines[1].passed_over == "ticket" and lines[1].text.startswith("Minimum")
    assert (lines[2].grade, lines[2].refuses, lines[2].minimum_mg) == ("tube-glass", True, 0)
    assert read("power supplies .28, min order 20 lb")[0].minimum_mg


def test_what_is_free_before_a_colon_is_free_for_all_of_the_row() -> None:
    lines = read("Accepted free of charge: alkaline batteries, used motor oil, ink cartridges\nlead .60")
    assert [(line.grade, line.price) for line in lines] == [
        ("alkaline", 0), ("oil", 0), ("ink", 0), ("lead-soft", Decimal("0.60")),
    ]  # fmt: skip
