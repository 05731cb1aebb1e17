"""`partway merge`, `import` and `conflicts` where two devices disagree, as their entry point runs them: nothing is
lost, the exit status is 3, each conflict is named with what settles it, and every figure of it is marked until then.
"""

from __future__ import annotations

import io
import json
import re
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from disagreement import Person, part

from partway.cli import main
from partway.cli.context import CommandContext
from partway.ledger.balance.conflicts import CODES
from partway.storage.workspace import open_workspace

SIGN = "\N{NOT EQUAL TO}"


@dataclass
class Ran:
    """How one run of the command ended."""

    status: object
    out: str
    err: str


class Shell:
    """Runs the installed command on one of two workspaces that disagree."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch, capture: pytest.CaptureFixture[str]) -> None:
        self.folder, self._patch, self._capture = folder, patch, capture
        patch.chdir(folder)
        patch.setenv("PARTWAY_WORKSPACE", str(folder / "mine"))
        with open_workspace(folder / "mine") as mine, open_workspace(folder / "theirs") as theirs:
            part(Person(mine, "jo"), Person(theirs, "sam"))

    def __call__(self, *words: str) -> Ran:
        self._patch.setattr(sys, "argv", ["partway", *words])
        with pytest.raises(SystemExit) as left:
            main()
        out, err = self._capture.readouterr()
        return Ran(left.value.code, out, err)

    def json(self, *words: str) -> Any:
        """What a run wrote as JSON."""
        ran = self(*words, "--json")
        assert (ran.status, ran.err) == (0, "")
        return json.loads(ran.out)


@pytest.fixture
def shell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path, monkeypatch, capsys)


def test_two_ledgers_without_a_word_against_each_other_merge_as_before(shell: Shell) -> None:
    assert shell("conflicts").out == "No conflicts: all that is in the ledger can be true.\n"
    assert shell.json("conflicts") == []
    ran = shell("merge", "mine", "--workspace", "new")
    assert (ran.status, ran.err) == (0, "")


def test_a_merge_that_leaves_conflicts_says_each_and_how_to_settle_it(shell: Shell) -> None:
    ran = shell("merge", "theirs")
    assert ran.status == 3
    assert "events added" in ran.out
    listed = shell.json("conflicts")
    assert {line["code"] for line in listed} == set(CODES)
    assert f"{len(listed)} conflicts to settle" in ran.err
    for one in shell("conflicts").out.split("\n\n"):  # each as it is listed, with its ways to settle it
        assert one.partition("\n")[0] in ran.err
    for line in listed:
        for side in line["sides"]:
            assert f"partway correct {side['id']}" in ran.err
    again = shell("merge", "theirs")  # nothing new, and nothing settled by it
    assert again.status == 3 and "0 events added" in again.out


def test_a_file_that_is_imported_ends_alike(shell: Shell) -> None:
    assert shell("export", "theirs.jsonl", "--workspace", "theirs").status == 0
    preview = shell("import", "theirs.jsonl", "--preview")
    assert preview.status == 0 and preview.out.count("to settle: ") == len(CODES)
    assert shell.json("conflicts") == []
    ran = shell("import", "theirs.jsonl", "--json")
    assert ran.status == 3
    assert {line["code"] for line in json.loads(ran.out)["conflicts"]} == set(CODES)


def test_both_ways_round_the_same_is_in_conflict(shell: Shell) -> None:
    shell("merge", "theirs")
    shell("merge", "mine", "--workspace", "theirs")
    mine, theirs = shell.json("conflicts"), shell.json("conflicts", "--workspace", "theirs")
    for line in (*mine, *theirs):
        assert [side["here"] for side in line["sides"]].count(True) == 1
        for side in line["sides"]:
            del side["here"]
    assert mine == theirs


def test_every_figure_of_what_is_in_conflict_is_marked(shell: Shell) -> None:
    for words in ("today", "overview", "stock"):
        assert SIGN not in shell(words).out
    shell("merge", "theirs")
    today, stands, stock = shell("today").out, shell("overview").out, shell("stock").out
    assert today.index("TO SETTLE") < today.index("NEXT") < today.index("Settle what cannot all be true")
    marked = [line for line in stands.splitlines() if line.endswith(f"{SIGN} two devices disagree")]
    assert [re.findall(r"\[(fan-[12])\]|(No. 2 copper):", line)[0] for line in marked[:3]] == [
        ("fan-1", ""), ("fan-2", ""), ("", "No. 2 copper")
    ]  # fmt: skip
    assert f"{SIGN} two devices disagree" in next(
        line for line in stock.splitlines() if line.startswith("No. 2 copper")
    )
    assert f"{SIGN} more went out" in next(line for line in stock.splitlines() if line.startswith("Electric motors"))
    assert f"{SIGN} two devices disagree about No. 2 copper, Electric motors" in " ".join(stock.split())
    report = shell.json("overview")
    assert [find["conflict"] for find in report["waiting"]] == [["words-differ"], ["listing-oversold"]]
    assert report["stale"][0]["conflict"] == ["recounts-differ"]
    assert report["handled"]["conflict"] and len(shell.json("today")["conflicts"]) == len(CODES)
    by_bin = {line["bin"]: line["conflict"] for line in shell.json("stock")["lines"]}
    assert by_bin == {"copper-2": ["recounts-differ"], "motors": ["bin-below-zero"]}


def test_a_plan_says_before_its_money_what_may_not_be_there(shell: Shell) -> None:
    assert "may not be there" not in shell("plan", "--seconds", "1").out
    shell("merge", "theirs")
    page = " ".join(shell("plan", "--seconds", "1").out.split())
    assert page.index("TO SETTLE: WHAT THIS PLAN COUNTS MAY NOT BE THERE") < page.index("in cash expected")
    assert f"copper-2 (no. 2 copper) {SIGN} two devices disagree" in page
    conflict = shell.json("plan", "--seconds", "1")["conflict"]
    assert {"place": "bin:copper-2", "of": "copper-2", "conflict": ["recounts-differ"]} in conflict
    # What is left out is not counted.
    assert {one["place"] for one in conflict} <= {
        "bin:copper-2",
        "find:fan-1",
        "find:fan-2",
    }  # what is left out is not counted


def test_a_correction_of_any_side_settles_it(shell: Shell) -> None:
    shell("merge", "theirs")
    while listed := shell.json("conflicts"):
        assert shell("correct", listed[0]["sides"][-1]["id"]).status == 0
        assert len(shell.json("conflicts")) < len(listed)
    assert SIGN not in shell("today").out + shell("overview").out + shell("stock").out
    assert shell("merge", "theirs").status == 0


def test_putting_the_bin_on_the_scale_settles_it_too(shell: Shell) -> None:
    shell("merge", "theirs")
    for name, mass in (("copper-2", "61 lb"), ("motors", "3 lb")):
        assert shell("recount", name, mass).status == 0
    left = {line["code"] for line in shell.json("conflicts")}
    assert left == set(CODES) - {"recounts-differ", "bin-below-zero"}


def test_each_is_asked_about_and_enter_leaves_it(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    shell("merge", "theirs")
    listed = shell.json("conflicts")
    assert "a terminal" in shell("conflicts", "--settle").err and shell.json("conflicts") == listed
    monkeypatch.setattr(CommandContext, "may_ask", property(lambda ctx: not ctx.as_json))
    monkeypatch.setattr(sys, "stdin", io.StringIO("\n" * len(listed)))
    asked = shell("conflicts", "--settle")
    assert asked.status == 0 and asked.err.count("I cannot tell: leave it") == len(listed)
    assert shell.json("conflicts") == listed
    for _ in listed:  # some rest on others, and are settled once those are
        monkeypatch.setattr(sys, "stdin", io.StringIO("2\n" * len(listed)))
        assert shell("conflicts", "--settle").status == 0
    assert shell.json("conflicts") == []
