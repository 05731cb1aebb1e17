"""Real processes under clocks that are set back, set forward, and changed for daylight saving, in three zones.

The clock of each process is faketime's (Debian package faketime, .ci/clock). When each zone changes is the tz
database's to say; the moments here are in UTC and were taken from `zdump -v` of its 2025b release.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import photographs
import pytest
from hung import HUNG
from warm import Warm
from workspaces import new_workspace

from partway.actions.buyers import buyers, quoting
from partway.actions.home import settings
from partway.actions.recording.context import Context, Recorded
from partway.ledger import trading
from partway.ledger.days import zone_named
from partway.ledger.events.ids import IdMaker
from partway.ledger.pictures import newest_pictured, pictures_of, pieces_pictured
from partway.reports.books.notes import notes
from partway.storage.workspace import open_workspace

FAKETIME = shutil.which("faketime")


@dataclass(frozen=True)
class Zone:
    """A zone, the moments of its two changes in 2026, and how its clock writes times around them."""

    name: str
    back: str  # the moment at which the clock is set back
    twice: str  # a time that it shows twice
    first: str
    second: str
    skipped: str  # a time that it never shows
    year_ends: str  # 23:30 on 31 December 2025


ZONES = (
    Zone("America/Toronto", "2026-11-01T06:00Z", "2026-11-01 01:45", "-04:00", "-05:00", "2026-03-08 02:30",
         "2026-01-01T04:30Z"),
    Zone("Europe/London", "2026-10-25T01:00Z", "2026-10-25 01:45", "+01:00", "+00:00", "2026-03-29 01:30",
         "2025-12-31T23:30Z"),
    Zone("Australia/Lord_Howe", "2026-04-04T15:00Z", "2026-04-05 01:45", "+11:00", "+10:30", "2026-10-04 02:15",
         "2025-12-31T12:30Z"),
)  # fmt: skip
LATER = "2026-12-10T12:00Z"
REAL_WAITS = {"FAKETIME_DONT_FAKE_MONOTONIC": "1"}
MINUTE = dt.timedelta(minutes=1)
HOUR, DAY = 60 * MINUTE, 24 * 60 * MINUTE

Run = Callable[..., subprocess.CompletedProcess[str]]


def moment(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


@pytest.fixture(params=ZONES, ids=[zone.name for zone in ZONES])
def zone(request: pytest.FixtureRequest) -> Zone:
    if FAKETIME is None:
        if os.environ.get("CI") == "true":
            pytest.fail("no faketime on the path (.ci/clock install)")
        pytest.skip("no faketime here (.ci/clock install)")
    found: Zone = request.param
    return found


@cache
def faked() -> Warm:
    """Under faketime, which reads in each process anew how far off its clock is."""
    return Warm("warm:commands_imported", [FAKETIME or "", "-f", "+0"], FAKETIME_NO_CACHE="1", **REAL_WAITS)


@pytest.fixture
def run(zone: Zone, tmp_path: Path) -> Run:
    """A `partway` process whose clock says a moment, on a machine in the zone: forked, or `fresh` from the start."""

    def process(
        at: dt.datetime, *arguments: str, status: int = 0, fresh: bool = False
    ) -> subprocess.CompletedProcess[str]:
        there = {"TZ": zone.name, "PARTWAY_WORKSPACE": str(tmp_path), **REAL_WAITS}
        if fresh:
            command = [FAKETIME or "", f"@{at.timestamp():.0f}", sys.executable, "-m", "partway", *arguments]
            done = subprocess.run(  # noqa: S603
                command, env={**os.environ, **there}, capture_output=True, text=True, timeout=HUNG, check=False
            )
        else:  # what faketime itself makes of @SECONDS: whole seconds, and never a moment that is still before it
            there["FAKETIME"] = f"{math.ceil(at.timestamp() - time.time()):+d}"
            done = faked().run("partway.cli:main", *arguments, **there)
        assert done.returncode == status, (arguments, done.stdout, done.stderr)
        return done

    return process


def saved(done: subprocess.CompletedProcess[str]) -> list[str]:
    """The ids of what a process said it had recorded."""
    return [event["id"] for event in json.loads(done.stdout)["events"]]


def price_now(folder: Path) -> Decimal | None:
    with open_workspace(folder) as book:
        (quote,) = trading.quotes(book, "ridge-yard", "copper-2")
        return quote.price


def started(folder: Path, zone: Zone, at: dt.datetime) -> list[str]:
    """A workspace with a buyer and its first quote, recorded at a moment without a process of its own."""
    ids = IdMaker(lambda: int(at.timestamp() * 1000))
    context = Context("me", lambda: at.astimezone(zone_named(zone.name)), ids, zone=zone.name)
    with new_workspace(folder) as book:
        done: list[Recorded[Any]] = [
            settings.set_(book, context, "currency", "CAD"),
            buyers.buyer(book, context, "ridge-yard", buyers.Terms(kind="yard", km="9")),
            quoting.quote(book, context, "ridge-yard", "copper-2", "9.00 /kg"),
        ]
    return [str(event.id) for recorded in done for event in recorded.events]


def quote(run: Run, at: dt.datetime, price: str, fresh: bool = False) -> subprocess.CompletedProcess[str]:
    return run(at, "quote", "ridge-yard", "copper-2", price, "--json", fresh=fresh)


def all_there(folder: Path, acknowledged: list[str]) -> None:
    with open_workspace(folder) as book:
        there = {str(event.id) for event in book.events()}
        assert there >= set(acknowledged)
        assert not {str(event) for event in book.voided()} & set(acknowledged)


def test_a_clock_set_back_an_hour_and_one_a_day_ahead(zone: Zone, run: Run, tmp_path: Path) -> None:
    at = moment(zone.back) - 30 * DAY
    acknowledged = started(tmp_path, zone, at)
    acknowledged += saved(quote(run, at - HOUR, "8.00 /kg"))
    assert price_now(tmp_path) == Decimal("8.00")
    acknowledged += saved(quote(run, at + DAY, "7.00 /kg"))  # a day ahead, by mistake
    acknowledged += saved(quote(run, at + 10 * MINUTE, "6.00 /kg"))
    assert price_now(tmp_path) == Decimal("6.00")
    last = quote(run, at - HOUR, "1.00 /kg")  # typed wrong, and taken back under a clock that is an hour behind
    run(at - HOUR, "correct", saved(last)[-1], "--json")
    assert price_now(tmp_path) == Decimal("6.00")
    all_there(tmp_path, acknowledged)


def test_photographs_and_notes_under_a_clock_that_was_set_back(zone: Zone, run: Run, tmp_path: Path) -> None:
    """What was taken or noted last stands first, and in the place of a drawing, whatever day the clock showed then; one
    that somebody dates is where its day is.
    """
    at = moment(zone.back) - 30 * DAY
    started(tmp_path, zone, at)
    run(at, "find", "fan", "--json")
    files = []
    for n in range(3):
        files.append(tmp_path / f"{n}.jpg")
        files[n].write_bytes(photographs.saved(photographs.scene(40 + 8 * n, 40)))
    run(at + DAY, "picture", "fan-1", str(files[0]), "--piece", "cord", "--json")  # a day ahead, by mistake
    run(at + DAY, "note", "closes at one", "--find", "fan-1", "--json")
    run(at + 5 * MINUTE, "picture", "fan-1", str(files[1]), "--piece", "cord", "--json")
    run(at + 5 * MINUTE, "note", "closes at noon", "--find", "fan-1", "--json")
    dated = zone_time(at - DAY, zone)
    run(at + 10 * MINUTE, "picture", "fan-1", str(files[2]), "--piece", "cord", "--on", dated, "--json")
    with open_workspace(tmp_path) as book:
        shown = [one.width for one in pictures_of(book, "find:fan-1")]
        assert shown == [48, 40, 56], "the last one first, and the one that was dated where its day is"
        assert pieces_pictured(book, "fan")["cord"] == pictures_of(book, "find:fan-1")[0].picture
        assert [one.picture for one in newest_pictured(book)] == [
            one.picture for one in pictures_of(book, "find:fan-1")
        ]
        assert [one.text for one in notes(book, None, "find:fan-1")] == ["closes at noon", "closes at one"]


def zone_time(at: dt.datetime, zone: Zone) -> str:
    return f"{at.astimezone(zone_named(zone.name)):%Y-%m-%d %H:%M}"


def test_the_hour_that_comes_twice(zone: Zone, run: Run, tmp_path: Path) -> None:
    """What is typed after the clock went back counts, and both times can be told apart and typed again."""
    back = moment(zone.back)
    acknowledged = started(tmp_path, zone, back - 15 * MINUTE)
    twice = moment(zone.twice + zone.second)
    acknowledged += saved(quote(run, twice, "8.00 /kg", fresh=True))
    assert price_now(tmp_path) == Decimal("8.00")
    lines = json.loads(run(moment(LATER), "ledger", "--kind", "quoted", "--json").stdout)["lines"]
    assert [line["happened"] for line in lines] == [zone.twice + zone.first, zone.twice + zone.second]
    count = len(all_events(tmp_path))
    refused = run(moment(LATER), "spend", "fuel", "20", "--on", zone.twice, "--json", status=2)
    assert f"{zone.twice}{zone.first}" in refused.stderr and f"{zone.twice}{zone.second}" in refused.stderr
    assert len(all_events(tmp_path)) == count
    acknowledged += saved(run(moment(LATER), "spend", "fuel", "20", "--on", zone.twice + zone.second, "--json"))
    assert all_events(tmp_path)[-1].happened == twice.astimezone(dt.UTC)
    all_there(tmp_path, acknowledged)


def test_the_hour_that_is_skipped_and_the_last_evening_of_the_year(zone: Zone, run: Run, tmp_path: Path) -> None:
    run(moment(zone.year_ends), "set", "currency", "CAD")
    saved(run(moment(zone.year_ends), "spend", "fuel", "40", "--category", "fuel", "--json"))
    count = len(all_events(tmp_path))
    refused = run(moment(LATER), "spend", "fuel", "20", "--on", zone.skipped, "--json", status=2)
    day, _, time = zone.skipped.partition(" ")
    said = dt.date.fromisoformat(day)
    assert f"{said.day} {said:%B %Y} at {time}" in refused.stderr and "skipped" in refused.stderr
    assert len(all_events(tmp_path)) == count
    of_2025 = ("ledger", "--kind", "spent", "--until", "2026-01-01", "--json")
    (line,) = json.loads(run(moment("2026-07-10T12:00Z"), *of_2025).stdout)["lines"]
    assert line["happened"] == "2025-12-31 23:30"


def all_events(folder: Path) -> list[Any]:
    with open_workspace(folder) as book:
        return list(book.events())
