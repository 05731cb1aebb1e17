"""`partway export`, `import`, `merge`, `backup`, `restore` and `rebuild` as their entry point runs them.

Source of the contract: docs/scenario.md: bad input gets exit status 2, one message with what was given, what was
expected and where, and nothing is written; JSON goes to stdout alone.
"""

from __future__ import annotations

import json
import sqlite3
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

import pytest
from ledgers.yard import START, START_MS, seeded_history

from partway.cli import main
from partway.ledger.events import kinds as p
from partway.ledger.events.codec import to_text
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built
from partway.storage.workspace import open_workspace

HISTORY = seeded_history(9, 60, 4)
FILES = ("out.jsonl", "out", "out.zip")
any_file = pytest.mark.parametrize("name", FILES)


@dataclass
class Ran:
    """How one run of the command ended."""

    status: object
    out: str
    err: str


class Shell:
    """Runs the installed command in a folder of its own."""

    def __init__(self, folder: Path, patch: pytest.MonkeyPatch, capture: pytest.CaptureFixture[str]) -> None:
        self.folder, self._patch, self._capture = folder, patch, capture
        patch.chdir(folder)
        patch.delenv("PARTWAY_WORKSPACE", raising=False)

    def __call__(self, *words: str) -> Ran:
        self._patch.setattr(sys, "argv", ["partway", *words])
        with pytest.raises(SystemExit) as left:
            sys.exit(main())  # type: ignore[func-returns-value,unused-ignore]
        out, err = self._capture.readouterr()
        return Ran(left.value.code, out, err)

    def done(self, *words: str) -> str:
        """What a run that worked printed. Bins of these histories, and of a part of them, hold less than nothing: that
        is to settle after an import or merge, with exit status 3.
        """
        ran = self(*words)
        if words[0] in ("import", "merge") and ran.status == 3:
            assert ran.err.startswith("partway: merged, with ") and "more came out of" in ran.err
        else:
            assert (ran.status, ran.err) == (0, "")
        return ran.out

    def refused(self, *words: str) -> str:
        """The one message of a run that was refused; no file or folder came of it, and no ledger changed."""
        before, ledgers = self.tree(), self.events()
        ran = self(*words)
        assert (ran.status, ran.out) == (2, "")
        assert ran.err.startswith("partway: ") and ran.err.count("; expected ") == 1 and "Traceback" not in ran.err
        assert self.tree() == before
        assert self.events() == ledgers
        return ran.err

    def tree(self) -> list[Path]:
        """All there is, but for what SQLite keeps beside a ledger."""
        return sorted(path for path in self.folder.rglob("*") if not path.name.endswith(("-wal", "-shm")))

    def events(self) -> dict[str, list[str]]:
        return {str(file): texts(str(file.parent)) for file in self.folder.rglob("ledger.sqlite")}


def texts(workspace: str) -> list[str]:
    """The events of a workspace as its file has them, in canonical text."""
    with open_workspace(workspace) as book:
        return [to_text(event) for event in book.events()]


def fill(workspace: str, events: Sequence[Event]) -> None:
    with open_workspace(workspace) as book:
        book.append(events)


@pytest.fixture
def shell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path, monkeypatch, capsys)


@any_file
def test_export_and_import_carry_a_ledger_over(name: str, shell: Shell) -> None:
    fill("one", HISTORY)
    assert shell.done("export", name, "--workspace", "one") == f"{name}: {len(HISTORY)} events\n"
    said = shell.done("import", name, "--workspace", "two")
    assert said.startswith(f"{name}: {len(HISTORY)} events added, 0 already there\n")
    assert texts("two") == texts("one")
    assert shell.done("import", name, "--workspace", "two") == f"{name}: 0 events added, {len(HISTORY)} already there\n"
    assert texts("two") == texts("one")


def test_the_form_follows_from_the_name_or_is_said(shell: Shell) -> None:
    fill("one", HISTORY[:3])
    for name in ("a.jsonl", "b.ndjson"):
        shell.done("export", name, "--workspace", "one")
        first, *lines = (shell.folder / name).read_text().splitlines()
        assert json.loads(first) == {"format": "partway-events", "version": 2, "events": 3}
        assert [json.loads(line)["kind"] for line in lines] == [event.kind for event in HISTORY[:3]]
    shell.done("export", "c", "--as", "events", "--workspace", "one")
    assert (shell.folder / "c").read_bytes() == (shell.folder / "a.jsonl").read_bytes()
    shell.done("export", "d.jsonl", "--as", "package", "--workspace", "one")
    assert json.loads((shell.folder / "d.jsonl" / "datapackage.json").read_text())["resources"]
    assert shell.done("import", "d.jsonl/datapackage.json", "--workspace", "two").endswith("\n")
    assert texts("two") == texts("one")


def test_the_workspace_of_the_environment_is_used(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    fill("one", HISTORY)
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(shell.folder / "one"))
    assert shell.done("export", "out.jsonl") == f"out.jsonl: {len(HISTORY)} events\n"


@any_file
def test_since_and_until_take_a_part(name: str, shell: Shell) -> None:
    fill("one", HISTORY)
    early = sum(event.happened < START.replace(minute=20) for event in HISTORY)
    assert 0 < early < len(HISTORY)
    assert shell.done("export", name, "--until", "2026-03-01T08:20Z", "--workspace", "one").endswith(
        f" {early} events\n"
    )
    said = shell.done("export", f"2{name}", "--since", "2026-03-01T08:20:00+00:00", "--workspace", "one")
    assert said.endswith(f" {len(HISTORY) - early} events\n")
    shell.done("import", f"2{name}", "--workspace", "two")
    shell.done("import", name, "--workspace", "two")
    assert texts("two") == texts("one")


def test_a_day_begins_at_midnight_here(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three and a half hours west of Greenwich (POSIX TZ) the first of March ends at 03:30 UTC on the second."""
    import time

    late = START.replace(day=2, hour=3, minute=29)
    hours = [replace(HISTORY[0], id=built(START_MS, n), happened=late.replace(minute=29 + n)) for n in (0, 1)]
    fill("one", hours)
    monkeypatch.setenv("TZ", "<-0330>3:30")
    time.tzset()
    try:
        assert shell.done("export", "a.jsonl", "--until", "2026-03-02", "--workspace", "one") == "a.jsonl: 1 event\n"
        assert shell.done("export", "b.jsonl", "--since", "2026-03-02", "--workspace", "one") == "b.jsonl: 1 event\n"
    finally:
        monkeypatch.undo()
        time.tzset()


def test_merge_is_the_union_and_leaves_the_other_alone(shell: Shell) -> None:
    fill("one", HISTORY[: len(HISTORY) * 2 // 3])
    fill("two", HISTORY[len(HISTORY) // 3 :])
    two = texts("two")
    preview = shell.done("merge", "two", "--workspace", "one", "--preview")
    assert preview.endswith("Nothing was written.\n")
    new = len(HISTORY) - len(HISTORY) * 2 // 3
    assert f": {new} events added, {len(two) - new} already there\n" in shell.done("merge", "two", "--workspace", "one")
    assert texts("one") == sorted((to_text(event) for event in HISTORY), key=lambda text: json.loads(text)["id"])
    assert texts("two") == two


def test_a_preview_says_what_would_change_and_writes_nothing(shell: Shell) -> None:
    events = [
        Event(built(START_MS, 1), "me", START, START, p.Set("currency", "CAD")),
        Event(built(START_MS, 2), "me", START, START, p.Found("f1", "fan", mass_mg=3_000_000)),
        Event(built(START_MS, 3), "me", START, START, p.Spent("fuel", Decimal("12.50"), "fuel")),
        Event(built(START_MS, 4), "me", START, START, p.Weighed("f1", 2_999_999, 3_000_000)),
    ]
    fill("one", events)
    fill("two", events[:2])
    shell.done("export", "out.jsonl", "--workspace", "one")
    before = shell.tree()
    said = shell.done("import", "out.jsonl", "--workspace", "two", "--preview")
    assert "2 events new, 2 already there" in said and "spent 1, weighed 1" in said
    assert "find:f1  3000000 mg -> 2999999 mg" in said and "spent:fuel  0 -> -12.50" in said
    assert said.endswith("Nothing was written.\n")
    report = json.loads(shell.done("import", "out.jsonl", "--workspace", "two", "--preview", "--json"))
    assert (report["new"], report["present"], report["kinds"]) == (2, 2, {"spent": 1, "weighed": 1})
    assert {"place": "find:f1", "grade": "", "before_mg": 3_000_000, "after_mg": 2_999_999} in report["masses"]
    assert report["accounts"] == [{"account": "spent:fuel", "before": "0", "after": "-12.50"}]
    shell.done("import", "out.jsonl", "--workspace", "nowhere", "--preview")
    assert shell.tree() == before
    assert len(texts("two")) == 2


def test_backup_and_restore(shell: Shell) -> None:
    fill("one", HISTORY)
    shell.done("backup", "b.sqlite", "--workspace", "one")
    shell.done("restore", "b.sqlite", "--workspace", "two")
    assert texts("two") == texts("one")
    fill("two", [Event(built(START_MS + 10**9, 1), "me", START, START, p.Set("wage", "12"))])
    assert "overwrite" in shell.refused("restore", "b.sqlite", "--workspace", "two")
    assert "kept as" in shell.done("restore", "b.sqlite", "--workspace", "two", "--overwrite")
    assert texts("two") == texts("one")
    assert "b.sqlite: got " in shell.refused("backup", "b.sqlite", "--workspace", "one")
    assert "`partway restore`" in shell.refused("import", "b.sqlite", "--workspace", "one")


def test_rebuild_puts_right_what_follows_from_the_events(shell: Shell) -> None:
    fill("one", HISTORY)
    with open_workspace("one") as book:
        balances = book.balances()
    connection = sqlite3.connect("one/ledger.sqlite")
    connection.execute("UPDATE balance SET mg = mg + 1")
    connection.commit()
    connection.close()
    shell.done("rebuild", "--workspace", "one")
    with open_workspace("one") as book:
        assert book.balances() == balances


# --- refused ---------------------------------------------------------------------------------------


@any_file
def test_an_export_overwrites_nothing(name: str, shell: Shell) -> None:
    fill("one", HISTORY)
    (shell.folder / name).write_text("mine")
    assert f"{name}: got a file that is there already" in shell.refused("export", name, "--workspace", "one")
    assert (shell.folder / name).read_text() == "mine"


@pytest.mark.parametrize("command", ["export out.jsonl", "export out", "backup out.sqlite", "rebuild", "merge nowhere"])
def test_nothing_is_made_only_to_be_read_from(command: str, shell: Shell) -> None:
    message = shell.refused(*command.split(), "--workspace", "nowhere")
    assert "nowhere: got a workspace without a ledger" in message


@pytest.mark.parametrize("text", ["whenever", "", "2026-13-01", "14/03/2026"])
def test_a_time_that_is_none_is_refused(text: str, shell: Shell) -> None:
    fill("one", HISTORY[:1])
    assert "--since: got " in shell.refused("export", "out.jsonl", "--since", text, "--workspace", "one")


def test_a_source_that_is_not_there_is_refused(shell: Shell) -> None:
    assert "nothing.jsonl: got no such file" in shell.refused("import", "nothing.jsonl", "--workspace", "one")


def test_a_damaged_line_is_refused_and_nothing_of_its_file_is_added(shell: Shell) -> None:
    """The last line of many: all that came before it was sound."""
    fill("one", HISTORY)
    fill("two", HISTORY[:2])
    shell.done("export", "out.jsonl", "--workspace", "one")
    file = shell.folder / "out.jsonl"
    lines = file.read_bytes().splitlines(keepends=True)
    file.write_bytes(b"".join(lines[:-1]) + lines[-1][: len(lines[-1]) // 2])
    assert f"out.jsonl, line {len(lines)}: got" in shell.refused("import", "out.jsonl", "--workspace", "two")
    assert f"out.jsonl, line {len(lines)}: got" in shell.refused("import", "out.jsonl", "--workspace", "fresh")


def test_an_edited_cell_is_refused_by_file_row_and_column(shell: Shell) -> None:
    fill("one", HISTORY)
    shell.done("export", "out", "--workspace", "one")
    table = shell.folder / "out" / "found.csv"
    lines = table.read_text().splitlines()
    count = lines[0].split(",").index("count")
    cells = lines[1].split(",")
    table.write_text("\n".join([lines[0], ",".join([*cells[:count], "two", *cells[count + 1 :]]), *lines[2:], ""]))
    message = shell.refused("import", "out", "--workspace", "two")
    assert 'out/found.csv, row 2, column count: got "two"; expected a whole number' in message


def test_another_event_of_the_same_id_is_refused_with_both_named(shell: Shell) -> None:
    mine = Event(built(START_MS, 1), "me", START, START, p.Found("f1", "fan", note="mine"))
    fill("one", [mine])
    fill("two", [*HISTORY, replace(mine, what=p.Found("f1", "fan", note="yours"))])
    for command in (["merge", "two"], ["merge", "two", "--preview"]):
        message = shell.refused(*command, "--workspace", "one")
        assert f"two/ledger.sqlite, event {mine.id}: got event {mine.id} with another data.note" in message
