"""`partway doctor`: each check on a fault that was really made, and what it says to do.

Exit status 0 all is well, 1 something needs doing, 2 nothing to look at.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from ledgers import writer
from ledgers.anybody import Shell, a_day, as_anybody, both, contents, day_in, folder_of_anybody
from ledgers.servers import empty_schema
from photographs import saved, scene

from partway.actions.bench.finds import find
from partway.actions.pictures.picturing import picture
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.photographs.cleaning import cleaned
from partway.storage.backup.backups import note_backup
from partway.storage.doctor import examine
from partway.storage.photographs.folder import FOLDER
from partway.storage.refusals import BadLedger
from partway.storage.workspace import FILE, open_workspace

MADE: list[dict[str, bytes]] = []
NOW = dt.datetime.now().astimezone()
DAY = dt.timedelta(days=1)
CHECKS = [
    *("file", "permissions", "disk", "copies"),
    *("writing", "events", "balance", "read models", "own kinds", "conflicts"),
    *("photographs", "backups", "prices", "clock"),
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "w"


@pytest.fixture
def shell(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    """A workspace in which all is well."""
    found = Shell(str(folder), monkeypatch, capsys)
    day_in(found, MADE)
    found.done("backup", str(tmp_path / "copy.sqlite"))
    return found


def change(file: Path, statement: str, *values: object) -> None:
    with closing(sqlite3.connect(file)) as connection:
        assert connection.execute(statement, values).rowcount > 0
        connection.commit()


def found(shell: Shell) -> dict[str, list[dict[str, Any]]]:
    """What needs doing, by check, both as text and as JSON."""
    status, out, err = shell("doctor", "--json")
    told = json.loads(out)
    by_check = {check["check"]: check["findings"] for check in told["checks"] if check["findings"]}
    assert err == "" and status == (1 if by_check else 0)
    assert told["todo"] == sum(len(findings) for findings in by_check.values())
    again, text, _ = shell("doctor")
    assert again == status
    for findings in by_check.values():
        for finding in findings:
            assert finding["what"] in text and f"to do: {finding['todo']}" in text
    return by_check


def only(shell: Shell, check: str) -> dict[str, Any]:
    """The one thing that needs doing."""
    by_check = found(shell)
    assert list(by_check) == [check] and len(by_check[check]) == 1, by_check
    return by_check[check][0]


def test_all_is_well(shell: Shell, folder: Path) -> None:
    before = contents(folder)
    out = shell.done("doctor")
    assert out.endswith("All is well.\n") and out.startswith(str(folder / FILE))
    assert [c["check"] for c in json.loads(shell.done("doctor", "--json"))["checks"]] == CHECKS
    assert contents(folder) == before


def test_nothing_to_look_at(tmp_path: Path, shell: Shell) -> None:
    shell.workspace = str(tmp_path / "nowhere")
    assert "partway find KIND begins one" in shell.message(2, "doctor")
    assert not (tmp_path / "nowhere").exists()


def test_what_two_devices_say_and_cannot_both_be_true(shell: Shell, folder: Path, tmp_path: Path) -> None:
    """A find sold on one device and given up on another."""
    shell.done("find", "toaster", "--mass", "1.5kg")
    shell.done("export", str(tmp_path / "both.jsonl"))
    there = str(tmp_path / "there")
    shell.done("import", str(tmp_path / "both.jsonl"), "--workspace", there)
    shell.done("sell", "toaster-1", "5")
    shell.done("discard", "toaster-1", "--workspace", there)
    assert shell("merge", there)[0] == 3
    shell.done("backup", str(tmp_path / "again.sqlite"))
    by_check = found(shell)
    assert list(by_check) == ["conflicts"]
    finding = by_check["conflicts"][0]
    assert "toaster-1" in finding["what"] and "partway correct" in finding["todo"] and len(finding["events"]) == 2


def test_a_damaged_file(shell: Shell, folder: Path) -> None:
    """Pages in the middle of it are overwritten, as a bad disk would."""
    size = (folder / FILE).stat().st_size
    with (folder / FILE).open("r+b") as file:
        file.seek(size // 2 // 4096 * 4096)
        file.write(b"\xff" * 8192)
    by_check = found(shell)
    assert all("damaged" in finding["what"] or "SQLite" in finding["what"] for finding in by_check["file"])
    assert "partway restore" in by_check["file"][0]["todo"]


def test_a_file_of_another_sort(shell: Shell, folder: Path) -> None:
    (folder / FILE).write_bytes(b"a list of things to do\n" * 300)
    (folder / FILE).chmod(0o600)
    assert "a file of another sort" in only(shell, "file")["what"]


def test_the_database_of_another_program(shell: Shell, folder: Path) -> None:
    with closing(sqlite3.connect(folder / FILE)) as connection:
        connection.execute("PRAGMA application_id = 7")
    assert only(shell, "file")["what"] == "a database of another program"


def test_a_ledger_of_a_newer_partway(shell: Shell, folder: Path) -> None:
    change(folder / FILE, "UPDATE alembic_version SET version_num = '9999'")
    finding = only(shell, "file")
    assert "newer partway" in finding["what"]


def test_rows_that_refer_to_events_that_are_gone(shell: Shell, folder: Path) -> None:
    change(folder / FILE, "DELETE FROM event WHERE kind = 'quoted'")
    by_check = found(shell)
    assert any("refer to events that are not there" in finding["what"] for finding in by_check["file"])


def test_others_may_read_a_key_of_https(shell: Shell, folder: Path) -> None:
    (folder / "https").mkdir()
    (folder / "https" / "authority.key").touch(0o600)
    assert found(shell) == {}
    (folder / "https" / "authority.key").chmod(0o640)
    finding = only(shell, "permissions")
    assert finding["todo"] == f"chmod 600 {folder / 'https' / 'authority.key'}"


def a_photograph(folder: Path, tmp_path: Path) -> Path:
    """One of a toaster by the command, and the file in which it is kept."""
    sent = tmp_path / "sent.jpg"
    sent.write_bytes(saved(scene()))
    with open_workspace(folder) as book:
        before = {event.id for event in book.events(("pictured",))}
        find(book, Context("tester", lambda: NOW, new_id), "toaster")
        picture(book, Context("tester", lambda: NOW, new_id), "toaster-1", cleaned(sent.read_bytes()))
        assert len({event.id for event in book.events(("pictured",))} - before) == 1
        note_backup(book, "", book.state()[0], NOW)
    (file,) = (folder / FOLDER).glob("*")
    return file


def test_a_photograph_that_is_gone_or_damaged_and_comes_back(shell: Shell, folder: Path, tmp_path: Path) -> None:
    file = a_photograph(folder, tmp_path)
    assert "1 whole" in shell.done("doctor")
    shell.done("export", str(tmp_path / "p.zip"))
    whole = file.read_bytes()
    for damage in (file.unlink, lambda: file.write_bytes(whole[:-1] + b"?"), lambda: file.write_bytes(b"")):
        damage()
        finding = only(shell, "photographs")
        assert finding["what"].startswith("a photograph of the toaster, ")
        assert finding["what"].endswith(", is missing or damaged")
        assert "partway import PACKAGE" in finding["todo"] and len(finding["events"]) == 1
        shell.done("import", str(tmp_path / "p.zip"))
        assert found(shell) == {} and file.read_bytes() == whole


def test_a_photograph_that_was_taken_back_is_not_missed(shell: Shell, folder: Path, tmp_path: Path) -> None:
    a_photograph(folder, tmp_path).unlink()
    (event,) = only(shell, "photographs")["events"]
    shell.done("correct", event)
    assert "photographs" not in found(shell)


def test_others_may_look_at_a_photograph(shell: Shell, folder: Path, tmp_path: Path) -> None:
    file = a_photograph(folder, tmp_path)
    assert found(shell) == {}
    file.chmod(0o644)
    assert only(shell, "permissions")["todo"] == f"chmod 600 {file}"


@pytest.mark.parametrize(("mode", "what"), [(0o644, "read"), (0o660, "read and change")])
def test_others_may_read_the_ledger(mode: int, what: str, shell: Shell, folder: Path) -> None:
    (folder / FILE).chmod(mode)
    finding = only(shell, "permissions")
    assert f"may {what} {FILE}" in finding["what"] and f"mode {mode:o}" in finding["what"]
    assert finding["todo"] == f"chmod 600 {folder / FILE}"
    os.system(finding["todo"])  # noqa: S605 (that it mends it is what is tested)
    assert found(shell) == {}


def test_others_may_read_a_copy_or_a_backup(shell: Shell, folder: Path, tmp_path: Path) -> None:
    shutil.copyfile(folder / FILE, folder / f"{FILE}.before-20260101T000000Z-00ff")
    (folder / f"{FILE}.before-20260101T000000Z-00ff").chmod(0o644)
    (tmp_path / "copy.sqlite").chmod(0o640)
    by_check = found(shell)
    assert by_check["permissions"][0]["todo"].endswith("00ff")
    assert by_check["backups"][0]["todo"] == f"chmod 600 {tmp_path / 'copy.sqlite'}"


def test_others_may_take_the_ledger_away(shell: Shell, folder: Path) -> None:
    folder.chmod(0o777)
    assert only(shell, "permissions")["todo"] == f"chmod 700 {folder}"


def test_a_disk_without_room_for_a_copy(shell: Shell, folder: Path) -> None:
    """The file is made longer than what is free, with a hole that takes no room."""
    os.truncate(folder / FILE, shutil.disk_usage(folder).free)
    assert "free, and the ledger with its copy may take" in only(shell, "disk")["what"]


@pytest.mark.parametrize(
    "name", ["ledger (1).sqlite", "ledger-conflict.sqlite", "ledger.sqlite.sync-7", "Ledger 2.SQLITE"]
)
def test_what_a_program_leaves_that_keeps_folders_alike(name: str, shell: Shell, folder: Path, tmp_path: Path) -> None:
    shutil.copyfile(folder / FILE, folder / name)
    (folder / name).chmod(0o600)
    finding = only(shell, "copies")
    assert name in finding["what"] and "all that is in it is in this ledger" in finding["what"]
    (folder / name).unlink()
    (tmp_path / "two").mkdir()
    shutil.copyfile(folder / FILE, tmp_path / "two" / FILE)
    with open_workspace(tmp_path / "two") as book:
        book.append([writer.found(1), writer.found(2)])
    shutil.copyfile(tmp_path / "two" / FILE, folder / name)
    (folder / name).chmod(0o600)
    finding = only(shell, "copies")
    assert "a ledger with 2 entries that this one has not" in finding["what"]
    assert "partway merge" in finding["todo"]


def test_what_it_says_of_such_a_copy_mends_it(shell: Shell, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copyfile(folder / FILE, folder / "ledger (1).sqlite")
    with open_workspace(folder) as book:
        book.append([writer.found(1)])
    (folder / FILE).replace(folder / "swapped")
    (folder / "ledger (1).sqlite").replace(folder / FILE)
    (folder / "swapped").replace(folder / "ledger (1).sqlite")
    (folder / FILE).chmod(0o600)
    monkeypatch.chdir(folder)
    make, move, merge = only(shell, "copies")["todo"].partition(";")[0].split(" && ")
    assert os.system(f"{make} && {move}") == 0  # noqa: S605 (that it mends it is what is tested)
    shell.done(*merge.split()[1:])
    assert "f1" in shell.done("ledger", "--json")
    assert found(shell) == {}


def test_a_second_ledger_under_any_name(shell: Shell, folder: Path) -> None:
    with open_workspace(folder / "other") as book:
        book.append([writer.found(1)])
    shutil.copyfile(folder / "other" / FILE, folder / "old things.db")
    shutil.copyfile(folder / FILE, folder / "plain copy.db")
    assert "old things.db is a ledger with 1 entry that this one has not" in only(shell, "copies")["what"]
    assert "plain copy.db is a copy with nothing in it that is not here" in shell("doctor")[1]


def test_a_name_of_the_ledger_that_is_none(shell: Shell, folder: Path) -> None:
    (folder / "ledger (2).sqlite").write_text("half of it")
    assert "cannot be read as one" in only(shell, "copies")["what"]


def test_a_log_without_its_ledger(shell: Shell, folder: Path) -> None:
    (folder / FILE).rename(folder / "gone")
    (folder / f"{FILE}-wal").write_bytes(b"the last entries")
    by_check = found(shell)
    assert "lies here without its ledger" in by_check["copies"][0]["what"]
    with pytest.raises(BadLedger, match="a log without its ledger"):
        open_workspace(folder)


def test_what_a_killed_program_left_is_a_note(shell: Shell, folder: Path) -> None:
    shutil.copyfile(folder / FILE, folder / f".{FILE}.0a1b2c3d")
    (folder / f".{FILE}.0a1b2c3d").chmod(0o600)
    assert "may be deleted" in shell.done("doctor")


@pytest.fixture
def locked(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Iterator[Shell]:
    with folder_of_anybody() as folder, as_anybody():
        shell = Shell(str(folder), monkeypatch, capsys)
        a_day(shell)
        with open_workspace(folder) as book:
            note_backup(book, "", book.state()[0], NOW)
        both(folder)
        yield shell


def test_a_ledger_that_cannot_be_written(locked: Shell) -> None:
    assert "may only be read" in only(locked, "writing")["what"]


def test_damaged_events(shell: Shell, folder: Path) -> None:
    change(folder / FILE, "UPDATE event SET data = '{' WHERE kind IN ('found', 'quoted')")
    findings = found(shell)["events"]
    assert len(findings) == 2
    with closing(sqlite3.connect(folder / FILE)) as connection:
        ids = {text for (text,) in connection.execute("SELECT id FROM event WHERE kind IN ('found', 'quoted')")}
    assert {finding["events"][0] for finding in findings} == ids
    assert all("partway restore" in finding["todo"] for finding in findings)


def test_a_balance_that_does_not_add_up(shell: Shell, folder: Path) -> None:
    change(folder / FILE, "UPDATE balance SET mg = mg + 3 WHERE place = 'bin:copper-2'")
    by_check = found(shell)
    assert "3 mg apart" in by_check["balance"][0]["what"]
    assert "balance" in by_check["read models"][0]["what"]
    shell.done("rebuild")
    assert found(shell) == {}


@pytest.mark.parametrize(
    ("table", "statement"),
    [
        ("word", "UPDATE word SET value = 'lb' WHERE name = 'value'"),
        ("account", "INSERT INTO account VALUES ('spent:fuel', '-3')"),
        ("move", "UPDATE move SET mg = mg + 1"),
        ("fact", "DELETE FROM fact WHERE name = 'heard'"),
        ("about", "DELETE FROM about WHERE subject LIKE 'bin:%'"),
    ],
)
def test_what_follows_from_the_events_and_does_not(table: str, statement: str, shell: Shell, folder: Path) -> None:
    change(folder / FILE, statement)
    finding = only(shell, "read models")
    assert finding["what"] == f"tables that differ from the events: {table}"
    assert "partway rebuild" in finding["todo"]
    shell.done("rebuild")
    assert found(shell) == {}


def test_no_backup(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(str(folder), monkeypatch, capsys)
    shell.done("find", "kettle")
    finding = only(shell, "backups")
    assert "no backup is known of" in finding["what"] and "partway backup FILE" in finding["todo"]


def test_a_backup_that_is_old(shell: Shell, folder: Path) -> None:
    """Old is one of more than two weeks, if something was recorded since."""
    assert examine(folder, NOW + 20 * DAY).todo == 0
    shell.done("find", "kettle")
    for days, todo in ((13, 0), (16, 1)):
        told = examine(folder, NOW + days * DAY + DAY / 2)
        assert told.todo == todo, told
    (finding,) = [f for check in told.checks for f in check.findings]
    assert "16 days old" in finding.what and "1 entry" in finding.what


def test_a_backup_whose_file_is_gone_is_a_note(shell: Shell, tmp_path: Path) -> None:
    (tmp_path / "copy.sqlite").unlink()
    assert "is not there now" in shell.done("doctor")


def test_half_a_line_of_the_list_of_backups(shell: Shell, folder: Path) -> None:
    with (folder / "backups.jsonl").open("a", encoding="utf-8") as lines:
        lines.write('{"ledger": "')
    assert found(shell) == {}


def test_a_price_that_is_old(shell: Shell, folder: Path, tmp_path: Path) -> None:
    """To two weeks it is as good as new, to thirty days it is worth a note, then somebody should ask."""
    shell.done("bin", "brass-yellow", "--holds", "3 kg")
    with open_workspace(folder) as book:
        note_backup(book, "", book.state()[0], NOW + 31 * DAY)
    for days, findings, notes in ((13, 0, 0), (15, 0, 1), (30, 0, 1), (31, 1, 0)):
        told = examine(folder, NOW + days * DAY)
        (check,) = [check for check in told.checks if check.check == "prices"]
        assert (len(check.findings), sum("No. 2 copper" in note for note in check.remarks)) == (findings, notes), days
        assert any("nobody has quoted it" in note for note in check.remarks)
    assert "No. 2 copper: 31 days old, from ridge" in check.findings[0].what
    assert "partway quote ridge copper-2" in check.findings[0].todo


def test_entries_in_the_future(shell: Shell, folder: Path) -> None:
    told = examine(folder, NOW - dt.timedelta(hours=1))
    (check,) = [check for check in told.checks if check.check == "clock"]
    assert "later than the clock" in check.findings[0].what
    with open_workspace(folder) as book:
        ids = {str(event.id) for event in book.events()}
    assert set(check.findings[0].events) <= ids
    assert found(shell) == {}


def test_on_a_server_what_concerns_files_is_left_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with empty_schema() as url:
        shell = Shell(url, monkeypatch, capsys)
        assert "without a ledger" in shell.message(2, "doctor")
        a_day(shell)
        assert "no backup" in only(shell, "backups")["what"]
        shell.done("backup", str(tmp_path / "copy.sqlite"))
        assert [c["check"] for c in json.loads(shell.done("doctor", "--json"))["checks"]] == CHECKS[4:]
        with open_workspace(url) as book, book.writing() as connection:
            connection.exec_driver_sql("UPDATE balance SET mg = mg + 1 WHERE place = 'bin:copper-2'")
            connection.exec_driver_sql("UPDATE event SET data = '[]' WHERE kind = 'found'")
        by_check = found(shell)
        assert set(by_check) == {"events"}
        assert shell("ledger")[0] == 1
