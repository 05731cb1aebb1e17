"""What to ask each buyer: what is old or was never said, of what is in stock, by the money that hangs on it."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import Day, stocked, trading_day

from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.recording.context import record
from partway.ledger.events.kinds import Quoted
from partway.ledger.fold import standing
from partway.reports.buyers.calls import report_calls
from partway.reports.buyers.sheet import report_sheet
from partway.things.ages import NOTICE_DAYS
from partway.valuing.best_prices import PriceToAsk, asks_by_buyer
from partway.valuing.lots import stock_of
from partway.valuing.price_book import PriceBook


@pytest.fixture
def day() -> Day:
    """Two yards and a mail-in, of which harbour refuses lithium cells; copper and motors in the bins."""
    day = trading_day(unit="kg")
    stocked(day, copper_2=5.0, motors=20.0, li_ion=2.0)
    return day


def asks(day: Day, name: str) -> tuple[PriceToAsk, ...]:
    stock = stock_of(standing.bins(day.book).values())
    return asks_by_buyer(PriceBook.of(day.book, day.now.date()), stock)[name]


def said(day: Day, name: str, grade: str, price: str, days: int) -> None:
    """A price heard so many days ago."""
    on = day.now.date() - dt.timedelta(days=days)
    record(day.book, day.context(), [Quoted(name, grade, Decimal(price), "kg", on)], None)


def test_one_that_never_spoke_is_asked_about_all_it_may_take(day: Day) -> None:
    assert {ask.grade for ask in asks(day, "harbour")} == {"copper-2", "motors"}
    assert {ask.grade for ask in asks(day, "ridge")} == {"copper-2", "motors", "li-ion"}
    assert all(ask.days is None and ask.at_stake is None for ask in asks(day, "ridge"))


def test_most_money_comes_first_and_what_nobody_prices_last(day: Day) -> None:
    """5 kg at 8 are 40; 20 kg at 1 are 20; nobody prices the cells."""
    said(day, "harbour", "copper-2", "8", 0)
    said(day, "harbour", "motors", "1", 0)
    assert [(ask.grade, ask.at_stake) for ask in asks(day, "ridge")] == [
        ("copper-2", 40.0),
        ("motors", 20.0),
        ("li-ion", None),
    ]


def test_a_price_is_asked_for_again_once_it_is_worth_a_second_look(day: Day) -> None:
    said(day, "ridge", "copper-2", "8", NOTICE_DAYS)
    assert asks(day, "ridge") == (), "as good as today's; and it has no word on other families"
    said(day, "harbour", "copper-2", "8", NOTICE_DAYS + 1)
    assert asks(day, "harbour") == (PriceToAsk("copper-2", 5.0, NOTICE_DAYS + 1, 40.0),)


def test_a_charge_is_at_stake_like_a_price(day: Day) -> None:
    said(day, "ridge", "motors", "-0.1", 99)
    (only,) = asks(day, "ridge")
    assert only.grade == "motors" and only.at_stake == pytest.approx(2.0)


def test_one_that_no_longer_takes_it_is_left_alone(day: Day) -> None:
    day.do(quote, "ridge", "motors", "1 /kg")
    day.do(quote, "ridge", "motors", "no")
    assert "motors" not in {ask.grade for ask in asks(day, "ridge")}


def test_whom_to_ask_about_the_most_money_stands_first(day: Day) -> None:
    said(day, "boards", "motors", "1", 0)
    said(day, "ridge", "motors", "1", 99)
    day.do(buyer, "ridge", Terms(phone="555-0142"))
    rows = report_calls(day.book, day.now.date(), report_sheet(day.book, day.now.date()))
    assert [(row.buyer, row.at_stake, row.phone) for row in rows] == [
        ("harbour", 20.0, ""),
        ("ridge", 20.0, "555-0142"),
        ("boards", 0.0, ""),
    ]
    assert [(ask.name, ask.days) for ask in rows[1].asks] == [("Electric motors", 99)]
