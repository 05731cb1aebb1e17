"""Several processes that decide at the same moment, on SQLite and on PostgreSQL."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from subprocess import PIPE
from typing import Any

import pytest
import storm
from hung import HUNG
from ledgers.servers import empty_workspace
from storm_checks import violations
from storm_steps import town
from warm import Warm

from partway.actions.bins import bins
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace

PARTWAY = str(Path(sys.executable).with_name("partway"))


@pytest.fixture(params=("sqlite", "postgres"))
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A workspace with two yards and 60 kg of copper."""
    with empty_workspace(request.param, tmp_path) as place:
        with open_workspace(place) as book:
            town(book, Context("tester", storm.now, new_id, zone="UTC"))
        yield place


def ids(where: str) -> set[str]:
    with open_workspace(where) as book:
        return {str(event.id) for event in book.events()}


@cache
def storms() -> Warm:
    return Warm("storm:storms_imported")


def ran(*arguments: str) -> list[dict[str, Any]]:
    """The entries of tests/storm.py, in a process forked from one that has imported what it needs."""
    done = storms().run("storm:main", *arguments)
    assert done.returncode == 0, done.stderr
    entries: list[dict[str, Any]] = json.loads(done.stdout)
    return entries


def race(where: str, *commands: Sequence[str]) -> list[dict[str, Any]]:
    """Commands begun at the same moment, each in a process of its own; nothing but refusals went wrong."""
    before = ids(where)
    entries = ran("race", where, *(json.dumps(list(command)) for command in commands))
    with open_workspace(where) as book:
        assert violations(book, entries, before) == []
    return entries


def held(book: SqlBook, name: str) -> int:
    return standing.bins(book)[name].mg


def test_of_four_tickets_of_all_that_is_there_one_is_taken(where: str) -> None:
    """10 lb of copper: four were taken, and the bin held -30 lb."""
    with open_workspace(where) as book:
        bins.recount(book, Context("tester", storm.now, new_id), "copper-2", "10 lb")
    ticket = ("ticket", "harbour-yard", "copper-2 10 lb at 4.10 /lb @copper-2")
    entries = race(where, *[ticket] * 4)
    assert sorted("events" in entry for entry in entries) == [False, False, False, True]
    assert all("0" in entry["refused"] and "copper-2" in entry["refused"] for entry in entries if "refused" in entry)
    with open_workspace(where) as book:
        assert held(book, "copper-2") == 0


def test_six_finds_at_once_have_six_names(where: str) -> None:
    entries = race(where, *[("find", "kettle", "--mass", "1.2 kg")] * 6)
    assert all("events" in entry for entry in entries)
    with open_workspace(where) as book:
        assert sorted(standing.finds(book)) == [f"kettle-{n}" for n in range(1, 7)]


def test_recounts_at_once_do_not_add_up(where: str) -> None:
    """What the bin holds is what one of them says, whichever came last."""
    entries = race(where, *[("recount", "copper-2", f"{kg} kg") for kg in (50, 51, 52, 53)])
    assert all("events" in entry for entry in entries)
    with open_workspace(where) as book:
        assert held(book, "copper-2") in {kg * 1_000_000 for kg in (50, 51, 52, 53)}


def test_hauls_and_tickets_at_once_have_names_of_their_own(where: str) -> None:
    ticket = ("ticket", "ridge-yard", "copper-2 2 kg at 9.10 /kg ~yard @copper-2")
    entries = race(where, *[ticket, ("haul", "start", "harbour-yard")] * 3)
    assert all("events" in entry for entry in entries)


def test_commands_started_as_programs_of_their_own(where: str) -> None:
    ticket = "copper-2 20 kg at 9.10 /kg ~yard @copper-2-shed"
    said = [["find", "kettle"], ["ticket", "harbour-yard", ticket], ["ticket", "ridge-yard", ticket]]
    started = [
        subprocess.Popen([PARTWAY, *one, "--workspace", where], stdout=PIPE, stderr=PIPE)  # noqa: S603 (our own)
        for one in said
    ]
    words = [process.communicate(timeout=HUNG)[1].decode() for process in started]
    assert Counter(process.returncode for process in started) == {0: 2, 2: 1}
    assert started[0].returncode == 0
    refused = next(text for text, process in zip(words, started, strict=True) if process.returncode)
    assert refused.startswith("partway: ") and "copper-2-shed" in refused and refused.count("\n") == 1
    with open_workspace(where) as book:
        assert held(book, "copper-2-shed") == 0


def test_a_storm(where: str) -> None:
    """Four processes, sixty random steps each, by all three ways in."""
    before = ids(where)
    entries = ran(where, "4", "60", "1")
    with open_workspace(where) as book:
        assert violations(book, entries, before) == []
    assert len(entries) == 240 and {entry["way"] for entry in entries} == {"action", "json", "command"}
    taken = Counter("events" in entry for entry in entries)
    assert taken[True] > 80 and taken[False] > 5  # it is a storm, and it is held back
    assert not any("keeps locked" in entry.get("refused", "") for entry in entries)


def test_without_the_transaction_the_same_storm_is_found_out(where: str) -> None:
    before, entries, found = ids(where), [], []
    for seed in ("1", "2", "3", "4", "5"):  # who is between whose reading and writing is chance
        entries += ran(where, "4", "20", seed, "broken")
        with open_workspace(where) as book:
            found = violations(book, entries, before)
        if any(" times" in text for text in found):
            break
    assert any(" times" in text for text in found), found
    assert any("that held" in text or "below zero" in text for text in found), found
