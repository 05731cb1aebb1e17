"""The sheet of grades and buyers: each state told apart, the best marked, ages classed."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import Day, stocked, trading_day

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.catalogue import shipped
from partway.reports.buyers.sheet import Cell, GradeRow, PriceSheet, report_sheet
from partway.things.ages import age_of


@pytest.fixture
def day() -> Day:
    return trading_day(unit="lb")


def sheet(day: Day, family: str = "") -> PriceSheet:
    return report_sheet(day.book, day.now.date(), family)


def row(day: Day, grade: str) -> GradeRow:
    return next(row for row in sheet(day).rows if row.grade == grade)


def cells(day: Day, grade: str) -> dict[str, Cell]:
    return {cell.buyer: cell for cell in row(day, grade).cells}


def test_quoted_refused_not_taken_and_unquoted_are_states_of_their_own(day: Day) -> None:
    day.do(quote, "ridge", "li-ion", "0.40 /lb")
    day.do(quote, "boards", "li-ion", "0.20 /lb")
    day.do(quote, "boards", "li-ion", "no")
    found = cells(day, "li-ion")
    assert {buyer: cell.state for buyer, cell in found.items()} == {
        "harbour": "refused",
        "ridge": "quoted",
        "boards": "not taken",
    }
    assert found["harbour"].because == ("li-ion",) and found["harbour"].days is None
    assert (row(day, "li-ion").careful, row(day, "li-ion").unquoted) == (("Lithium-ion battery",), 0)
    day.do(quote, "ridge", "copper-2", "4.10 /lb")
    unquoted = cells(day, "copper-2")["harbour"]
    assert (unquoted.state, unquoted.prices, unquoted.days, unquoted.best) == ("unquoted", (), None, None)


def test_a_price_of_zero_is_quoted_and_a_fee_is_below_it(day: Day) -> None:
    day.do(quote, "ridge", "residue", "-0.05 /lb")
    day.do(quote, "harbour", "light-iron", "0 /lb")
    assert cells(day, "light-iron")["harbour"].prices[0].per_kg == 0.0
    assert row(day, "light-iron").best == ("harbour",)
    fee = next(row for row in sheet(day).rows if row.grade == "residue")
    assert fee.best == ("ridge",)
    assert next(cell.prices[0].price for cell in fee.cells if cell.buyer == "ridge") == Decimal("-0.05")


def test_a_refusal_said_later_outranks_the_price(day: Day) -> None:
    day.do(quote, "ridge", "copper-2", "4.10 /lb")
    day.do(buyer, "ridge", Terms(refuses=["copper"]))
    cell = cells(day, "copper-2")["ridge"]
    assert (cell.state, cell.because, cell.prices, row(day, "copper-2").best) == ("refused", ("copper",), (), ())


def test_the_best_is_that_of_the_lot_in_stock(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    day.do(quote, "ridge", "copper-2", "4.00 /lb")
    day.do(quote, "ridge", "copper-2", "4.30 /lb", from_lot="60 lb")
    assert (row(day, "copper-2").best, row(day, "copper-2").for_stock) == (("harbour",), False)
    stocked(day, copper_2=20.0)
    assert (row(day, "copper-2").best, row(day, "copper-2").for_stock) == (("harbour",), True)
    stocked(day, copper_2=30.0)  # 66 lb
    assert row(day, "copper-2").best == ("ridge",)
    assert cells(day, "copper-2")["ridge"].best == 1  # the tier, the second of its prices
    assert cells(day, "copper-2")["harbour"].best is None


def test_a_lot_below_every_minimum_has_the_best_of_the_smallest_lots(day: Day) -> None:
    day.do(quote, "ridge", "copper-2", "4.30 /lb", minimum="60 lb")
    stocked(day, copper_2=1.0)
    assert (row(day, "copper-2").best, row(day, "copper-2").for_stock) == (("ridge",), False)


def test_equal_prices_are_both_best_in_whatever_unit_they_were_said(day: Day) -> None:
    day.do(quote, "harbour", "light-iron", "180 /short ton")
    day.do(quote, "ridge", "light-iron", "0.09 /lb")
    assert row(day, "light-iron").best == ("harbour", "ridge")
    assert cells(day, "light-iron")["harbour"].prices[0].unit == "short ton"


def test_postage_decides_and_is_named(day: Day) -> None:
    day.do(quote, "boards", "copper-2", "4.20 /lb")
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    assert row(day, "copper-2").best == ("harbour",)
    columns = {column.buyer: column for column in sheet(day).columns}
    assert columns["boards"].postage_per_kg == pytest.approx(22 / (40 * 0.45359237))
    assert columns["harbour"].postage_per_kg == 0.0


def test_grades_in_stock_or_with_a_word_by_family_and_the_rest_counted(day: Day) -> None:
    stocked(day, motors=3.0)
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    found = sheet(day)
    assert {row.grade for row in found.rows} == {"motors", "copper-2"}
    assert [family.name for family in found.families] == sorted(family.name for family in found.families)
    assert row(day, "motors").best == () and row(day, "motors").stock_kg == 3.0
    assert found.hidden == len(shipped().grades) - 2
    copper = sheet(day, "copper")
    assert {row.grade for row in copper.rows} == {g.id for g in shipped().grades.values() if g.family == "copper"}
    assert copper.hidden == 0 and sheet(day, "no such family").rows == ()


@pytest.mark.parametrize(
    ("days", "age"), [(0, "fresh"), (14, "fresh"), (15, "ageing"), (30, "ageing"), (31, "old")]
)  # common practice, no source
def test_ages(days: int, age: str) -> None:
    assert age_of(days) == age


def test_columns_say_when_a_buyer_was_last_heard(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    later = report_sheet(day.book, day.now.date() + dt.timedelta(days=40))
    columns = {column.buyer: column for column in later.columns}
    assert (columns["harbour"].heard, columns["harbour"].stale, columns["harbour"].quoted) == (40, 1, 1)
    assert (columns["ridge"].heard, columns["ridge"].quoted) == (None, 0)


def test_a_word_dated_after_the_day_is_not_heard_yet(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    assert report_sheet(day.book, day.now.date() - dt.timedelta(days=1)).rows == ()


def test_without_buyers_or_stock_there_is_an_empty_sheet() -> None:
    found = sheet(Day())
    assert (found.columns, found.families) == ((), ())
