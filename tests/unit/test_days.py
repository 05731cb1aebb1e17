"""Which day a moment falls on, where a day begins, and times as they are typed on the days when the clock changes.

Changes of daylight saving: America/Toronto 8 March and 1 November 2026 at 2:00, Europe/London 29 March at 1:00 and
25 October at 2:00, Australia/Lord_Howe (half an hour) 4 October and 5 April 2026 at 2:00, America/Havana at midnight
(IANA tz database, files northamerica, europe and australasia, as the packages tzdata and zoneinfo ship it).
"""

from __future__ import annotations

import ast
import datetime as dt
from decimal import Decimal
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledger_day import Day, trading_day

import partway
from partway.actions.books import money
from partway.actions.books.queries import filters
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context, start_said, when
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.days import clock_text, day_of, moments, start_of, zone_named, zone_of
from partway.ledger.events.kinds import Set
from partway.reports.books.ledger import report_ledger
from partway.reports.books.per_hour import report_per_hour
from partway.things.units import ShownUnits
from partway.valuing.window import window

TORONTO, LONDON, LORD_HOWE = (ZoneInfo(z) for z in ("America/Toronto", "Europe/London", "Australia/Lord_Howe"))
ZONES = (TORONTO, LONDON, LORD_HOWE, ZoneInfo("America/Havana"), ZoneInfo("Pacific/Apia"), ZoneInfo("Asia/Kolkata"))
SRC = Path(partway.__file__).parent


def day_in(zone: ZoneInfo, at: dt.datetime) -> Day:
    day = trading_day()
    day.now = at.replace(tzinfo=zone)
    return day


@pytest.mark.parametrize("zone", [TORONTO, LONDON, LORD_HOWE])
def test_fuel_on_the_last_evening_of_the_year_stays_in_its_year_half_a_year_later(zone: ZoneInfo) -> None:
    day = day_in(zone, dt.datetime(2025, 12, 31, 23, 30))
    day.do(money.spend, "fuel", "40", "fuel")
    day.now = dt.datetime(2026, 1, 1, 0, 10, tzinfo=zone)
    day.do(money.spend, "fuel", "7", "fuel")
    day.now = dt.datetime(2026, 7, 2, 9, 0, tzinfo=zone)  # an hour, on Lord Howe half an hour, from the offset of then
    years = window(day.book, day.now, 0)
    assert [(s.first, s.until.astimezone(zone).year) for s in years.steps] == [
        (dt.date(2025, 1, 1), 2026),
        (dt.date(2026, 1, 1), 2026),
    ]
    spent = report_per_hour(day.book, scenario_from_book(day.book, day.now.date()), window(day.book, day.now, 12))
    assert {line.first: line.costs for line in spent.months} == {
        dt.date(2025, 12, 1): Decimal(-40),
        dt.date(2026, 1, 1): Decimal(-7),
        dt.date(2026, 7, 1): Decimal(0),
    }
    old, new = report_ledger(day.book, ShownUnits(), zone, kinds=("spent",)).lines
    assert (old.happened, new.happened) == ("2025-12-31 23:31", "2026-01-01 00:11")
    year = filters(day.book, day.now, ("spent",), None, "2025-01-01", "2026-01-01")
    assert [line.words for line in report_ledger(day.book, ShownUnits(), zone, **year).lines] == ["fuel: 40.00 (fuel)"]


def test_the_last_hour_counts_in_an_hour_that_comes_twice() -> None:
    """Python drops the fold of a local time that something is added to: now would be an hour ago."""
    day = day_in(TORONTO, dt.datetime(2026, 11, 1))
    first = dt.datetime(2026, 11, 1, 5, 50, tzinfo=dt.UTC).astimezone(TORONTO)  # 01:50, the first time
    second = dt.datetime(2026, 11, 1, 6, 20, tzinfo=dt.UTC).astimezone(TORONTO)  # 01:20, the second time
    for now, cost in ((first, "40"), (second, "5")):
        money.spend(day.book, Context("me", lambda now=now: now, day.ids), "fuel", cost, "fuel")  # type: ignore[misc]
    assert [line.amount for line in window(day.book, second, 1).posted] == [-40, -5]


@pytest.mark.parametrize(
    ("zone", "typed", "said"),
    [
        (TORONTO, "2026-03-08 02:30", "8 March 2026 at 02:30"),
        (LONDON, "2026-03-29 01:30", "29 March 2026 at 01:30"),
        (LORD_HOWE, "2026-10-04 02:15", "4 October 2026 at 02:15"),
    ],
)
def test_a_time_that_the_clock_skipped_is_refused_with_words(zone: ZoneInfo, typed: str, said: str) -> None:
    now = dt.datetime(2026, 12, 1, 12, 0, tzinfo=zone)
    with pytest.raises(Refused) as caught:
        when(typed, now)
    assert said in caught.value.given and "skipped" in caught.value.given and zone.key in caught.value.given


@pytest.mark.parametrize(
    ("zone", "typed", "first", "second"),
    [
        (TORONTO, "2026-11-01 01:30", "-04:00", "-05:00"),
        (LONDON, "2026-10-25 01:30", "+01:00", "+00:00"),
        (LORD_HOWE, "2026-04-05 01:45", "+11:00", "+10:30"),
    ],
)
def test_a_time_that_came_twice_is_asked_about(zone: ZoneInfo, typed: str, first: str, second: str) -> None:
    now = dt.datetime(2026, 12, 1, 12, 0, tzinfo=zone)
    with pytest.raises(Asked) as caught:
        when(typed, now)
    assert [answer for answer, _ in caught.value.choices] == [typed + first, typed + second]
    assert caught.value.option == "on" and all(typed + offset in str(caught.value) for offset in (first, second))
    for offset in (first, second):  # as an answer, and as a time typed with its offset
        meant = dt.datetime.fromisoformat(typed + offset).astimezone(dt.UTC)
        assert when(typed, now, chosen=typed + offset).astimezone(dt.UTC) == meant
        assert when(typed + offset, now).astimezone(dt.UTC) == meant
        assert clock_text(meant, zone) == typed + offset
    between = dt.datetime.fromisoformat(typed + first).astimezone(dt.UTC) + dt.timedelta(minutes=1)
    assert when(typed, between.astimezone(zone)).isoformat().endswith(first)  # the second is still to come


def test_a_day_without_a_time_is_never_refused_for_a_time_nobody_typed() -> None:
    now = dt.datetime(2026, 3, 9, 2, 30, tzinfo=TORONTO)
    assert when("yesterday", now).isoformat() == "2026-03-08T03:30:00-04:00"
    second = dt.datetime(2026, 11, 1, 6, 30, tzinfo=dt.UTC).astimezone(TORONTO)
    assert when("today", second).astimezone(dt.UTC) == second.astimezone(dt.UTC)


def test_a_time_to_come_is_seen_in_an_hour_that_comes_twice() -> None:
    """Two times of one zone are compared by what the clock shows: 01:50 the second time would be before 01:55."""
    day = day_in(TORONTO, dt.datetime(2026, 11, 1))
    now = dt.datetime(2026, 11, 1, 5, 55, tzinfo=dt.UTC).astimezone(TORONTO)
    later = dt.datetime(2026, 11, 1, 6, 50, tzinfo=dt.UTC).astimezone(TORONTO)
    with pytest.raises(Refused, match="in the future"):
        money.spend(day.book, Context("me", lambda: now, day.ids, later), "fuel", "4", "fuel")


@given(
    st.datetimes(dt.datetime(1995, 1, 1), dt.datetime(2037, 1, 1), timezones=st.just(dt.UTC)),
    st.sampled_from(ZONES),
)
def test_days_follow_one_another_without_gap_or_overlap(moment: dt.datetime, zone: ZoneInfo) -> None:
    day = day_of(moment, zone)
    assert start_of(day, zone) <= moment < start_of(day + dt.timedelta(days=1), zone)
    assert start_said(day.isoformat(), moment.astimezone(zone), "since") == start_of(day, zone)
    shown = moment.astimezone(zone).replace(tzinfo=None, fold=0)
    assert moment in moments(shown, zone)  # what the clock shows is read as the moment at which it showed it


def test_midnight_that_is_skipped() -> None:
    """Havana goes from 0:00 to 1:00 on 8 March 2026: the day begins at 1:00, which is 5:00 in UTC."""
    zone = ZoneInfo("America/Havana")
    assert start_of(dt.date(2026, 3, 8), zone) == dt.datetime(2026, 3, 8, 5, 0, tzinfo=dt.UTC)
    assert moments(dt.datetime(2026, 3, 8, 0, 30), zone) == ()


def test_a_workspace_takes_the_machines_zone_with_what_is_recorded_first() -> None:
    day = Day(currency=None)

    def context(zone: str) -> Context:
        return Context("me", lambda: day.now, day.ids, zone=zone)

    recorded = money.hours(day.book, context("America/Halifax"), "bench", "1 h")
    assert [event.kind for event in recorded.events] == ["worked"] and len(recorded.undo) == 1
    assert zone_of(day.book) == ZoneInfo("America/Halifax")
    money.hours(day.book, context("Europe/London"), "bench", "1 h")  # on the road: the workspace stays where it is
    assert day.payloads("set") == [Set("zone", "America/Halifax")]
    set_(day.book, context("Europe/London"), "zone", "australia/lord_howe")
    assert zone_of(day.book) == LORD_HOWE
    set_(day.book, context(""), "zone", "UTC-03:30")
    assert zone_of(day.book) == dt.timezone(-dt.timedelta(hours=3, minutes=30), "UTC-03:30")


@pytest.mark.parametrize(("name", "minutes"), [("UTC+14:00", 840), ("UTC-14:00", -840), ("UTC+05:59", 359)])
def test_an_offset_is_at_most_that_of_kiribati(name: str, minutes: int) -> None:
    """UTC+14:00, tz database, Pacific/Kiritimati."""
    assert zone_named(name).utcoffset(None) == dt.timedelta(minutes=minutes)
    assert ZoneInfo("Pacific/Kiritimati").utcoffset(dt.datetime(2026, 3, 14)) == dt.timedelta(hours=14)


@pytest.mark.parametrize(
    "name",
    [
        "Canada", "Nowhere/Here", "../etc/passwd", "UTC-25:00", "UTC+14:01", "UTC-14:01", "UTC+09:75", "UTC+09:60", "",
        "/etc",
    ],
)  # fmt: skip
def test_a_zone_that_is_none_is_refused(name: str) -> None:
    day = Day()
    day.refuses(set_, "zone", name)
    with pytest.raises(ValueError, match=r".*"):
        zone_named(name)


def test_only_one_module_says_which_day_a_moment_falls_on() -> None:
    """Elsewhere a time may be taken to UTC, and nothing else: `astimezone` to a zone is `days.local`."""
    found = []
    for file in sorted(SRC.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "astimezone":
                to = ast.unparse(node.args[0]) if node.args else "the machine's zone"
                if to != "dt.UTC":
                    found.append((file.relative_to(SRC).as_posix(), to))
    assert found == [("actions/recording/zones.py", "the machine's zone"), ("ledger/days.py", "zone")]
