"""Looking works where nothing can be written: on a folder that may only be read, and on a full disk.

Source: sqlite.org, "Write-Ahead Logging", on databases that may only be read.
"""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from app_client import visitor
from hung import HUNG
from ledgers import writer
from ledgers.anybody import Shell, a_day, as_anybody, both, contents, day_in, folder_of_anybody, only_file, only_folder
from ledgers.dumps import dumps, load
from ledgers.servers import empty_schema, everything
from warm import commands

from partway.cli import main
from partway.storage.refusals import BadLedger
from partway.storage.workspace import FILE, open_file, open_workspace

MADE: list[dict[str, bytes]] = []
LOOKING = (
    ("today",),
    ("today", "--json"),
    ("stock",),
    ("ledger", "--last", "0"),
    ("set",),
    ("place",),
    ("plan", "--json", "--seconds", "5"),
    ("depth", "--kind", "kettle", "--json"),
    ("export-scenario",),
    ("identify", "--guide", "wire"),
)
PAGES = ("/", "/curb", "/bench", "/bins", "/haul", "/what", "/books", "/books/ledger", "/buyers", "/settings")
any_lock = pytest.mark.parametrize("lock", [only_file, only_folder, both])


@pytest.fixture
def folder() -> Iterator[Path]:
    with folder_of_anybody() as found:
        yield found


@pytest.fixture
def shell(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Iterator[Shell]:
    with as_anybody():
        found = Shell(str(folder), monkeypatch, capsys)
        day_in(found, MADE)
        yield found


def without_time(text: str) -> str:
    """What takes another time in each run."""
    return "\n".join(line for line in text.splitlines() if "seconds" not in line)


@any_lock
def test_what_shows_says_the_same_and_leaves_nothing(lock: Callable[[Path], None], shell: Shell, folder: Path) -> None:
    before = [without_time(shell.done(*words)) for words in LOOKING]
    lock(folder)
    kept = contents(folder)
    assert [without_time(shell.done(*words)) for words in LOOKING] == before
    assert contents(folder) == kept


@any_lock
def test_the_ledger_can_be_taken_elsewhere(lock: Callable[[Path], None], shell: Shell, folder: Path) -> None:
    lock(folder)
    with folder_of_anybody() as other:
        shell.done("export", str(other / "out.jsonl"))
        assert "doctor will not know" not in shell.done("backup", str(other / "copy.sqlite")) or lock is not only_file
        shell.done("import", str(other / "out.jsonl"), "--workspace", str(other / "w"))
        with (
            open_file(other / "copy.sqlite") as copy,
            open_workspace(other / "w") as new,
            open_workspace(folder) as old,
        ):
            assert old.refusal is not None and copy.refusal is None
            assert everything(copy) == everything(new) == everything(old)


@any_lock
def test_writing_there_is_one_refusal(lock: Callable[[Path], None], shell: Shell, folder: Path) -> None:
    lock(folder)
    kept = contents(folder)
    for words in (("find", "toaster"), ("set", "unit", "lb"), ("rebuild",), ("correct", "microwave-1")):
        message = shell(*words)
        if words != ("correct", "microwave-1"):  # what is not an id is refused before that
            assert (
                message[0] == 2
                and "may only be read; expected a file and a folder that may be written to" in message[2]
            )
    assert contents(folder) == kept


def test_what_another_program_wrote_since_is_seen(shell: Shell, folder: Path) -> None:
    """It has the ledger open, so that its last entries are in the log; then it closes it, and there is no log."""
    with open_workspace(folder) as writing:
        both(folder)
        writing.append([writer.found(1)])
        assert Path(f"{folder / FILE}-wal").stat().st_size
        with open_workspace(folder) as looking:
            assert looking.refusal is not None
            first = looking.mark()
            assert [of for of in looking.facts("find:f") if of[1] == "kind"] == [("find:f1", "kind")]
            writing.append([writer.found(2)])
            assert len([of for of in looking.facts("find:f") if of[1] == "kind"]) == 2
            assert looking.mark() != first
    assert "f2" in shell.done("ledger", "--json")


def test_a_log_without_its_index_is_read_too(shell: Shell, folder: Path) -> None:
    """As in a copy of both files that was made while a program had them open."""
    with folder_of_anybody() as other:
        with open_workspace(folder) as writing:
            writing.append([writer.found(1)])
            for ending in ("", "-wal"):
                shutil.copyfile(f"{folder / FILE}{ending}", f"{other / FILE}{ending}")
        both(other)
        kept = contents(other)
        assert "f1" in shell.done("ledger", "--json", "--workspace", str(other))
        assert contents(other) == kept


def test_what_changes_while_it_is_read_is_not_shown_as_right(shell: Shell, folder: Path) -> None:
    """Nobody has the file open, so it is read without a lock; then somebody writes and brings the log into the file."""
    del shell
    with open_workspace(folder) as first:
        first.append([writer.found(n) for n in range(3)])
    only_file(folder)
    with open_workspace(folder) as looking:
        events = looking.events()
        next(events)
        (folder / FILE).chmod(0o600)
        with open_workspace(folder) as writing:
            writing.append([writer.found(7)])
        with pytest.raises(BadLedger, match="a ledger that changed while it was read"):
            list(events)
        assert any(event.id == writer.found(7).id for event in looking.events())


@pytest.mark.parametrize("dump", dumps(), ids=lambda dump: dump.stem)
def test_a_ledger_of_an_older_form_is_shown_and_stays_as_it_is(dump: Path, tmp_path: Path) -> None:
    load(dump, tmp_path / FILE)
    with folder_of_anybody() as folder, as_anybody():
        shutil.copyfile(tmp_path / FILE, folder / FILE)
        both(folder)
        kept = contents(folder)
        with open_workspace(folder) as looking:
            shown = everything(looking)
            with pytest.raises(BadLedger, match="may only be read"):
                looking.append([writer.found(1)])
        assert contents(folder) == kept
    with open_workspace(tmp_path) as book:
        assert shown == everything(book)


def test_a_full_disk(shell: Shell, folder: Path) -> None:
    """The system lets no file of the process grow: not even the index that SQLite keeps beside an open ledger."""
    before = {words: without_time(shell.done(*words)) for words in LOOKING}
    kept = contents(folder)
    for words, said in before.items():
        done = starved(folder, *words)
        assert (done.returncode, done.stderr) == (0, ""), words
        assert without_time(done.stdout) == said
    assert contents(folder)[FILE] == kept[FILE]
    done = starved(folder, "find", "toaster")
    assert done.returncode == 2 and len(done.stderr.splitlines()) == 1 and "disk" in done.stderr
    assert contents(folder)[FILE] == kept[FILE]
    assert "toaster-1" in shell.done("find", "toaster")


def test_on_a_full_disk_no_workspace_is_begun(shell: Shell, folder: Path) -> None:
    shell.done("today")
    kept = sorted(contents(folder))
    command = [sys.executable, "-c", "import test_looking; test_looking.full()", "find", "toaster"]
    environment = {
        **os.environ,
        "PARTWAY_WORKSPACE": str(folder / "new" / "one"),
        "PYTHONPATH": os.pathsep.join(sys.path),
    }
    done = subprocess.run(command, capture_output=True, text=True, env=environment, timeout=HUNG, check=False)  # noqa: S603
    assert done.returncode == 2 and "disk" in done.stderr
    assert sorted(contents(folder)) == kept and not (folder / "new").exists()


def full() -> None:
    """The command line in a process of which no file may grow."""
    sys.dont_write_bytecode = True
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    main()


def starved(workspace: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return commands().run("test_looking:full", *words, PARTWAY_WORKSPACE=str(workspace))


@any_lock
def test_the_app_shows_and_refuses_to_save(lock: Callable[[Path], None], shell: Shell, folder: Path) -> None:
    shell.done("today")
    lock(folder)
    kept = contents(folder)
    with visitor(folder) as one:
        for path in PAGES:
            one.open(path)
        answer = one.fill("/settings", "/settings", name="mine")
        assert answer.status_code == 503
        assert "may only be read" in answer.text and "mine" in answer.text
        assert one.client.post("/api/find", json={"kind": "toaster"}).status_code == 503
    assert contents(folder) == kept


def test_a_server_that_lets_nobody_write(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """PostgreSQL, "Client Connection Defaults", default_transaction_read_only."""
    with empty_schema() as url:
        shell = Shell(url, monkeypatch, capsys)
        a_day(shell)
        said = shell.done("stock")
        shell.workspace = url + "%20-cdefault_transaction_read_only%3Don"
        assert shell.done("stock") == said
        assert "a ledger that may only be read" in shell.message(2, "set", "unit", "lb")
