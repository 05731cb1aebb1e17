"""Every word of a price list is read, asked about, or says nothing: what is left over, and what stands beside it.

What a yard means by each of these lines: common practice, no source.
"""

from __future__ import annotations

import pytest

from partway.catalogue import shipped
from partway.pricelist import PriceLine, answer, read_price_list

GRADES = shipped().grades
YARDS = "harbour yard: #1 cu 4.20, motors 28c\nridge yard: #1 cu 4.12, motors 31c\nharbour pays 21c for lead"


def read(text: str) -> list[PriceLine]:
    return read_price_list(text, GRADES, "USD", "lb", {})


def understood(text: str) -> dict[str | None, str]:
    return {line.grade: str(line.price) for line in read(text) if line.status == "understood"}


def questions(lines: list[PriceLine]) -> list[str]:
    return [line.question for line in lines if line.question]


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("lead 58c unless wet", "unless wet"),
        ("lead 58c half", "half"),
        ("plus Wire\tCoax\t0.18/lb", "plus"),
        ("light iron by the kilo ate cents", "by the kilo"),
        ("Electric motors, with cord .34", "with cord"),
        ("#2 copper 4.00 -10%", "10%"),
    ],
)
def test_what_may_change_a_price_is_asked_about_whatever_the_words(text: str, left: str) -> None:
    asked = [line for line in read(text) if line.question]
    assert asked and left in " ".join(line.question for line in asked)


def test_left_aside_the_price_stands() -> None:
    lines = read("Electric motors, with cord .34")
    (line,) = answer(lines, 1, "leave aside")
    assert (line.status, line.grade, str(line.price)) == ("understood", "motors", "0.34")


def test_what_is_not_on_a_thing_needs_no_question() -> None:
    assert understood("Desktop tower, no hard drive .18\nlead .58 today") == {
        "desktop-whole": "0.18",
        "lead-soft": "0.58",
    }


def test_what_runs_on_into_words_that_nobody_knows_waits_for_them() -> None:
    lines = read("motors .26 to harbour yard .33\nlead .58")
    assert [(line.asks, line.status) for line in lines][::2] == [("with", "ambiguous"), ("", "understood")]
    left = answer(lines, 2, "leave out")
    assert [(line.grade, line.status) for line in left] == [("motors", "understood"), ("lead-soft", "understood")]


def test_a_second_price_without_a_name_puts_the_first_in_doubt() -> None:
    assert not understood("Yellow brass 38c | 5.40")


def test_a_refusal_between_two_names_is_asked_about() -> None:
    lines = read("lead not taps $3.20")
    assert lines[0].question.endswith("is that refused, or what stands behind it?")
    first = answer(lines, 1, "not taking")[0]
    assert (first.grade, first.status, first.refuses) == ("lead-soft", "understood", True)


def test_a_lot_alone_in_its_row_is_of_neither_neighbour() -> None:
    lines = read("motors .30\nover 500 lb\nlead .58")
    assert [line.from_mg for line in lines if line.grade] == [0, 0]
    assert len(questions(lines)) == 1


def test_two_yards_in_one_message_are_asked_about_once() -> None:
    lines = read(YARDS)
    (question,) = questions(lines)
    assert question.endswith("which of them do you write down here: harbour yard or ridge yard?")
    asked = next(line for line in lines if line.question)
    told = answer(lines, asked.position, "ridge yard")
    assert {line.grade: str(line.price) for line in told if line.status == "understood"} == {
        "copper-1": "4.12",
        "motors": "0.31",
    }
    assert {line.passed_over for line in told if line.status == "remark"} == {"left out"}
    assert not questions(told)


def test_sorts_before_a_colon_are_no_yards() -> None:
    lines = read("boards: low .40, mid 1.20\nmotors: copper .30")
    assert not [line for line in lines if line.asks == "yard"]


def test_footnotes_are_no_columns_and_are_asked_about_together() -> None:
    lines = read("Wheels (1)   0.95\nMotors (2)   0.28\n\n(1) minus 0.10 with weights on\n(2) under 50 lb: 0.20")
    assert {line.grade: str(line.price) for line in lines if line.grade} == {"al-wheels": "0.95", "motors": "0.28"}
    assert len(questions(lines)) == 1


def test_columns_go_by_their_headings() -> None:
    (question,) = questions(read("Material   Trade   Retail\nBright wire   6.90   6.40\nLead   1.30   1.10"))
    assert "Trade: 6.90 and 1.30 or Retail: 6.40 and 1.10" in question


def test_lines_of_the_very_same_words_are_asked_about_once() -> None:
    lines = read("insulated wire 2.80, over 100 lb 2.88, over 500 lb 2.96")
    assert len(questions(lines)) == 1
    told = answer(lines, 1, "wire-building")
    assert [(line.grade, str(line.price)) for line in told] == [
        ("wire-building", "2.80"),
        ("wire-building", "2.88"),
        ("wire-building", "2.96"),
    ]


@pytest.mark.parametrize(
    ("text", "price"), [("cast iron .10 -> .12", "0.12"), ("lead 60c from 55c", "0.6"), ("lead .50 steady", "0.50")]
)
def test_a_price_of_before_is_none_of_now(text: str, price: str) -> None:
    assert list(understood(text).values()) == [price]


def test_steel_between_stainless_and_its_number() -> None:
    assert understood("Stainless steel 304 | 0.85\nStainless steel 316 | 1.35") == {
        "stainless-304": "0.85",
        "stainless-316": "1.35",
    }


@pytest.mark.parametrize("text", ["Bring the kids", "HAVE I.D. READY"])
def test_a_mistyped_word_alone_is_no_name(text: str) -> None:
    assert [line.status for line in read(text)] == ["remark"]


def test_a_range_is_at_most_four_times_its_lowest() -> None:
    assert understood("boards 20 to 60 cents") == {} or not understood("lead ten cents - 55c/lb")
