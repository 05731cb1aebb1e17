"""The core names fields; the command line and the pages each put their own word for a field, and for what helps."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import click
import pytest

import partway
from partway.actions.recording.questions import Asked
from partway.cli import refusals
from partway.cli.app import cli
from partway.errors import Hint, HintName, Refused
from partway.web import wording
from partway.web.forms import Form, LineField

SOURCES = Path(partway.__file__).parent
RIM = {"cli", "web", "__main__.py"}
OPTION = re.compile(r"(?<![\w-])--[a-z]")
LABELS_OF_ARGUMENTS = re.compile(r"=MASS\b|:GRADE\b|@BIN\b|~MASS\b|\b(?:IN_AIR|IN_WATER|RATINGS|SIZE|LOAD|PULL)\b")
# Texts that are read as they are typed, and so have to show their signs.
# A command as a whole, which the JSON form of the first steps has had under `command` since it was made.
WHOLE_COMMANDS = {"reports/home/firststeps.py"}
TYPED = {"actions/bench/pieces.py": "PIECE=MASS", "actions/haul/tickets_read.py": "GRADE MASS at PRICE"}


def _texts(file: Path) -> Iterator[tuple[int, str]]:
    """Every text of a source that is not a docstring; of an f-string what stands between its fields."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.lineno, node.value


def _core() -> list[Path]:
    return [file for file in SOURCES.rglob("*.py") if file.relative_to(SOURCES).parts[0] not in RIM]


def test_no_message_of_the_core_carries_an_option() -> None:
    named = [
        f"{file.relative_to(SOURCES)}:{line} {text!r}"
        for file in _core()
        for line, text in _texts(file)
        if OPTION.search(text) and str(file.relative_to(SOURCES)) not in WHOLE_COMMANDS
    ]
    assert named == []
    assert len(_core()) > 300  # the walk finds the sources at all


def test_no_message_of_the_core_carries_the_signs_of_a_command_line() -> None:
    for file in _core():
        where = str(file.relative_to(SOURCES))
        for line, text in _texts(file):
            if LABELS_OF_ARGUMENTS.search(text):
                assert where in TYPED and TYPED[where] in text, f"{where}:{line} {text!r}"


def test_both_have_words_for_every_hint() -> None:
    assert set(refusals.HINTS) == set(wording.HINTS) == set(get_args(HintName))
    assert not any("partway " in said or OPTION.search(said) for said in wording.HINTS.values())


@pytest.mark.parametrize(
    ("arguments", "refused", "said"),
    [
        (["find", "fan"], Refused("-2", "a mass above 0", "mass"), "--mass: got -2; expected a mass above 0"),
        (["find", "fan"], Refused("x", "text", "from"), "--from: got x; expected text"),
        (["quote", "a", "b"], Refused("x", "a mass", "from"), "--from: got x; expected a mass"),
        (["buyer", "a"], Refused("x", "mail-in only", "shipping"), "--postage: got x; expected mail-in only"),
        (["weigh", "fan"], Refused("-2", "a mass above 0", "mass"), "MASS: got -2; expected a mass above 0"),
        (["recount", "a"], Refused("x", "a bin", "bin"), "BIN: got x; expected a bin"),
        (["open", "a"], Refused("x", "a mass", "piece a"), "piece a: got x; expected a mass"),
        (["identify"], Refused("x", "none", "answer magnet"), "--answer magnet: got x; expected none"),
        (["scale"], Refused("x", "a class", "scale_class"), "--class: got x; expected a class"),
        (["haul", "finish"], Refused("x", "a number", "km"), "--km: got x; expected a number"),
        (["no-such"], Refused("x", "a number", "km"), "km: got x; expected a number"),
        (
            ["move", "a", "b"],
            Asked("a into b", "a bin of a", "to", "regrade", (("yes", "it counts as b"),)),
            "TO: got a into b; expected a bin of a; or --regrade",
        ),
        (
            ["open", "a"],
            Asked("3 kg missing", "no gap", "open a", "gap", (("loss", "gone"), ("left", "in it"))),
            "open a: got 3 kg missing; expected no gap; or --gap loss|left",
        ),
        (  # what the command has no option for is not offered
            ["weigh", "a"],
            Asked("3 kg missing", "no gap", "open a", "gap", (("loss", "gone"), ("left", "in it"))),
            "open a: got 3 kg missing; expected no gap",
        ),
        (
            ["find", "fan"],
            Refused("5", "a mass with its unit", "mass", hint=Hint("set", "unit")),
            "--mass: got 5; expected a mass with its unit; first: partway set unit ...",
        ),
        (
            ["find", "fan"],
            Refused("2999-01-01", "a time that has passed", "on", says="That time is in the future."),
            "--on: That time is in the future. Got 2999-01-01.",
        ),
    ],
)
def test_the_command_line_names_its_own_options(arguments: list[str], refused: Refused, said: str) -> None:
    assert refusals.in_words(refused, refusals.command_of(cli, arguments)) == said


def test_every_command_a_hint_names_is_there() -> None:
    for said in refusals.HINTS.values():
        for name in re.findall(r"partway ([a-z-]+)", said):
            found = refusals.command_of(cli, [name])
            assert found is not cli, said
            for option in re.findall(r"--[a-z]+", said):
                assert any(option in p.opts for p in found.params if isinstance(p, click.Option)), said


class Weighing(Form):
    mass_0 = LineField("Mass")


@pytest.mark.parametrize(
    ("refused", "beside", "top"),
    [
        (
            Refused("5", "a mass with its unit", "mass", hint=Hint("set", "unit")),
            "5: expected a mass with its unit; first set the unit under Settings",
            "",
        ),
        (Refused("2999", "a past day", "mass", says="That time is in the future."), "That time is in the future.", ""),
        (
            Refused("9 kg", "at most 3 kg", "line motors", hint=Hint("recount", "motors")),
            "",
            "line motors: got 9 kg; expected at most 3 kg; first put motors on the scale under Bins",
        ),
        (Refused("none", "a bin", "line motors", hint=Hint("name-bin")), "", "line motors: got none; expected a bin"),
    ],
)
def test_a_page_says_it_beside_its_own_field(refused: Refused, beside: str, top: str) -> None:
    form = Weighing()
    form.refuse(refused, {"mass": "mass_0"})
    assert (" ".join(form.mass_0.errors), form.problem) == (beside, top)
