"""What people say and write, read as one thing or refused with what was understood; and what becomes of a range.

How numbers are said: common practice, no source. Prices are invented. One pound is 0.45359237 kg exactly (1959).
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from pathlib import Path

import pytest
from ledger_day import Day

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.price_lists import read_list, save_list
from partway.actions.buyers.quoting import quote
from partway.actions.buyers.trade import spread
from partway.actions.home.settings import set_
from partway.actions.recording import reading
from partway.errors import BadQuantity, Refused
from partway.ledger import trading
from partway.reports.buyers.sheet import report_sheet
from partway.spoken import Hearing, english, read_day, read_mass, read_moment, read_money, read_price
from partway.spoken.tongue import tongue_from
from partway.things.estimate import Estimate

HERE = Hearing("CAD", "lb")
LB = Decimal("0.45359237")
MONDAY = dt.date(2026, 11, 30)


@pytest.mark.parametrize(
    ("text", "pounds"),
    [
        ("6lb8oz", "6.5"), ("21 lb 3 oz", "21.1875"), ("6 1/2 lb", "6.5"), ("6½ lb", "6.5"), ("half a pound", "0.5"),
        ("forty one and a half", "41.5"), ("point six", "0.6"), ("a pound", "1"), ("a quarter pound", "0.25"),
        ("three quarters of a pound", "0.75"), ("forty-one", "41"),
    ],
)  # fmt: skip
def test_masses_as_they_are_said(text: str, pounds: str) -> None:
    assert read_mass(text, HERE, "mass") == Decimal(pounds) * LB


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a ton", "1 short ton, 1 long ton or 1 tonne: which one"),
        ("9,2 kg", "9.2 kg or 92 kg: which one"),
        ("3 lb of copper", '"3 lb" was understood, "of copper" was not'),
        ("12 stone", '"12" was understood, "stone" was not'),
        ("lots", "nothing of it was understood"),
    ],
)
def test_a_mass_that_is_refused_says_what_was_understood(text: str, expected: str) -> None:
    with pytest.raises(BadQuantity) as said:
        read_mass(text, HERE, "mass")
    assert expected in said.value.expected


def test_a_bare_number_without_a_unit_to_be_in_is_asked_about() -> None:
    with pytest.raises(BadQuantity, match="of what unit"):
        read_mass("6 1/2", Hearing(), "mass")


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("$14.99", "14.99"), ("30 bucks", "30"), ("a buck ninety", "1.90"), ("nine and a half cents", "0.095"),
        ("72½c", "0.725"), ("two bucks and a dime", "2.10"), ("a buck and a half", "1.50"), ("a quarter", "0.25"),
        ("half a buck", "0.50"), ("a hundred and fifty bucks", "150"), ("twenty five", "25"),
    ],
)  # fmt: skip
def test_money_as_it_is_said(text: str, amount: str) -> None:
    assert read_money(text, HERE, "amount") == Decimal(amount)


@pytest.mark.parametrize(("text", "why"), [("40 quid", "£ is not CAD"), ("three fifty", "3.5 or 350: which one")])
def test_money_that_is_none_here(text: str, why: str) -> None:
    with pytest.raises(BadQuantity) as said:
        read_money(text, HERE, "amount")
    assert why in said.value.expected


def test_a_hundredweight_is_100_lb_in_north_america_and_asked_about_elsewhere() -> None:
    """100 lb or 112 lb: NIST Handbook 44, Appendix C (from memory)."""
    here = read_price("9 bucks /cwt", HERE, "price").per
    there = read_price("9 quid a hundredweight", Hearing("GBP", "kg"), "price").per
    assert here is not None and here.units == ("lb",) and int(here.count) == 100
    assert there is not None and there.units == ("100 lb", "112 lb")


def test_a_day_that_may_be_two_is_asked_about() -> None:
    for text, expected in (
        ("monday", "Monday 30 November or Monday 23 November: which one"),
        ("3/4", "Wednesday 4 March or Friday 3 April: which one"),
        ("last week", "one day of it: Monday 23 November to Sunday 29 November"),
    ):
        with pytest.raises(BadQuantity) as said:
            read_day(text, MONDAY, HERE, "on")
        assert expected in said.value.expected, text
    assert read_day("nov 20", MONDAY, HERE, "on") == dt.date(2026, 11, 20)
    assert read_day("dec 1", MONDAY, HERE, "on") == dt.date(2025, 12, 1)  # what happened is not to come


def test_a_language_is_a_file_and_a_file_that_is_none_is_refused(tmp_path: Path) -> None:
    assert english().tens["fourty"] == 40
    (tmp_path / "none.toml").write_text("[numbers]\n", encoding="utf-8")
    with pytest.raises(Refused, match=r"none\.toml"):
        tongue_from(tmp_path / "none.toml")


# --- where it is heard ---


def a_yard() -> Day:
    day = Day(unit="lb")
    day.do(set_, "currency", "CAD")
    day.do(buyer, "harbour", Terms(kind="yard", name="harbour yard", km="9"))
    return day


def test_commands_and_forms_hear_the_same() -> None:
    day = a_yard()
    assert reading.mass_mg(day.book, "6lb8oz", "mass") == 2_948_350  # 6.5 lb, to the milligram
    assert reading.money(day.book, "30 bucks", "amount") == Decimal(30)
    assert reading.minutes("an hour and a half", "minutes") == 90
    said = day.refuses(quote, "harbour", "motors", "180 a ton")
    assert "which one" in said.expected or "short ton" in said.expected
    day.do(quote, "harbour", "motors", "thirty two and a half cents")
    day.do(quote, "harbour", "light-iron", "9 bucks a hundredweight")
    assert {q.grade: (q.price, q.unit) for q in trading.quotes(day.book)} == {
        "motors": (Decimal("0.325"), "lb"), "light-iron": (Decimal("0.09"), "lb"),
    }  # fmt: skip


def test_a_range_is_kept_and_counts_at_its_middle() -> None:
    day = a_yard()
    lines = read_list(day.book, "harbour", "motors 28 to 34 cents, cast iron 9-11c, pewter 3.25")
    day.do(save_list, "harbour", lines)
    said = {q.grade: (q.low, q.price, q.high) for q in trading.quotes(day.book)}
    assert said == {
        "motors": (Decimal("0.28"), Decimal("0.31"), Decimal("0.34")),
        "cast-iron": (Decimal("0.09"), Decimal("0.10"), Decimal("0.11")),
        "pewter": (None, Decimal("3.25"), None),
    }
    sheet = report_sheet(day.book, day.context().day)
    (price,) = next(row for row in sheet.rows if row.grade == "motors").cells[0].prices
    assert price.ends is not None
    assert [end * float(LB) for end in price.ends] == pytest.approx([0.28, 0.34])
    assert price.per_kg * float(LB) == pytest.approx(0.31)


def test_a_planned_price_is_as_wide_as_was_said() -> None:
    """Its middle stays what the plan counts with."""
    wide = spread(Estimate.exact(0.31), (0.28, 0.34))
    assert (wide.low, wide.high) == pytest.approx((0.28, 0.34)) and wide.mean == pytest.approx(0.31)
    assert spread(Estimate(0.2, 0.31, 0.42), (0.28, 0.34)).low == pytest.approx(0.2)


AFTERNOON = dt.datetime(2026, 11, 30, 14, 0)  # a Monday


@pytest.mark.parametrize(
    ("text", "day", "time"),
    [
        ("this morning at ten", "2026-11-30", "10:00"), ("yesterday 3 pm", "2026-11-29", "15:00"),
        ("3pm yesterday", "2026-11-29", "15:00"), ("at 13:30", "2026-11-30", "13:30"),
        ("sunday 15:30", "2026-11-29", "15:30"), ("last friday at noon", "2026-11-27", "12:00"),
        ("yesterday evening at half past eight", "2026-11-29", "20:30"), ("last night at ten", "2026-11-29", "22:00"),
        ("at quarter to nine", "2026-11-30", "08:45"), ("10 o'clock", "2026-11-30", "10:00"),
        ("2026-11-28 at 3 p.m.", "2026-11-28", "15:00"), ("at three thirty pm yesterday", "2026-11-29", "15:30"),
        ("monday 3 pm", "2026-11-23", "15:00"),  # today's is still to come
    ],
)  # fmt: skip
def test_a_time_of_day_as_it_is_said(text: str, day: str, time: str) -> None:
    assert read_moment(text, AFTERNOON, HERE, "on") == (dt.date.fromisoformat(day), dt.time.fromisoformat(time))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("yesterday at three", "Sunday 29 November at 03:00 or Sunday 29 November at 15:00: which one"),
        ("at ten to two", "Monday 30 November at 01:50 or Monday 30 November at 13:50: which one"),
        ("yesterday 3 pm sharpish", '"yesterday 3 pm" was understood, "sharpish" was not'),
        ("15:30", "nothing of it was understood"),  # as well an hour and a half a day long
        ("at 25:00", "nothing of it was understood"), ("yesterday 15 am", '"yesterday" was understood'),
    ],
)  # fmt: skip
def test_a_time_of_day_that_may_be_two_or_none_is_refused(text: str, expected: str) -> None:
    with pytest.raises(BadQuantity) as said:
        read_moment(text, AFTERNOON, HERE, "on")
    assert expected in said.value.expected


def test_a_day_without_a_time_stays_one() -> None:
    assert read_moment("yesterday morning", AFTERNOON, HERE, "on") == (dt.date(2026, 11, 29), None)
