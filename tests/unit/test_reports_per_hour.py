"""Money for an hour, worked by hand: each figure beside the sum it comes from. Prices and finds are invented."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest
from ledger_day import Day, found, trading_day

from partway.actions.bench import selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books import money
from partway.actions.buyers import buyers
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.tickets import LineGiven, ticket
from partway.ledger.balance.sheet import sheet, tips_in
from partway.reports.books.per_hour import PerHour, report_per_hour
from partway.valuing.ends.diverted import report_diverted
from partway.valuing.ends.flows import FlowNames, report_flows, rows_of
from partway.valuing.window import months_up_to, window

OUT = [PieceGiven("cover", "6 kg"), PieceGiven("tray", "3 kg"), PieceGiven("ring", "1 kg")]
MONTH = dt.timedelta(days=30)


def report(day: Day, months: int = 3) -> PerHour:
    prices = scenario_from_book(day.book, day.now.date(), counting=False, waiting={})
    return report_per_hour(day.book, prices, window(day.book, day.now, months))


def worked_day() -> Day:
    """One microwave opened in 12 minutes, of which 6 kg of light iron, 3 kg of glass, 1 kg of residue; 4 kg sold."""
    day = trading_day()
    day.do(open_up, found(day, "microwave", mass="10 kg"), OUT, minutes=12)
    day.do(quote, "ridge", "light-iron", "0.9 /kg")  # not what it brought
    day.do(quote, "ridge", "glass", "0.1 /kg")
    day.do(hauls.start, ["harbour"])
    day.do(ticket, "harbour", [LineGiven("light-iron", "4 kg", "0.5 /kg", own="yard")], None, [("dirt", "0.20")])
    day.do(hauls.finish, None, "30", "40")
    day.do(money.hours, "collect", "1 h")
    day.do(money.spend, "fuel", "1.50")
    return day


def test_a_kind_is_credited_with_what_came_out_at_what_it_brought() -> None:
    line, *others = report(worked_day()).kinds.lines
    assert others == []
    assert (line.kind, line.openings, line.timed, line.minutes) == ("microwave", 1, 1, 12)
    assert line.out_kg == pytest.approx(9.0)  # residue goes into no bin
    assert line.at_tickets == pytest.approx(6 * 2.00 / 4)  # 4 kg brought 2.00
    assert line.at_quotes == pytest.approx(3 * 0.1)  # glass was not sold
    assert line.unpriced_kg == 0
    assert line.per_hour == pytest.approx((3.00 + 0.30) / 12 * 60)
    assert any("capacitor" in caution.lower() for caution in line.cautions)  # to be read before the money


def test_hours_and_costs_of_no_kind_are_named_and_counted_in_the_end() -> None:
    kinds = report(worked_day()).kinds
    assert dict(kinds.overhead) == {"collect": 60, "haul": 40}
    assert kinds.costs == Decimal("-1.70")  # fuel and the dirt taken off
    assert kinds.per_hour == pytest.approx(3.30 / 12 * 60)
    assert kinds.per_hour_with_all == pytest.approx((3.30 - 1.70) / 112 * 60)


def test_in_all_it_is_cash_over_every_hour() -> None:
    said = report(worked_day())
    for cash in (said.month, said.weeks, said.window):
        assert (cash.income, cash.costs) == (Decimal("2.00"), Decimal("-1.70"))
        assert cash.per_hour == pytest.approx(0.30 / 112 * 60)


def test_money_passes_through_activities() -> None:
    lines = {line.activity: line for line in report(worked_day()).activities}
    assert [(name, lines[name].minutes) for name in lines] == [("collect", 60), ("haul", 40), ("bench", 12)]
    assert sum(line.share for line in lines.values()) == pytest.approx(1.0)
    assert lines["collect"].money is None and lines["collect"].per_hour is None
    assert lines["haul"].per_hour == pytest.approx((2.00 - 0.20) / 40 * 60)
    assert lines["bench"].per_hour == pytest.approx(3.30 / 12 * 60)


def test_parts_count_for_their_kind_less_fees_and_postage() -> None:
    day = worked_day()
    fan = found(day, "fan", mass="3 kg", works="yes")
    day.do(selling.sell, fan, "20", fee="2", postage="4.50", minutes=30)
    line = next(line for line in report(day).kinds.lines if line.kind == "fan")
    assert (line.parts, line.money, line.minutes) == (13.5, 13.5, 30)
    assert line.per_hour == pytest.approx(27.0)
    lists = next(line for line in report(day).activities if line.activity == "list")
    assert lists.per_hour == pytest.approx(27.0)


def test_what_nobody_quotes_is_no_money_and_is_said() -> None:
    day = trading_day()
    day.do(open_up, found(day, "microwave", mass="10 kg"), OUT, minutes=12)
    line = report(day).kinds.lines[0]
    assert (line.money, line.per_hour) == (0.0, 0.0)
    assert line.unpriced_kg == pytest.approx(9.0)


def test_an_opening_without_minutes_is_counted_as_such_and_no_hour_is_made_up() -> None:
    day = worked_day()
    day.do(open_up, found(day, "microwave", mass="10 kg"), OUT)
    said = report(day)
    line = said.kinds.lines[0]
    assert (line.openings, line.timed, line.untimed) == (2, 1, 1)
    assert any(note.startswith("1 of 2 openings have no minutes") for note in said.notes)
    other = trading_day()
    other.do(quote, "ridge", "light-iron", "0.9 /kg")
    other.do(open_up, found(other, "microwave", mass="10 kg"), OUT)
    said = report(other)
    assert said.kinds.lines[0].per_hour is None and said.kinds.per_hour is None and said.kinds.money > 0


def test_months_begin_where_the_person_is() -> None:
    """An hour before midnight of the last of March in a zone four hours behind is April in UTC."""
    day = trading_day()
    day.now = dt.datetime(2026, 3, 31, 23, 0, tzinfo=day.now.tzinfo)
    day.do(money.hours, "bench", "2 h")
    day.now = dt.datetime(2026, 4, 2, 9, 0, tzinfo=day.now.tzinfo)
    day.do(money.hours, "bench", "1 h")
    lines = report(day).months
    assert [(line.first, line.whole, line.minutes) for line in lines] == [
        (dt.date(2026, 3, 1), True, 120),
        (dt.date(2026, 4, 1), False, 60),
    ]
    assert lines[0].per_hour == 0.0
    firsts = months_up_to(day.now, 14)
    assert firsts[:3] == [dt.date(2025, 3, 1), dt.date(2025, 4, 1), dt.date(2025, 5, 1)]


def test_the_window_leaves_out_what_was_before_it() -> None:
    day = worked_day()
    day.now += 3 * MONTH
    day.do(money.hours, "bench", "1 h")
    assert report(day, 1).kinds.lines == ()
    assert report(day, 1).since == dt.date(2026, 6, 1)
    whole = report(day, 0)
    assert whole.since is None
    assert [line.kind for line in whole.kinds.lines] == ["microwave"]
    assert dict(whole.kinds.overhead) == {"collect": 60, "haul": 40, "bench": 60}


def test_an_empty_book_has_no_hour_to_speak_of() -> None:
    said = report(Day(currency=None))
    assert said.month.per_hour is None and said.kinds.lines == () and said.kinds.per_hour_with_all is None
    assert [(line.whole, line.per_hour) for line in said.months] == [(False, None)]


def test_where_the_kilograms_went_worked_by_hand() -> None:
    day = worked_day()
    day.do(buyers.buyer, "hill", buyers.Terms(kind="tip", km="3"))
    day.do(ticket, "hill", [LineGiven("glass", "1 kg", "-0.05 /kg", own="yard")])
    book = day.book
    names = FlowNames({"microwave": "Microwave"}, {}, {}, tips_in(book.facts("buyer:")))
    flows = report_flows(book.moved(), names)
    rows = [row for several in rows_of(flows).values() for row in several]
    assert {(row.place.id, to.id): mg / 1e6 for row in rows for to, mg in row.to} == {
        ("collected", "kind:microwave"): 10.0,
        ("kind:microwave", "grade:light-iron"): 6.0,
        ("kind:microwave", "grade:glass"): 3.0,
        ("kind:microwave", "grade:residue"): 1.0,
        ("grade:residue", "residue"): 1.0,
        ("grade:light-iron", "buyer:harbour"): 4.0,
        ("grade:light-iron", "bins"): 2.0,
        ("grade:glass", "buyer:hill"): 1.0,
        ("grade:glass", "bins"): 2.0,
    }
    assert [(p.name, p.sort) for p in flows.of("kind")] == [("Microwave", "kind")]
    assert [p.id for p in flows.of("tip")] == ["buyer:hill"]
    report = report_diverted(sheet(book.balances(), names.tips), names.tips, window(book, day.now, 1).steps)
    ends = report.whole
    assert (ends.came, ends.reused, ends.recycled, ends.tipped) == (10_000_000, 0, 4_000_000, 1_000_000)
    assert (ends.residue, ends.lost, ends.stock) == (1_000_000, 0, 4_000_000)
    assert ends.share == pytest.approx(4 / 6)
    assert report.steps[0].ends == ends
