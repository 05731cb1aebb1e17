"""What slips from a thumb is refused with what was expected; a mass that cannot be is asked about before it counts."""

from __future__ import annotations

from pathlib import Path

import pytest
from ledger_day import Day, trading_day

from partway.actions.bench import finds
from partway.actions.buyers.price_lists import read_list
from partway.actions.recording.questions import Asked
from partway.cli import main
from partway.errors import Refused


@pytest.mark.parametrize("mass", ["1,320 kg", "13200 lb", "13 g"])
def test_a_mass_far_beyond_its_kind_is_asked_about_before_anything_of_ones_own_was_weighed(mass: str) -> None:
    """A microwave oven of a thousand pounds makes the plan of the day; nobody meant it."""
    day = Day(unit="lb")
    refused = day.refuses(finds.find, "microwave", mass=mass)
    assert isinstance(refused, Asked)
    assert (refused.option, refused.where) == ("sure", "mass")
    day.do(finds.find, "microwave", mass=mass, sure=True)


@pytest.mark.parametrize("mass", ["9 lb", "28 lb 4 oz", "60 kg"])
def test_an_odd_mass_within_reason_is_taken(mass: str) -> None:
    Day(unit="lb").do(finds.find, "microwave", mass=mass)


def test_a_guess_is_held_against_nothing() -> None:
    Day(unit="lb").do(finds.find, "foot spa", mostly="plastic-motor", mass="900 lb")


def test_a_count_that_is_too_great_is_not_said_to_be_too_small() -> None:
    refused = Day().refuses(finds.find, "fan", count=99_999_999)
    assert (refused.given, refused.expected) == ("99999999", "a count of at most 100,000")


def test_a_list_that_says_no_price_is_shown_as_it_was_typed() -> None:
    day = trading_day(unit="lb")
    with pytest.raises(Refused, match='got "blah blah"'):
        read_list(day.book, "harbour", "blah blah")


def test_what_is_known_is_listed_where_it_is_little() -> None:
    refused = Day().refuses(finds.find, "fan", works="perhaps")
    assert "yes, no, unknown" in refused.expected


@pytest.mark.parametrize(
    ("words", "listed"), [(["set", "unit", "stone"], "(g, kg, lb, oz)"), (["hours", "singing", "2h"], "bench")]
)
def test_a_setting_or_an_activity_nobody_knows_is_answered_with_those_there_are(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    words: list[str],
    listed: str,
) -> None:
    monkeypatch.setattr("sys.argv", ["partway", *words, "--workspace", str(tmp_path)])
    with pytest.raises(SystemExit, match="2"):
        main()
    assert listed in capsys.readouterr().err


def test_a_setting_below_zero_is_read_as_a_number(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.argv", ["partway", "set", "wage", "-5", "--workspace", str(tmp_path)])
    with pytest.raises(SystemExit, match="2"):
        main()
    assert 'wage: got "-5"; expected' in capsys.readouterr().err
