"""A buyer's fees, the way back, and where trips end: written by two devices, by two processes, by a clock set back.

Invented. Which word counts: the later one in the ledger's order (docs/decisions on the order of words), whatever clocks
said.
"""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from app_client import visitor
from hung import HUNG
from ledger_day import Day

from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.haul import hauls
from partway.actions.home.settings import set_, set_many
from partway.ledger import trading
from partway.ledger.fold.fold import merge
from partway.ledger.fold.standing import settings
from partway.ledger.memory import MemoryBook
from partway.reports.buyers.one import report_buyer
from partway.storage.workspace import open_workspace

HOME = "30.00, -40.00"
WORKSHOP, BARN = "the workshop, 30.10, -40.00", "the barn, 30.20, -40.00"
PARTWAY = str(Path(sys.executable).with_name("partway"))
BACK = dt.timedelta(hours=5)


def told(day: Day) -> tuple[Decimal, Decimal, Decimal | None]:
    terms = trading.buyers(day.book)["harbour"]
    return terms.ticket_fee, terms.ticket_share, terms.back_km


def town() -> Day:
    day = Day()
    day.do(buyers.buyer, "harbour", Terms(kind="yard", km="9"))
    return day


FIELDS: list[tuple[dict[str, Any], dict[str, Any], tuple[str, str, str | None]]] = [
    ({"ticket_fee": "5"}, {"ticket_fee": "7"}, ("7", "0", None)),
    ({"ticket_share": "2 %"}, {"ticket_share": "3 %"}, ("0", "0.03", None)),
    ({"back_km": "12"}, {"back_km": "14"}, ("0", "0", "14")),
    ({"back_km": "12"}, {"back_km": "same"}, ("0", "0", None)),
]


def expected(texts: tuple[str, str, str | None]) -> tuple[Decimal, Decimal, Decimal | None]:
    fee, share, back = texts
    return Decimal(fee), Decimal(share), None if back is None else Decimal(back)


@pytest.mark.parametrize(("first", "later", "counts"), FIELDS)
def test_of_two_words_the_one_typed_later_counts_though_the_clock_was_set_back(
    first: dict[str, Any], later: dict[str, Any], counts: tuple[str, str, str | None]
) -> None:
    day = town()
    day.do(buyers.buyer, "harbour", Terms(**first))
    day.now -= BACK
    day.do(buyers.buyer, "harbour", Terms(**later))
    assert told(day) == expected(counts)


def test_of_two_ends_of_a_trip_the_one_typed_later_counts_though_the_clock_was_set_back() -> None:
    day = town()
    day.do(set_many, {"home": HOME, "end": WORKSHOP})
    day.now -= BACK
    day.do(set_, "end", BARN)
    assert settings(day.book)["end"] == BARN
    day.now -= BACK
    day.do(set_, "end", "home")
    assert settings(day.book)["end"] == "home"


@pytest.mark.parametrize(("first", "later", "counts"), FIELDS)
def test_of_two_devices_the_later_word_counts_whoever_merges(
    first: dict[str, Any], later: dict[str, Any], counts: tuple[str, str, str | None]
) -> None:
    """Both began with the same ledger; neither has heard of the other."""
    one = town()
    two = Day()
    two.book = MemoryBook(one.book.state)
    two.now = one.now + dt.timedelta(minutes=5)
    one.do(buyers.buyer, "harbour", Terms(**first))
    two.do(buyers.buyer, "harbour", Terms(**later))
    for ours, theirs in ((one, two), (two, one)):
        both = Day()
        both.book = MemoryBook(merge(ours.book.state, theirs.book.state))
        assert told(both) == expected(counts)
        assert not both.book.conflicts()


def test_of_two_ends_of_a_trip_set_on_two_devices_the_later_counts_whoever_merges() -> None:
    one = Day()
    one.do(set_many, {"home": HOME, "end": "home"})
    two = Day()
    two.book = MemoryBook(one.book.state)
    two.now = one.now + dt.timedelta(minutes=5)
    one.do(set_, "end", WORKSHOP)
    two.do(set_, "end", BARN)
    for ours, theirs in ((one, two), (two, one)):
        assert settings(MemoryBook(merge(ours.book.state, theirs.book.state)))["end"] == BARN


def test_two_processes_that_set_two_ends_at_once_leave_one_of_them_whole(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        set_(there.book, there.context(), "home", HOME)
    env = os.environ | {"PARTWAY_WORKSPACE": str(tmp_path), "PARTWAY_WHO": "me"}
    pipes: dict[str, Any] = {"env": env, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    every = [subprocess.Popen([PARTWAY, "set", "end", end], **pipes) for end in (WORKSHOP, BARN)]  # noqa: S603
    said = [process.communicate(timeout=HUNG) for process in every]
    assert [process.returncode for process in every] == [0, 0], said
    with open_workspace(tmp_path) as book:
        assert settings(book)["end"] in {WORKSHOP, BARN}


def test_two_processes_that_change_other_terms_of_one_buyer_at_once_both_count(tmp_path: Path) -> None:
    with visitor(tmp_path) as there:
        set_(there.book, there.context(), "currency", "CAD")
        buyers.buyer(there.book, there.context(), "harbour", Terms(kind="yard", km="9"))
    env = os.environ | {"PARTWAY_WORKSPACE": str(tmp_path), "PARTWAY_WHO": "me"}
    changes = (["--ticket-fee", "5"], ["--back-km", "14"], ["--ticket-share", "2 %"])
    pipes: dict[str, Any] = {"env": env, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    every = [subprocess.Popen([PARTWAY, "buyer", "harbour", *change], **pipes) for change in changes]  # noqa: S603
    said = [process.communicate(timeout=HUNG) for process in every]
    assert [process.returncode for process in every] == [0, 0, 0], said
    with open_workspace(tmp_path) as book:
        terms = trading.buyers(book)["harbour"]
    assert (terms.ticket_fee, terms.ticket_share, terms.back_km) == (Decimal(5), Decimal("0.02"), Decimal(14))


def test_a_visit_is_as_last_heard_of_though_the_clock_was_set_back() -> None:
    """By the clock it set out after it was over; what was typed later counts."""
    day = town()
    day.do(hauls.start, ["harbour"])
    day.now -= BACK
    day.do(hauls.finish)
    (visit,) = report_buyer(day.book, "harbour", day.now).visits
    assert visit.status == "finished"
