"""Every malformed scenario is refused with one message: what was given, what was expected and where.

Source of the contract: docs/scenario.md. The files are in bad_scenarios.py.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from bad_scenarios import CASES, GOOD, Case, Parts

from partway.errors import Refused
from partway.storage.scenario.scenario import check_file, read_scenario


def parts(words: Parts) -> tuple[str, ...]:
    return (words,) if isinstance(words, str) else words


def refusal(case: Case, folder: Path) -> Refused:
    path = folder / "bad.toml"
    path.write_bytes(case.raw)
    with pytest.raises(Refused) as caught:
        read_scenario(path)
    return caught.value


def test_there_are_enough_and_each_is_its_own() -> None:
    assert len(CASES) >= 75
    assert len({case.name for case in CASES}) == len({case.raw for case in CASES}) == len(CASES)


def test_before_the_edit_nothing_is_wrong(tmp_path: Path) -> None:
    path = tmp_path / "good.toml"
    path.write_text(GOOD, encoding="utf-8")
    assert read_scenario(path).name == "Before the edit"
    assert check_file(path) == "scenario"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_refused_in_three_parts(case: Case, tmp_path: Path) -> None:
    refused = refusal(case, tmp_path)
    assert refused.exit_status == 2
    for part, words in (
        (refused.given, case.given),
        (refused.expected, case.expected),
        (refused.where, case.where),
    ):
        assert part.strip()
        for word in parts(words):
            assert word in part


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_message_is_one_short_printable_line_that_names_the_file(case: Case, tmp_path: Path) -> None:
    refused = refusal(case, tmp_path)
    assert refused.where.startswith(str(tmp_path / "bad.toml"))
    message = str(refused).removeprefix(str(tmp_path))
    assert message.isprintable()
    assert len(message) < 600


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_check_refuses_the_same(case: Case, tmp_path: Path) -> None:
    refused = refusal(case, tmp_path)
    with pytest.raises(Refused) as caught:
        check_file(tmp_path / "bad.toml")
    assert str(caught.value) == str(refused)


def test_directory(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        read_scenario(tmp_path)
    assert caught.value == type(caught.value)("a directory", "a TOML file", str(tmp_path))


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(Refused) as caught:
        read_scenario(tmp_path / "none.toml")
    assert "no such file" in caught.value.given
    assert "none.toml" in caught.value.where


@pytest.mark.parametrize("name", ["a\0b.toml", "x" * 5000])
def test_path_that_no_file_can_have(name: str, tmp_path: Path) -> None:
    with pytest.raises(Refused):
        read_scenario(tmp_path / name)


def test_path_below_a_file(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(Refused):
        read_scenario(tmp_path / "file" / "scenario.toml")
