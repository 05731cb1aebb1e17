"""Pages of the ledger from the newest backwards, and one event with what became of it."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from uuid import UUID

import pytest
from ledger_day import START, Day, found, trading_day

from partway.actions.bench import finds
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.books.changes import changeable, changed
from partway.actions.books.corrections import correct
from partway.actions.buyers.quoting import quote
from partway.errors import Refused
from partway.ledger.events.kinds import Corrected, Quoted, Recounted, Set
from partway.reports.books.ledger_page import Reader
from partway.reports.called import Called
from partway.things.units import ShownUnits

TODAY = START.date()


def reader(day: Day, unit: str = "kg") -> Reader:
    return Reader(day.book, ShownUnits(unit), dt.UTC)


def last(day: Day, kind: str) -> UUID:
    return day.book.newest(1, kinds=(kind,))[0].id


def spending(times: int) -> Day:
    day = Day()
    for number in range(times):
        day.do(money.spend, f"blade {number}", f"{number + 1}", "blades")
    return day


def test_pages_follow_one_another_and_leave_nothing_out() -> None:
    day = spending(7)
    first = reader(day).leaf(("spent",), most=3)
    assert [line.line.words for line in first.lines] == [f"blade {n}: {n + 1}.00 (blades)" for n in (6, 5, 4)]
    assert first.older is not None
    second = reader(day).leaf(("spent",), before=UUID(first.older), most=3)
    assert second.older is not None
    third = reader(day).leaf(("spent",), before=UUID(second.older), most=3)
    assert [line.line.words[:7] for line in (*second.lines, *third.lines)] == [f"blade {n}" for n in (3, 2, 1, 0)]
    assert third.older is None


def test_with_names_no_line_says_an_id() -> None:
    """The list is read by people: kinds, grades, bins and buyers by name, an event by what it was."""
    day = trading_day()
    day.do(finds.find, "fan", mass="3 kg", works="no")
    day.do(quote, "harbour", "copper-2", "4.10 /lb")
    day.do(money.spend, "blades", "9.50", "blades")
    day.do(correct, str(last(day, "spent")), "typed twice")
    called = Called(day.book, dt.date(2026, 3, 14), dt.UTC)
    lines = Reader(day.book, ShownUnits(), dt.UTC, called).leaf().lines
    said = {line.line.kind: line.line.words for line in lines}
    assert said["quoted"].startswith("harbour No. 2 copper: 4.10 /lb")
    assert said["found"].startswith("fan: fan, 3.0 kg, does not work")
    assert said["corrected"] == "the expense “blades” taken back: typed twice"


def test_a_page_that_is_just_full_has_no_next() -> None:
    assert reader(spending(3)).leaf(("spent",), most=3).older is None
    assert reader(Day(currency=None)).leaf().lines == ()


def test_a_line_that_no_longer_counts_says_what_does() -> None:
    day = trading_day()
    day.do(finds.find, "fan", mass="3 kg")
    day.do(correct, str(last(day, "found")), "typed twice over", {"count": "2"})
    lines = {line.event: line for line in reader(day).leaf(("found",)).lines}
    wrong, right = sorted(lines)
    assert (lines[wrong].line.counts, lines[right].line.counts) == (False, True)
    assert (lines[wrong].instead, lines[right].instead) == (right, "")


def test_one_event_with_what_took_it_back_and_what_counts_instead() -> None:
    day = trading_day()
    day.do(finds.find, "fan", mass="3 kg")
    wrong = day.book.newest(1, kinds=("found",))[0]
    day.do(correct, str(wrong.id), "miscounted", {"count": "2"})
    said = reader(day, "lb").event(wrong)
    assert not said.line.counts and said.subjects == ("find:fan-1",)
    assert [line.line.kind for line in said.taken_back_by] == ["corrected"]
    assert said.instead is not None and said.instead.line.words == "fan-1: 2 × fan, 6.6 lb"
    assert said.takes_back is None
    correction = day.book.newest(1, kinds=("corrected",))[0]
    named = reader(day).event(correction).takes_back
    assert named is not None and named.event == str(wrong.id)


def test_weighings_that_stand_whatever_is_corrected_before_them() -> None:
    day = trading_day()
    day.do(open_up, found(day, "microwave", mass="13 kg"), [PieceGiven("cover", "1.8 kg")], gap="left")
    opened = day.book.newest(1, kinds=("opened",))[0]
    assert reader(day).event(opened).later == ()
    day.do(bins.recount, "light-iron", "1.7 kg")
    later = reader(day).event(opened).later
    assert [line.line.words for line in later] == ["bin light-iron holds 1.7 kg, it was down as 1.8 kg"]
    day.do(correct, str(last(day, "recounted")), "wrong bin")
    assert reader(day).event(opened).later == ()


@pytest.mark.parametrize("kind", ["found", "spent", "quoted", "worked", "opened"])
def test_what_may_be_said_anew_can_be_read_again_as_it_stands(kind: str) -> None:
    """Saying every field of an event again as it stands changes nothing but a price's own words."""
    day = trading_day()
    name = found(day, "microwave", mass="13 kg", source="the quay", note="rusty")
    day.do(open_up, name, [PieceGiven("cover", "1.8 kg")], gap="left", minutes=12)
    day.do(quote, "ridge", "light-iron", "0.2 /kg")
    day.do(money.spend, "fuel", "25", "fuel")
    day.do(money.hours, "bench", "2 h")
    what = day.book.newest(1, kinds=(kind,))[0].what
    again = changed(day.book, what, changeable(what, "mi"), TODAY)
    if isinstance(what, Quoted):
        assert isinstance(again, Quoted) and (again.price, again.unit) == (what.price, what.unit)
    else:
        assert again == what


def test_one_price_said_anew_takes_the_place_of_a_range() -> None:
    day = trading_day()
    day.do(quote, "ridge", "light-iron", "12 to 18 c/lb")
    what = day.book.newest(1, kinds=("quoted",))[0].what
    assert isinstance(what, Quoted) and (what.low, what.high) == (Decimal("0.12"), Decimal("0.18"))
    assert "low" not in changeable(what, "km") and "high" not in changeable(what, "km")
    again = changed(day.book, what, {"price": "0.16 /lb"}, TODAY)
    assert isinstance(again, Quoted) and (again.price, again.low, again.high) == (Decimal("0.16"), None, None)
    later = changed(day.book, what, {"on": "2026-01-02"}, TODAY)
    assert isinstance(later, Quoted) and later.low == what.low


def test_what_could_never_be_said_anew_is_not_offered() -> None:
    """`opening` of a recount was offered and every answer to it refused; the name of a setting would have made another
    setting, past its checks.
    """
    assert changeable(Recounted("drum", "light-iron", 1_000_000, 0, opening=True), "km") == {"mass": "1 kg"}
    assert changeable(Set("wage", "12"), "km") == {}
    # Another reason for a correction took back with the old one what had counted instead: a find without a kind.
    assert changeable(Corrected(UUID(int=1), "typed wrong", UUID(int=2)), "km") == {}
    day = trading_day()
    for what, name in ((Recounted("drum", "light-iron", 1, 0), "opening"), (Set("wage", "12"), "name")):
        with pytest.raises(Refused, match=name):
            changed(day.book, what, {name: "no"}, TODAY)
