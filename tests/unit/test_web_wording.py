"""What the core says with a command or an option in it, said for the app."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import partway.actions
from partway.web.wording import in_the_app

COMMAND = re.compile(r"partway [a-z]|(?<!\w)--[a-z]")


@pytest.mark.parametrize(
    ("said", "here"),
    [
        ('a mass with its unit, such as "5.2 kg", or first: partway set unit lb', None),
        (
            "a currency for this workspace: partway set currency CAD",
            "a currency for this workspace: Settings, currency",
        ),
        ("wage not set, taken as 0: your hours count as free (partway set wage ...).", None),
        ("a bin of copper-2, or --regrade", "a bin of copper-2"),
        ("a gap of at most 0.2 kg, or --gap loss|residue|left", "a gap of at most 0.2 kg"),
        ("a ticket that adds up, or --as-printed", "a ticket that adds up"),
        ("at most the 3 kg in copper-2; or first: partway recount copper-2 MASS", None),
        ("a buyer; first: partway buyer ID --kind yard|mail-in|drop-off|tip --km 10", None),
        ("what one piece weighs as well: --piece", "what one piece weighs as well"),
        ("motors, which is in it; or a new name: --id", "motors, which is in it; or another short name"),
        ("a mass, or --unweighed yes", "a mass"),
        ("a kind that `partway kinds` lists, such as fan", "one of the known kinds, such as fan"),
        ("nothing like that: a number from -5 to 20", "nothing like that: a number from -5 to 20"),
        ("2026-03-14 or later", "2026-03-14 or later"),
    ],
)
def test_a_message_names_no_command(said: str, here: str | None) -> None:
    assert not COMMAND.search(in_the_app(said)), in_the_app(said)
    assert here is None or in_the_app(said) == here


def messages() -> Iterator[str]:
    """Texts in quotes on the lines of the actions that refuse, ask or note."""
    for file in Path(partway.actions.__file__).parent.rglob("*.py"):
        for line in file.read_text(encoding="utf-8").splitlines():
            if re.search(r"Refused\(|Asked\(|expected =|allowed =|notes\.append|yield f", line):
                yield from (re.sub(r"\{[^{}]*\}", "this", text) for text in re.findall(r'f?"([^"]{8,})"', line))


def test_no_message_of_an_action_keeps_its_command() -> None:
    named = [text for text in messages() if COMMAND.search(text)]
    assert len(named) > 8
    assert [text for text in named if COMMAND.search(in_the_app(text))] == []
