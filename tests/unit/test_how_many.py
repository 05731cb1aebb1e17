"""How many of several alike an opening without a count takes: as many as the masses fit, else it is asked.

Masses by hand from the catalogue's usual range of a microwave and of a fan (`partway kinds`).
"""

from __future__ import annotations

import pytest
from ledger_day import KG, Day, found, trading_day

from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.recording.questions import Asked
from partway.ledger.fold import standing
from partway.reports.books.overview import report_overview

ONE = [PieceGiven("cover", "6 kg"), PieceGiven("tray", "3 kg"), PieceGiven("transformer", "3.5 kg")]


def ovens(mass: str | None = None) -> tuple[Day, str]:
    day = trading_day()
    return day, found(day, "microwave", count=2, **({"mass": mass} if mass else {}))


def waiting(day: Day) -> list[int]:
    scenario = scenario_from_book(day.book, day.now.date())
    return [line.count for line in report_overview(day.book, scenario, day.now).waiting]


@pytest.mark.parametrize("mass", [None, "26 kg"])
def test_one_ovens_mass_opens_one_and_today_shows_the_other(mass: str | None) -> None:
    day, find = ovens(mass)
    assert waiting(day) == [2]
    pieces = [PieceGiven("cord", "0.3 kg")]
    told = day.do(open_up, find, pieces, ["cord-and-tray"]).result
    assert not told.closed and not standing.find(day.book, find).closed
    assert waiting(day) == [1]


def test_two_ovens_mass_opens_both() -> None:
    day, find = ovens()
    day.do(open_up, find, [PieceGiven("cord", "0.7 kg")], ["cord-and-tray"])
    runs = day.payloads("opened")[-1].runs
    assert [run.times for run in runs] == [2]


def test_a_weighed_find_that_is_all_accounted_for_is_all_opened() -> None:
    day, find = ovens("25 kg")
    pieces = [PieceGiven("cover", "12 kg"), PieceGiven("tray", "6 kg"), PieceGiven("ring", "7 kg")]
    assert day.do(open_up, find, pieces).result.closed


def test_where_it_could_be_either_it_is_asked_and_the_answer_counts() -> None:
    day = Day()
    find = found(day, "fan", count=2)
    asked = day.refuses(open_up, find, [PieceGiven("cord", "0.26 kg")])
    assert isinstance(asked, Asked) and asked.option == "count"
    assert [answer for answer, _ in asked.choices] == ["1", "2"]
    assert not day.do(open_up, find, [PieceGiven("cord", "0.26 kg")], count="1").result.closed


def test_a_count_that_is_said_is_not_asked_about() -> None:
    day, find = ovens("26 kg")
    assert day.do(open_up, find, ONE, count=1).result.left_mg == 26 * KG - 12_500_000
