"""Every malformed scenario through the command: exit status 2, one message on stderr, nothing on stdout or disk.

Source of the contract: docs/scenario.md. The files are in bad_scenarios.py; what each message must name is
held by test_bad_input.py, here it only has to arrive.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from bad_scenarios import CASES, Case

from partway.cli import main
from partway.errors import Refused
from partway.storage.scenario.scenario import read_scenario

PREFIX_MOST = 40  # characters that a command may put around the message, such as "partway: error: "


def squeezed(text: str) -> str:
    """Text without its line breaks and spaces, however a terminal's width broke it."""
    return "".join(text.split())


def status_of(arguments: list[str], monkeypatch: pytest.MonkeyPatch) -> object:
    """The exit status of the installed command, run as its entry point runs it."""
    monkeypatch.setattr(sys, "argv", ["partway", *arguments])
    with pytest.raises(SystemExit) as left:
        sys.exit(main())  # type: ignore[func-returns-value,unused-ignore]
    return left.value.code


def refused_by(
    command: list[str], path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Holds one run to the contract for bad input."""
    with pytest.raises(Refused) as caught:
        read_scenario(path)
    message = squeezed(str(caught.value))
    before = sorted(path.parent.iterdir())
    monkeypatch.chdir(path.parent)
    assert status_of(command, monkeypatch) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    assert squeezed(err).count(message) == 1
    assert len(squeezed(err)) <= len(message) + PREFIX_MOST
    assert sorted(path.parent.iterdir()) == before


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_plan(case: Case, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bad.toml"
    path.write_bytes(case.raw)
    refused_by(["plan", "--scenario", str(path), "--json"], path, monkeypatch, capsys)


@pytest.mark.parametrize("case", CASES[::8], ids=lambda case: case.name)
@pytest.mark.parametrize(
    "command", ["check FILE", "plan --scenario FILE", "depth --scenario FILE --kind model-car --json"]
)
def test_other_commands(
    command: str,
    case: Case,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    path = tmp_path / "bad.toml"
    path.write_bytes(case.raw)
    arguments = [str(path) if word == "FILE" else word for word in command.split()]
    refused_by(arguments, path, monkeypatch, capsys)


@pytest.mark.parametrize("name", [".", "none.toml"])
def test_no_file(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status_of(["plan", "--scenario", str(tmp_path / name), "--json"], monkeypatch) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    assert str(tmp_path) in squeezed(err)
