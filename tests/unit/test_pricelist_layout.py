"""What stands around the prices of a list: headings, days and calls, talk, terms of the ticket.

How people put it: common practice, no source.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, read_price_list
from partway.quantities import kg_per

GRADES = shipped().grades


def read(text: str, unit: str = "lb", known: dict[str, float] | None = None) -> list[PriceLine]:
    return read_price_list(text, GRADES, "CAD", unit, known or {})


def said(text: str, unit: str = "lb") -> list[tuple[str | None, str]]:
    """Of each line that is not passed over its grade and its price; its question where it has one."""
    lines = [line for line in read(text, unit) if line.status != "remark"]
    return [(line.grade, line.question or ("no" if line.refuses else f"{line.price:.2f}")) for line in lines]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("BRASS\nyellow 2.48\nred 3.05", [("brass-yellow", "2.48"), ("brass-red", "3.05")]),
        ("CU:\n#1 .... 4.38\nlight .. 3.60", [("copper-1", "4.38"), ("copper-light", "3.60")]),
        ("Copper\nbare bright 4.60", [("copper-bare-bright", "4.60")]),
        ("Boards: low .40, mid 1.20", [("board-low", "0.40"), ("board-mid", "1.20")]),
        ("Prices Nov 24, 2026\nlead .60", [("lead-soft", "0.60")]),
        ("w/c 23rd November\nlead .60\nMON-FRI 8-4:30 SAT 8-12", [("lead-soft", "0.60")]),
        ("lead .60, call 555-0142", [("lead-soft", "0.60")]),
        ("sorry just saw this. yellow brass is 2.40", [("brass-yellow", "2.40")]),
        ("the man calling you back about prices um number one copper is 4.40", [("copper-1", "4.40")]),
        ("motors - call\nlead .60\nLamps | call", [("lead-soft", "0.60")]),
        ("lead was .55 now .60", [("lead-soft", "0.60")]),
        ("cans up 3 cents to 58 cents", [("al-cans", "0.58")]),
        ("lead 4.5O", [("lead-soft", "4.50")]),
        ("light iron ate cents", [("light-iron", "0.08")]),
        ("scrap lead wheel weights .20", [("wheel-weights", "0.20")]),
        ("extrusion / cast aluminium .60", [("al-extrusion", "0.60"), ("al-cast", "0.60")]),
        ("starters and motors 35c", [("starters", "0.35"), ("motors", "0.35")]),
        ("no tires, no paint, lead .60", [("lead-soft", "0.60")]),
    ],
)  # fmt: skip
def test_what_is_no_price_is_passed_over(text: str, meant: list[tuple[str, str]]) -> None:
    assert said(text) == meant


@pytest.mark.parametrize(
    "text",
    [
        "greasy copper 1 3.90",  # a word that may change the grade is no talk
        "laptops with battery 1.00",  # no laptop batteries
        "hard drives without boards .30",
        "copper 1 4.40\ncopper 2 4.20\ncast iron .10\nradiators 1.20",  # no heading, and not copper ones
        "Copper\n#1 4.40\ncast iron .10\nradiators 1.20",  # what is no copper ends the heading
        "motors to fifty",  # 2.50 or 50 cents
    ],
)
def test_what_may_be_something_else_is_asked(text: str) -> None:
    assert read(text)[-1].question


@pytest.mark.parametrize("text", ["10 cents off a pound if wet", "Max 70 lb per box", "Minimum 50 lbs per load"])
def test_what_holds_for_the_whole_ticket_is_told_apart(text: str) -> None:
    (_, line) = read(f"lead .60\n{text}")
    assert (line.status, line.passed_over, line.text) == ("remark", "ticket", text)


@pytest.mark.parametrize(
    ("text", "fee"),
    [
        ("2% admin fee on every ticket", "2 %"),
        ("$5 environmental fee per load", "CAD 5 "),
        ("1.5% handling deducted from total", "1.5 %"),
        ("All loads: $3.50 scale fee", "3.50"),
    ],
)
def test_whether_a_fee_of_each_ticket_counts_is_asked(text: str, fee: str) -> None:
    (_, line) = read(f"lead .60\n{text}")
    assert (line.status, line.asks, line.passed_over, line.text) == ("ambiguous", "fee", "ticket", text)
    assert fee in line.question


@pytest.mark.parametrize(
    ("text", "fee"),
    [
        ("#2 copper 4.10 less 3% admin", "3 %"),
        ("#2 copper 4.10, 3% off the ticket for admin", "3 %"),
        ("#2 copper 4.10 and they take 2 percent off the ticket", "2 %"),
        ("#2 copper 4.10. We take five dollars a load.", "CAD 5"),
        ("#2 copper 4.10 minus 2 percent admin, red brass 2.90", "2 %"),
    ],
)
def test_a_fee_behind_a_price_loses_no_price(text: str, fee: str) -> None:
    first, line, *more = read(text)
    assert (first.grade, first.price, first.status) == ("copper-2", Decimal("4.10"), "understood")
    assert (line.asks, line.passed_over) == ("fee", "ticket") and fee in line.question
    assert [(one.grade, one.price) for one in more] == [("brass-red", Decimal("2.90"))][: len(more)]


@pytest.mark.parametrize("between", [", ", ". ", "\n"])
def test_what_holds_for_the_ticket_is_not_refused_with_the_grade_before_it(between: str) -> None:
    first, line = read(f"no car batteries{between}2% card fee")
    assert (first.grade, first.refuses) == ("lead-acid", True)
    assert (line.status, line.passed_over, line.text) == ("remark", "ticket", "2% card fee")


def test_without_its_battery_behind_a_price_is_no_refusal_of_batteries() -> None:
    assert next((line.grade, line.refuses) for line in read("laptops 1.10 no battery, heat sinks .90")) == (
        "laptop-whole",
        False,
    )
    assert not any(line.refuses for line in read("laptops 1.10 no battery"))
    assert len(read("laptops 1.10, no batteries")) > 2  # of their own they are refused, each sort


@pytest.mark.parametrize(
    ("priced", "without", "grade"),
    [
        ("hard drives 1.10", "w/o board", "hard-drive"),
        ("ballast .22", "no pcb", "ballast"),
        ("yellow brass 2.30", "no steel", "brass-yellow"),
        ("motors .28", "no cords", "motors"),
    ],
)
def test_what_is_not_on_the_thing_behind_its_price_is_no_refusal(priced: str, without: str, grade: str) -> None:
    """Common practice, no source: a yard pays so much for a thing without something else on it."""
    assert [(one.grade, one.refuses) for one in read(f"{priced} {without}")] == [(grade, False)]
    first, *others = read(f"{priced}\n{without}")  # in a line of its own it is a refusal of such things
    assert not first.refuses and others and all(one.refuses for one in others)


def test_a_unit_at_the_begin_of_a_row_is_of_all_of_the_row() -> None:
    """A bare "cast 160" behind "per ton" was cast aluminium at 1.60 a pound."""
    shred, *_, cast, blocks, bright, cans = read(
        "per ton prices: shred 135, heavy melt 170, cast 160, motor blocks 150\nper lb: bright 4.30, al cans .60"
    )
    assert "Which ton" in shred.question and (cast.status, cast.price) == ("ambiguous", None) and blocks.price is None
    assert [(one.grade, one.price, one.unit) for one in (bright, cans)] == [
        ("copper-bare-bright", Decimal("4.30"), "lb"),
        ("al-cans", Decimal("0.60"), "lb"),
    ]


def test_other_goods_refused_behind_a_price_are_refused() -> None:
    price, *refused = read("tin .09 no fridges")
    assert not price.refuses and [one.grade for one in refused] == ["appliance-refrigerant"]


@pytest.mark.parametrize("title", ["HARBOUR METALS PRICE SHEET (per kg)", "HARBOUR METALS PRICE SHEET (per kg, CAD)"])
def test_a_title_with_a_unit_holds_for_the_whole_list(title: str) -> None:
    lines = read(f"{title}\nNo. 1 copper 9.40\nyellow brass 5.20\nlight iron 0.17")
    assert [(line.grade, line.unit) for line in lines if line.price is not None] == [
        ("copper-1", "kg"), ("brass-yellow", "kg"), ("light-iron", "kg"),
    ]  # fmt: skip


def test_two_names_with_a_stroke_between_them_are_two_grades() -> None:
    assert said("alts/starters 0.31") == [("alternator", "0.31"), ("starters", "0.31")]
    assert read("alu/cu radiators 1.20")[0].question  # one thing, clean or dirty


def test_a_fee_for_a_grade_is_a_price_of_that_grade() -> None:
    (line,) = read("fridges recycling fee $10 each")
    assert line.question and line.item.prices[0].readings[0] < 0


def test_number_one_and_two_are_told_apart_by_the_other_copper_of_the_list() -> None:
    assert said("bare bright 4.60, #2 4.15, #1 4.40") == [
        ("copper-bare-bright", "4.60"), ("copper-2", "4.15"), ("copper-1", "4.40"),
    ]  # fmt: skip
    assert said("#2 4.15") == [("copper-2", "4.15")]  # no steel is paid like that in any year
    assert read("#2 0.40")[0].question
    lira = read_price_list("#2 4.15", GRADES, "TRY", "lb", {})
    assert lira[0].question  # there it may be heavy melt


def test_a_grade_is_not_held_against_its_own_price() -> None:
    assert said("bare bright 4.60")[0] == ("copper-bare-bright", "4.60")
    assert not read("bare bright 4.60")[0].sheet.other_copper("copper-bare-bright")  # type: ignore[union-attr]


def test_one_whole_number_is_settled_by_the_own_quote() -> None:
    last = {"motors": 0.36 / float(kg_per("lb"))}
    both = read("no 2 copper 4.10, motors 38", known=last)[1]
    assert (both.status, both.price) == ("understood", Decimal("0.38"))
    assert read("motors 38", known=last)[0].price == Decimal("0.38")  # 38 would be 105 times the last one
    assert read("no 2 copper 4.10, motors 38")[1].price == Decimal(
        "0.38"
    )  # 38 is what no motors are beside such copper
    assert read("motors 38")[0].question  # nothing known of this buyer, and nothing beside it
    near = read("no 2 copper 4.10, motors 38", known={"motors": 2.0 / float(kg_per("lb"))})[1]
    assert near.question  # 38 is only 19 times what they last paid


def test_the_sign_of_the_tonne_is_one_where_people_count_in_kilograms() -> None:
    """The symbol of the tonne is t: SI Brochure, 9th edition, table 8. A "ton" is asked about all the same."""
    assert read("light iron 150/t", "kg")[0].unit == "tonne"
    assert read("light iron 150/t", "lb")[0].asks == "unit"
    assert read("light iron 150 a ton", "kg")[0].asks == "unit"


def test_of_two_columns_of_prices_the_first_counts_and_a_hundred_alone_is_no_pound() -> None:
    first = read("Grade\tPer lb\tPer kg\nYellow brass\t$2.50\t$5.51")
    assert [(line.grade, line.price, line.unit) for line in first if line.grade] == [
        ("brass-yellow", Decimal("2.50"), "lb")
    ]
    assert [line.price for line in read("clean cast iron 11.00 per hundred")] == [Decimal("0.11")]
