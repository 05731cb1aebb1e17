"""Commands name things and days as people do: no bare id of a find, haul, ticket, offer or round, and no ISO day.

Walks every command but those listed with their reason: what they show of the demo, what they say of each act, and what
they refuse. An id may stand where it is there to be typed: in square brackets behind the name, in a command that is
told ("partway open fan-3"), or in quotes, where the person typed it. What is written for programs (--json, files) keeps
ids and ISO days.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from app_client import visitor
from disagreement import Person, part
from test_names_not_ids import ISO, ids_in
from test_typed_at_the_terminal import Terminal, at

from partway.cli.app import COMMANDS
from partway.storage.workspace import open_workspace

__all__ = ["at"]  # a fixture
TO_TYPE = re.compile(r"\[[^\]]*\]|\bpartway [a-z].*$|\"[^\"]*\"", re.MULTILINE)
NUMBERED = re.compile(r"\b[a-z]+(?:-[a-z0-9]+)*-[0-9]+\b")
LOOKING: tuple[tuple[str, ...], ...] = (
    ("today",), ("overview",), ("stock",), ("ledger", "--last", "0"), ("offers",), ("rounds",), ("books",),
    ("books", "--per", "kind"), ("books", "--per", "yard"), ("buyers",), ("prices",), ("prices", "copper-2"), ("plan",),
    ("search", "copper"), ("search", "microwave"), ("conflicts",), ("doctor",), ("curb",), ("curb", "microwave"),
    ("curb", "--in-sight", "toaster"), ("depth", "--kind", "microwave"), ("buyer", "harbour-yard"), ("set",),
    ("device",), ("place",), ("year",), ("impact",), ("cautions",),
    ("cautions", "mains"), ("identify", "--context", "loose"), ("listing-text", "stereo-receiver-2"), ("note",),
)  # fmt: skip
ACTS: tuple[tuple[str, ...], ...] = (
    ("set", "wage", "12"), ("place", "payment", "no cash", "--source", "notice", "--seen", "2026-03-01"),
    ("buyer", "ridge", "--kind", "yard"), ("round", "start", "--where", "elm"), ("find", "kettle"),
    ("find", "kettle", "--mass", "2 lb"), ("find", "toaster", "--on", "2026-03-02"), ("rounds",), ("round", "end"),
    ("test", "kettle-1", "yes"), ("weigh", "kettle-2", "2 lb"), ("open", "kettle-1", "cord=.1 lb"),
    ("list", "toaster", "--asking", "9"), ("offers",), ("reprice", "toaster-1-offer-1", "8"),
    ("take-down", "toaster-1-offer-1"), ("sell", "toaster", "7"), ("return", "toaster-1"), ("discard", "kettle-2"),
    ("bin", "copper-2"), ("bin", "copper-2", "--id", "old"), ("recount", "copper-2", "10 lb"),
    ("move", "copper-2", "old", "2 lb"), ("quote", "ridge", "copper-2", "4.10"),
    ("quotes", "ridge", "motors 38c, lead 60c"), ("haul", "start", "ridge"),
    ("ticket", "ridge", "copper-2 8 lb at 4.10 @copper-2"), ("overview",), ("paid", "ridge", "30"),
    ("haul", "finish"), ("spend", "fuel", "4"), ("hours", "bench", "20 minutes"), ("undo",), ("hours", "bench", "2 h"),
    ("say", "found two fans. fuel 30", "--yes"), ("find", "fan"), ("ledger", "--last", "0"), ("stock",),
)  # fmt: skip
REFUSED: tuple[tuple[str, ...], ...] = (
    ("weigh", "fan", "2 lb"), ("weigh", "fan-9", "2 lb"), ("open", "kettle-1", "cord=1 lb"),
    ("test", "fan-1", "yes", "--on", "2026-02-01"), ("find", "fan", "--on", "2199-01-01 10:00"),
    ("round", "end"), ("haul", "finish", "haul-9"), ("paid", "ridge", "5", "--ticket", "ticket-9"),
    ("move", "copper-2", "old", "90 lb"), ("reprice", "toaster-1", "8"), ("take-down", "toaster-9"),
    ("ticket", "ridge", "copper-2 8 lb at 4.10"), ("return", "kettle-1"), ("discard", "kettle-2"),
    ("sell", "fan-2", "3", "--on", "2026-02-01"), ("place", "payment", "x", "--source", "y", "--seen", "2199-01-01"),
)  # fmt: skip
CALCULATORS = {"wire", "density", "battery", "capacitor", "scale", "motor", "stainless"}
NOT_WALKED = {
    **dict.fromkeys(CALCULATORS, "knows no ledger and no day"),
    **dict.fromkeys(("kinds", "grades"), "the catalogue's own pages: its ids are what scenario files are written with"),
    **dict.fromkeys(("check", "schema", "completion", "export-scenario"), "writes or reads files for programs"),
    **dict.fromkeys(("export", "import", "merge", "backup", "restore", "rebuild", "take-back"), "speaks of files"),
    **dict.fromkeys(("picture", "read"), "takes a photograph: test_photographs_kept.py and test_photographs_read.py"),
    **dict.fromkeys(("serve", "pocket", "paper"), "writes pages, which are walked as pages"),
    "demo": "an invented scenario file, planned",
    "correct": "takes the ids of events; what it says is said by undo, which is walked",
}


def test_every_command_is_walked_or_said_not_to_be() -> None:
    walked = {words[0] for words in (*LOOKING, *ACTS, *REFUSED)}
    assert walked & NOT_WALKED.keys() == set()
    assert walked | NOT_WALKED.keys() == COMMANDS.keys()


def bare(text: str, ids: set[str]) -> set[str]:
    """Ids and ISO days in a text that are not there to be typed."""
    told = TO_TYPE.sub(" ", text)
    return (set(re.findall(r"[\w~]+(?:-[\w~]+)+", told)) & ids) | set(ISO.findall(told))


def test_an_id_and_an_iso_day_are_found() -> None:
    ids = {"fan-3", "haul-2"}
    assert bare("haul-2 on 2026-03-14 with fan-3", ids) == {"haul-2", "fan-3", "2026-03-14"}
    assert bare('fan [fan-3], got "haul-2": partway open fan-3', ids) == set()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, set[str]]:
    """The workspace of the demo, and the ids in it that nobody chose."""
    folder = tmp_path_factory.mktemp("demo")
    with visitor(folder, demo=True) as there:
        return folder, ids_in(there)


@pytest.mark.parametrize("words", LOOKING, ids=" ".join)
def test_what_is_shown_has_no_id(words: tuple[str, ...], demo: tuple[Path, set[str]], at: Terminal) -> None:
    folder, ids = demo
    at.patch.setenv("PARTWAY_WORKSPACE", str(folder))
    status = 1 if words == ("doctor",) else 0  # the demo was never backed up
    assert bare(at(*words, status=status), ids) == set()


def test_what_is_said_of_acts_and_refusals_has_no_id(at: Terminal) -> None:
    wrong, numbered = {}, set[str]()
    for words in ACTS:
        said = at(*words)
        numbered |= set(NUMBERED.findall(said))
        wrong[" ".join(words)] = bare(said, numbered)
    for words in REFUSED:
        said = at(*words, status=2)
        wrong[" ".join(words)] = bare(said, set(NUMBERED.findall(said)) - {"copper-2"})
    assert {"kettle-1", "haul-1", "ticket-1", "round-1", "toaster-1-offer-1"} <= numbered
    assert {words: found for words, found in wrong.items() if found} == {}


def test_conflicts_have_names_and_days_as_people_say_them(at: Terminal, tmp_path: Path) -> None:
    mine, theirs = tmp_path / "mine", tmp_path / "theirs"
    with open_workspace(mine) as here, open_workspace(theirs) as there:
        part(Person(here, "jo"), Person(there, "sam"))
    at.patch.setenv("PARTWAY_WORKSPACE", str(mine))
    assert bare(at("merge", str(theirs), status=3), set()) == set()
    for command in ("conflicts", "today", "overview", "stock"):
        said = at(command)
        assert bare(said, set(NUMBERED.findall(said))) == set(), said
