"""A workspace is made by the first entry, not by a command that was refused; and it is its owner's alone.

Source: what a person expects who looks before recording anything.
"""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hung import HUNG
from ledgers.anybody import Shell, a_day
from ledgers.dumps import dumps, load
from ledgers.servers import empty_schema
from sqlalchemy import create_engine, inspect

from partway.storage.backup.backup import backup, restore
from partway.storage.refusals import BadLedger
from partway.storage.shown_today import NAME
from partway.storage.workspace import FILE, open_workspace

REFUSED = (
    ("find", "no-such-kind"),
    ("find", "microwave", "--mass", "heavy"),
    ("find", "microwave", "--on", "2999-01-01"),
    ("find", "microwave", "--who", " "),
    ("test", "microwave-1", "no"),
    ("weigh", "microwave-1", "3 kg"),
    ("open", "microwave-1", "cord=0.3 kg"),
    ("sell", "microwave-1", "12"),
    ("discard", "microwave-1"),
    ("list", "microwave-1", "--asking", "40"),
    ("reprice", "microwave-1", "40"),
    ("take-down", "microwave-1"),
    ("return", "microwave-1"),
    ("bin", "no-such-grade"),
    ("recount", "copper-2", "3 kg"),
    ("move", "copper-2", "copper-1"),
    ("buyer", "ridge", "--kind", "palace"),
    ("quote", "ridge", "copper-2", "4.10 /lb"),
    ("quotes", "ridge", "copper-2 4.10"),
    ("haul", "start", "ridge"),
    ("haul", "finish"),
    ("ticket", "ridge", "copper-2 10 lb at 4.10 /lb"),
    ("paid", "ridge", "12"),
    ("spend", "fuel", "much"),
    ("hours", "bench", "long"),
    ("correct", "0123abcd"),
    ("set", "currency", "shells"),
    ("place", "no-such-card", "never"),
    ("import", "no-such-file.jsonl"),
    ("merge", "no-such-folder"),
    ("restore", "no-such-backup.sqlite"),
    ("identify", "--confirm", "no-such-material"),
)
EMPTY = (
    ("today",),
    ("stock",),
    ("ledger",),
    ("plan",),
    ("set",),
    ("place",),
    ("doctor",),
    ("export", "out"),
    ("rebuild",),
)


@pytest.fixture(params=["sqlite", "postgres"])
def where(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """Where there is no workspace yet: folders that are not there, or a database without tables."""
    monkeypatch.chdir(tmp_path)
    if request.param == "sqlite":
        yield str(tmp_path / "above" / "workspace")
    else:
        with empty_schema() as url:
            yield url


def nothing(where: str, folder: Path) -> bool:
    """Whether nothing was made."""
    if "://" not in where:
        return not list(folder.iterdir())
    engine = create_engine(where)
    try:
        return not inspect(engine).get_table_names() and not list(folder.iterdir())
    finally:
        engine.dispose()


@pytest.fixture
def shell(where: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(where, monkeypatch, capsys)


def test_a_refused_command_makes_no_workspace(shell: Shell, where: str, tmp_path: Path) -> None:
    for words in REFUSED:
        status, _, err = shell(*words)
        assert status == 2 and err, words
        assert nothing(where, tmp_path), words


def test_showing_where_nothing_is_says_what_to_do(shell: Shell, where: str, tmp_path: Path) -> None:
    for words in EMPTY:
        message = shell.message(2, *words)
        assert "without a ledger" in message, words
        if words[0] not in ("export", "rebuild"):
            assert "partway find KIND begins one" in message, words
        assert nothing(where, tmp_path), words


def test_the_first_entry_makes_it_and_is_there_once(shell: Shell, where: str) -> None:
    shell.done("find", "microwave", "--mass", "13.2 kg", "--json")
    with open_workspace(where, make=False) as book:
        assert [event.kind for event in book.events()] == ["set", "found"]  # the zone of this machine comes first


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.fixture
def wide_open() -> Iterator[None]:
    """A user whose new files everybody may read and write, unless a program says otherwise."""
    before = os.umask(0)
    yield
    os.umask(before)


@pytest.mark.usefixtures("wide_open")
def test_the_ledger_and_its_copies_are_the_owners_alone(tmp_path: Path) -> None:
    with open_workspace(tmp_path / "w") as book:
        book.append([])
        book.rebuild()
        assert mode(tmp_path / "w") == 0o700
        assert sorted(path.name for path in (tmp_path / "w").iterdir()) == [FILE, f"{FILE}-shm", f"{FILE}-wal"]
        assert {mode(path) for path in (tmp_path / "w").iterdir()} == {0o600}
        backup(book, tmp_path / "copy.sqlite")
    assert mode(tmp_path / "copy.sqlite") == 0o600
    (tmp_path / "copy.sqlite").chmod(0o644)
    restore(tmp_path / "copy.sqlite", tmp_path / "new")
    assert (mode(tmp_path / "new"), mode(tmp_path / "new" / FILE)) == (0o700, 0o600)


@pytest.mark.usefixtures("wide_open")
def test_so_is_the_copy_that_is_kept_of_an_older_form(tmp_path: Path) -> None:
    load(dumps()[0], tmp_path / FILE)
    open_workspace(tmp_path).close()
    assert [mode(path) for path in tmp_path.glob(f"{FILE}.form-*")] == [0o600]


@pytest.mark.usefixtures("wide_open")
def test_a_program_of_its_own_makes_it_so_too(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "partway", "find", "microwave", "--workspace", str(tmp_path / "w")]
    subprocess.run(command, check=True, capture_output=True, timeout=HUNG)  # noqa: S603
    assert (mode(tmp_path / "w"), mode(tmp_path / "w" / FILE)) == (0o700, 0o600)


def test_permissions_that_were_set_by_hand_stay(tmp_path: Path) -> None:
    open_workspace(tmp_path / "w").close()
    (tmp_path / "w" / FILE).chmod(0o660)
    open_workspace(tmp_path / "w").close()
    assert mode(tmp_path / "w" / FILE) == 0o660


def test_a_refused_restore_makes_no_folder(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("no ledger")
    with pytest.raises(BadLedger):
        restore(tmp_path / "notes.txt", tmp_path / "a" / "b")
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_a_log_whose_ledger_is_gone_is_not_lost_to_a_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(str(tmp_path), monkeypatch, capsys)
    with open_workspace(tmp_path) as book:
        book.rebuild()
        log = Path(f"{tmp_path / FILE}-wal").read_bytes()
    (tmp_path / FILE).unlink()
    Path(f"{tmp_path / FILE}-wal").write_bytes(log)
    assert len(log) > 0
    assert "a log without its ledger" in shell.message(2, "set", "currency", "CAD")
    assert Path(f"{tmp_path / FILE}-wal").read_bytes() == log


@pytest.mark.parametrize("links", [True, False])
def test_a_ledger_that_appears_meanwhile_is_the_one_that_is_used(
    links: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Another program begins the workspace between the look and the making; also on a file system without links."""
    link = os.link

    def late(source: str, target: str) -> None:
        monkeypatch.setattr("partway.storage.workspace.os.link", link)
        a_day(Shell(str(tmp_path / "w"), monkeypatch, capsys))
        if not links:
            raise PermissionError(1, "Operation not permitted")
        link(source, target)

    monkeypatch.setattr("partway.storage.workspace.os.link", late)
    Shell(str(tmp_path / "w"), monkeypatch, capsys).done("find", "microwave")
    with open_workspace(tmp_path / "w") as book:
        assert {of[0] for of in book.facts("find:", "kind")} == {"find:microwave-1", "find:microwave-2"}
    assert sorted(path.name for path in (tmp_path / "w").iterdir()) == [NAME, FILE]
