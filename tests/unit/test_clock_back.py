"""A clock that was set back is noticed by the first entry after it, and said once."""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path

import pytest
from app_client import NOW, visitor
from ledger_day import Day

from partway.actions.books.money import spend
from partway.actions.recording.context import ClockBack
from partway.actions.recording.describe import clock_said
from partway.cli import main
from partway.ledger.memory import MemoryBook

BACK = dt.timedelta(minutes=59)  # and each action of a Day is a minute after the one before


def test_the_first_entry_after_the_clock_went_back_says_so_and_the_next_does_not() -> None:
    day = Day()
    assert day.do(spend, "fuel", "40").clock is None
    day.now -= BACK
    assert day.do(spend, "fuel", "41").clock == ClockBack(58 * 60)
    assert day.do(spend, "fuel", "42").clock is None


def test_a_correction_after_the_clock_went_back_says_so_too() -> None:
    from partway.actions.books.corrections import correct

    day = Day()
    typed = day.do(spend, "fuel", "40").events[0]
    day.now -= BACK
    assert day.do(correct, str(typed.id)).clock == ClockBack(58 * 60)


def test_a_stated_time_decides_whatever_the_clock_says() -> None:
    day = Day()
    day.do(spend, "fuel", "40")
    day.now -= BACK
    stated = spend(day.book, day.context(day.now - dt.timedelta(days=1)), "fuel", "41")
    assert stated.clock is None
    assert day.do(spend, "fuel", "42").clock == ClockBack(57 * 60)


def test_seconds_that_clocks_are_put_right_by_are_let_pass() -> None:
    day = Day()
    day.do(spend, "fuel", "40")
    day.now -= dt.timedelta(minutes=1, seconds=4)
    assert day.do(spend, "fuel", "41").clock is None


def test_another_device_ahead_of_this_one_is_no_clock_set_back() -> None:
    day, other = Day(), Day()
    other.now += dt.timedelta(hours=3)
    other.do(spend, "fuel", "40")
    day.book.append(list(other.book.recorded()))
    assert isinstance(day.book, MemoryBook) and day.book.device != other.book.device
    assert day.do(spend, "fuel", "41").clock is None


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(7, "7 s"), (3480, "58 min"), (7500, "2 h 05 min"), (90_000, "1 day"), (200_000, "2 days")],
)
def test_it_is_said_in_words(seconds: int, said: str) -> None:
    assert clock_said(ClockBack(seconds)) == [
        f"The clock stands {said} before your last entry; this was recorded after it."
    ]
    assert clock_said(None) == []


WORDS = "The clock stands 58 min before your last entry; this was recorded after it."


def test_the_page_and_the_json_interface_say_it_once(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        assert "clock stands" not in v.fill("/settings", "/settings", currency="CAD").text
    with visitor(tmp_path, now=NOW - dt.timedelta(minutes=58)) as v:
        assert WORDS in v.fill("/settings", "/settings", unit="lb").text
        assert "clock stands" not in v.fill("/curb/microwave", "/curb/microwave/taken").text
    with visitor(tmp_path, now=NOW - dt.timedelta(hours=2)) as v:
        body = {"what": "fuel", "amount": "40"}
        first, second = (v.client.post("/api/spend", json=body).json() for _ in range(2))
        assert (first["clock"], second["clock"]) == ({"seconds": 62 * 60}, None)


def test_the_command_says_it_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The workspace was last written by a clock that stood an hour ahead of this machine's."""
    with visitor(tmp_path, now=dt.datetime.now(dt.UTC) + dt.timedelta(hours=1, seconds=30)) as v:
        v.fill("/settings", "/settings", currency="CAD")

    def run(*words: str) -> str:
        monkeypatch.setattr(sys, "argv", ["partway", *words, "--workspace", str(tmp_path)])
        with pytest.raises(SystemExit):
            main()
        return capsys.readouterr().out

    assert "The clock stands 1 h 00 min before your last entry" in run("spend", "fuel", "40")
    assert "clock stands" not in run("spend", "fuel", "41")
    assert json.loads(run("spend", "fuel", "42", "--json"))["clock"] is None
