"""One question about all names of a list that are not sure: each is shown as it would be read. Prices are invented."""

from __future__ import annotations

from decimal import Decimal

import pytest

from partway.catalogue import shipped
from partway.errors import Refused
from partway.pricelist import PriceLine, all_understood, answer, read_price_list

GRADES = shipped().grades
TEXT = "no 2 copper 4.10\nmoters 30c\nbrass 2.40\nfrandles 1.20\ninsulated wire 0.90\nred brass"


def read(text: str, unit: str = "lb") -> list[PriceLine]:
    return read_price_list(text, GRADES, "CAD", unit, {})


def prices(lines: list[PriceLine]) -> dict[str | None, Decimal | None]:
    return {line.grade: line.price for line in lines if line.status == "understood"}


def test_all_names_are_asked_about_in_one_question_that_shows_each_reading() -> None:
    """A mistyped one, one of several grades, one that nobody knows, and one that says no price."""
    lines = read(TEXT)
    (question,) = [line.question for line in lines if line.question]
    assert question == (
        'Right as shown: "moters" Electric motors; "brass" Yellow brass; "frandles" left out; '
        '"insulated wire" left out; "red brass" left out?'
    )
    assert prices(lines) == {"copper-2": Decimal("4.10")}  # nothing of it is taken unasked


def test_one_answer_reads_all_of_them_as_shown_and_leaves_none_out_of_sight() -> None:
    lines = answer(read(TEXT), 2, "yes")
    wanted = {"copper-2": Decimal("4.10"), "motors": Decimal("0.30"), "brass-yellow": Decimal("2.40")}
    assert prices(lines) == wanted and all_understood(lines)
    left_out = [line.text for line in lines if line.passed_over == "left out"]
    assert left_out == ["frandles 1.20", "insulated wire 0.90", "red brass"]


@pytest.mark.parametrize("first", [2, 5])
def test_each_of_them_can_be_answered_otherwise_before(first: int) -> None:
    """Also the one that has the question, which then stands with the next."""
    lines = answer(read(TEXT), first, {2: "alternator", 5: "wire-house-cable"}[first])
    lines = answer(lines, 2, "yes")
    assert prices(lines)["brass-yellow"] == Decimal("2.40") and all_understood(lines)
    assert ("motors" in prices(lines)) is (first == 5) and ("wire-house-cable" in prices(lines)) is (first == 5)


def test_what_none_of_them_can_be_is_refused_and_changes_nothing() -> None:
    lines = read(TEXT)
    with pytest.raises(Refused):
        answer(lines, 5, "one of these days")
    assert lines == read(TEXT)


def test_a_grade_that_the_list_prices_elsewhere_is_proposed_for_no_other_name() -> None:
    lines = read("yellow brass 2.60\nmixed brass 2.40\nmoters 30c")
    (question,) = [line.question for line in lines if line.question]
    assert '"mixed brass" left out' in question


def test_a_price_that_is_against_a_grade_is_proposed_for_none() -> None:
    """No. 2 copper at 4.10: motors are .06 to .13 of that (catalogue/data/grades/wound.toml), not ten times as much."""
    lines = read("no 2 copper 4.10\nmoters 6.30\nyelow brass 2.40")
    (question,) = [line.question for line in lines if line.question]
    assert question == 'Right as shown: "moters" left out; "yelow brass" Yellow brass?'


def test_all_tiers_of_a_name_are_answered_with_it() -> None:
    lines = read("brass, 2.40\nbrass over 500 lb 2.55\nmoters 30c")
    lines = answer(lines, next(line.position for line in lines if line.question), "yes")
    found = [(line.grade, line.price) for line in lines if line.grade == "brass-yellow"]
    assert found == [("brass-yellow", Decimal("2.40")), ("brass-yellow", Decimal("2.55"))]
