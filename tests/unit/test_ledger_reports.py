"""What the ledger's pages are made from: today, the stock, the events in words, money and hours."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest
from ledger_day import Day, found, stocked, trading_day

from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.books.corrections import correct
from partway.actions.books.queries import filters
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.recording.context import record
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.events.kinds import Deduction, Paid, Ticketed
from partway.reports.bins.all import report_bins
from partway.reports.bins.listed import Stock, listed
from partway.reports.books.ledger import report_ledger
from partway.reports.books.overview import Overview, report_overview
from partway.reports.home.today import There, Today, report_today
from partway.things.units import ShownUnits
from partway.valuing.earned import earned


def today(day: Day, days_on: int = 0) -> Today:
    now = day.now + dt.timedelta(days=days_on)
    there = There.of(day.book, ShownUnits(), now.tzinfo)
    return report_today(day.book, scenario_from_book(day.book, now.date(), counting=False), now, (), there)


def stands(day: Day, days_on: int = 0) -> Overview:
    now = day.now + dt.timedelta(days=days_on)
    return report_overview(day.book, scenario_from_book(day.book, now.date(), counting=False), now)


def stock(day: Day, days_on: int = 0) -> Stock:
    return listed(report_bins(day.book, day.now + dt.timedelta(days=days_on)), "CAD", "kg")


def test_an_empty_day() -> None:
    report = stands(Day(currency=None))
    assert not (report.waiting or report.bins or report.stale or report.unpaid or report.cautions)
    first = today(Day(currency=None))
    assert first.earned.per_hour is None and not (first.acts or first.cautions)
    assert report.handled.in_kg == 0


def test_cautions_are_of_what_is_there_and_finds_wait_oldest_first() -> None:
    day = trading_day()
    found(day, "microwave")
    day.now += dt.timedelta(days=2)
    found(day, "fan", mass="3 kg", works="no")
    stocked(day, lead_acid=15)
    report = stands(day)
    assert [(w.find, w.days, w.mass_kg) for w in report.waiting] == [("microwave-1", 2, None), ("fan-1", 0, 3.0)]
    hazards = {caution.id: caution.kinds for caution in report.cautions}
    assert hazards["hv-capacitor"] == ("microwave",)
    assert "lead-acid" in hazards


def test_bins_near_their_capacity_a_minimum_lot_or_a_tier() -> None:
    day = trading_day()
    day.do(bins.add_bin, "copper-2", capacity="10 L")  # bulk density 1.2 kg/L in the catalogue, from memory
    day.do(bins.recount, "copper-2", "9.6 kg")
    day.do(quote, "ridge", "copper-2", "9 /kg")
    day.do(quote, "ridge", "copper-2", "9.5 /kg", "11 kg")
    day.do(quote, "harbour", "copper-2", "9.2 /kg", None, "8 kg")
    day.do(quote, "harbour", "copper-2", "9.9 /kg", "100 kg")
    due = {(d.what, d.buyer): d.share for d in stands(day).bins}
    assert due == {
        ("full", ""): pytest.approx(0.8),
        ("minimum", "harbour"): pytest.approx(1.2),
        ("tier", "ridge"): pytest.approx(9.6 / 11),
    }


def test_old_prices_of_what_is_in_stock_are_named_and_others_are_not() -> None:
    day = trading_day()
    stocked(day, copper_2=5, magnesium=2)
    day.do(quote, "ridge", "copper-2", "9 /kg")
    day.do(quote, "ridge", "motors", "1 /kg")
    assert [(s.grade, s.days) for s in stands(day).stale] == [("magnesium", None)]
    assert [(s.grade, s.buyer, s.days) for s in stands(day, 15).stale] == [
        ("copper-2", "ridge", 15),
        ("magnesium", "", None),
    ]


def test_money_and_hours_of_the_last_weeks() -> None:
    day = trading_day()
    stocked(day, copper_2=10)
    day.do(hauls.start, ["harbour"])
    day.do(ticket, "harbour", [LineGiven("copper-2", "10 kg", "9 /kg")], "85", [("dirt", "5")])
    day.do(hauls.finish, None, "30", "1 h")
    day.do(money.spend, "fuel", "25")
    day.do(money.hours, "bench", "2 h")
    report = today(day)
    assert (report.earned.income, report.earned.costs, report.earned.net) == (Decimal(90), Decimal(-30), Decimal(60))
    assert report.earned.minutes == {"haul": 60, "bench": 120}
    assert report.earned.per_hour == pytest.approx(20.0)
    assert [(u.ticket, u.open) for u in stands(day).unpaid] == [("ticket-1", Decimal("85.00"))]
    assert today(day, 40).earned.per_hour is None
    event = next(iter(day.book.events(("spent",))))
    day.do(correct, str(event.id))
    assert earned(day.book, day.now + dt.timedelta(minutes=1), 28).costs == -5


def test_mass_handled_and_diverted_leaves_out_the_tip() -> None:
    day = trading_day()
    day.do(buyer, "hill", Terms(kind="tip", km="3"))
    one = found(day, "microwave", mass="10 kg")
    pieces = [PieceGiven("cover", "6 kg"), PieceGiven("tray", "3 kg"), PieceGiven("ring", "1 kg")]
    day.do(open_up, one, pieces)
    day.do(ticket, "harbour", [LineGiven("light-iron", "6 kg", "0.2 /kg")])
    day.do(ticket, "hill", [LineGiven("glass", "3 kg", "-0.05 /kg")])
    handled = stands(day).handled
    assert (handled.in_kg, handled.diverted_kg, handled.residue_kg) == (10.0, 6.0, 1.0)


def test_what_tickets_still_owe_whatever_is_written_on_them() -> None:
    """The same as total less payments of every ticket read in full, also where a text looks like a total."""
    day, posing = Day(), 'a "total":"0.00" of nothing'
    totals = {"t-a": "10.50", "t-b": "7", "t-c": "3.10", "t-d": "0", "t-e": "2"}
    for name, total in totals.items():
        off = (Deduction(posing, Decimal(1)),)
        record(day.book, day.context(), [Ticketed(name, "yard", (), Decimal(total), off, number=posing)], None)
    for paid_for, amount in [("t-a", "4.50"), ("t-b", "7"), ("t-c", "3"), ("t-c", "0.1"), ("t-e", "5"), (None, "9")]:
        record(day.book, day.context(), [Paid("yard", Decimal(amount), paid_for)], None)
    owed = trading.owed(day.book)
    assert {name: (one.buyer, one.total, one.open) for name, one in owed.items()} == {
        "t-a": ("yard", Decimal("10.50"), Decimal("6.00"))
    }
    read = {name: t.total - trading.paid(day.book).get(name, 0) for name, t in trading.tickets(day.book).items()}
    assert {name: one.open for name, one in owed.items()} == {name: left for name, left in read.items() if left > 0}


def test_hauls_under_way() -> None:
    day = trading_day()
    day.do(hauls.start, ["ridge"])
    assert [h.id for h in today(day).hauls] == ["haul-1"]
    day.do(hauls.finish)
    assert today(day).hauls == ()


def test_stock_at_the_best_price_that_the_lot_reaches() -> None:
    day = trading_day()
    stocked(day, copper_2=20, magnesium=2, board_pc=3)
    day.do(quote, "harbour", "copper-2", "9 /kg")
    day.do(quote, "ridge", "copper-2", "9.5 /kg", "50 kg")
    day.do(quote, "boards", "board-pc", "7 /kg")
    report = stock(day)
    lines = {line.bin: line for line in report.lines}
    copper = lines["copper-2"].best
    assert copper is not None and copper.buyer == "harbour" and copper.value == pytest.approx(180.0)
    boards = lines["board-pc"].best
    assert boards is not None and boards.price_per_kg == pytest.approx(7 - 14 / 3)  # 3 kg, 6.6 lb, fill no parcel
    assert report.unquoted == ("magnesium",)
    assert report.value == pytest.approx(180.0 + 3 * 7 - 14)


def test_a_small_lot_that_loses_money_by_post_is_not_recommended() -> None:
    """0.5 kg at 7 a kg brings 3.50, the smallest parcel costs 14: it pays from 2 kg."""
    day = trading_day()
    stocked(day, board_pc=0.5)
    day.do(quote, "boards", "board-pc", "7 /kg")
    report = stock(day)
    best = report.lines[0].best
    assert best is not None and (best.value, best.by_post, best.least_kg, best.missing_kg) == (None, True, 2.0, 1.5)
    assert report.value == 0.0 and report.unquoted == ()
    day.do(quote, "ridge", "board-pc", "0.3 /kg")
    instead = stock(day).lines[0].best
    assert instead is not None and instead.buyer == "ridge" and instead.value == pytest.approx(0.15)


def test_a_bin_below_every_minimum_lot_has_no_value_yet() -> None:
    day = trading_day()
    stocked(day, copper_2=20)
    day.do(quote, "ridge", "copper-2", "9.5 /kg", "50 kg")
    best = stock(day).lines[0].best
    assert best is not None and (best.value, best.by_post, best.least_kg, best.missing_kg) == (None, False, 50.0, 30.0)


def test_the_age_of_a_bin_is_that_of_the_oldest_still_in_it() -> None:
    day = trading_day()
    stocked(day, copper_2=20)
    day.now += dt.timedelta(days=70)
    day.do(bins.recount, "copper-2", "25 kg")
    assert stock(day).lines[0].days == 70
    day.do(ticket, "harbour", [LineGiven("copper-2", "21 kg", "9 /kg", own="21 kg")])
    assert stock(day).lines[0].days == 0
    day.do(ticket, "harbour", [LineGiven("copper-2", "4 kg", "9 /kg")])
    assert stock(day).lines[0].days is None


def busy() -> Day:
    day = trading_day()
    find = found(day, "microwave", mass="13 kg", source="the quay", note="rusty")
    day.do(open_up, find, [PieceGiven("cover", "1.8 kg")], gap="left", minutes=12)
    day.do(quote, "ridge", "light-iron", "0.2 /kg")
    day.do(money.spend, "fuel", "25", "fuel")
    day.do(correct, str(next(iter(day.book.events(("spent",)))).id), "not mine")
    return day


def test_events_in_words_with_what_no_longer_counts() -> None:
    day = busy()
    report = report_ledger(day.book, ShownUnits(), dt.UTC, most=4)
    assert (len(report.lines), report.of) == (4, 10)
    words = {line.kind: line for line in report.lines}
    assert words["opened"].words == "microwave-1 opened in 12 min: cover 1.8 kg into light-iron; not yet all"
    assert words["quoted"].words == "ridge light-iron: 0.2 /kg"
    assert not words["spent"].counts
    assert words["spent"].id in words["corrected"].words and "not mine" in words["corrected"].words
    found_line = report_ledger(day.book, ShownUnits("lb"), dt.UTC, kinds=("found",)).lines[0]
    assert found_line.words == "microwave-1: microwave, 28.7 lb, from the quay (rusty)"


def test_filters_as_people_say_them() -> None:
    day = busy()
    args = (day.book, day.now)
    assert filters(*args, ["open"], "microwave-1", None, None)["kinds"] == ("opened",)
    assert filters(*args, [], "micro", None, None)["subject"] == "find:microwave-1"
    assert filters(*args, [], "light-iron", None, None)["subject"] == "bin:light-iron"
    assert filters(*args, [], "setting:currency", None, None)["subject"] == "setting:currency"
    since = filters(*args, [], None, "today", None)["since"]
    assert since is not None and since.astimezone(day.now.tzinfo).time() == dt.time()
    for kinds, about, when in ((["opend?"], None, None), ([], "nothing", None), ([], "x:y", None), ([], None, "soon")):
        with pytest.raises(Refused):
            filters(*args, kinds, about, when, None)


def test_the_report_of_today_says_when_prices_are_from() -> None:
    day = busy()
    scenario = replace(scenario_from_book(day.book, day.now.date(), counting=False), unit="lb")
    assert report_overview(day.book, scenario, day.now).unit == "lb"
