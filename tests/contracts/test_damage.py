"""An event that was changed by hand or damaged is one message that names it, exit status 1, wherever it is met.

Source: docs/never.md, section 5.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from app_client import visitor
from ledgers.anybody import Shell, contents, day_in

from partway.errors import LedgerDamaged
from partway.storage.workspace import FILE, open_workspace

KINDS = ("opened", "found", "quoted")
MADE: list[dict[str, bytes]] = []
BROKEN = {
    "broken JSON": '{"count":1,',
    "not JSON at all": "mouse ate it",
    "no fields": "{}",
    "a list": "[]",
    "text for a mass": None,
    "nesting without end": "[" * 100_000,
}


@pytest.fixture
def shell(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Shell:
    monkeypatch.chdir(tmp_path)
    found = Shell(str(tmp_path / "w"), monkeypatch, capsys)
    day_in(found, MADE)
    return found


def change(folder: Path, statement: str, *values: object) -> None:
    with closing(sqlite3.connect(folder / FILE)) as connection:
        assert connection.execute(statement, values).rowcount > 0
        connection.commit()


def one_of(folder: Path, kind: str) -> tuple[str, str]:
    """Id and data of an event."""
    with closing(sqlite3.connect(folder / FILE)) as connection:
        found: tuple[str, str] = connection.execute("SELECT id, data FROM event WHERE kind = ?", (kind,)).fetchone()
        return found


def on_disk(folder: Path) -> dict[str, bytes]:
    """Every file but SQLite's own, which a test that holds on to an error keeps open."""
    return {name: data for name, data in contents(folder).items() if not name.endswith(("-wal", "-shm"))}


def damage(folder: Path, kind: str, how: str) -> str:
    """The id of the event whose data was changed so."""
    event_id, data = one_of(folder, kind)
    text = BROKEN[how]
    if text is None:
        fields = json.loads(data)
        name = next(name for name in fields if name.endswith(("mass_mg", "residue_mg", "from_mg")))
        text = json.dumps(fields | {name: "a lot"})
    change(folder, "UPDATE event SET data = ? WHERE id = ?", text, event_id)
    return event_id


@pytest.mark.parametrize("how", BROKEN)
@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_event_is_named(kind: str, how: str, shell: Shell, tmp_path: Path) -> None:
    event_id = damage(tmp_path / "w", kind, how)
    before = on_disk(tmp_path)
    for words in (("ledger",), ("export", "out.jsonl"), ("export", "out"), ("backup", "copy.sqlite"), ("rebuild",)):
        message = shell.message(1, *words)
        assert f"event {event_id}" in message and "partway doctor" in message and "partway restore" in message, words
        assert len(message) < 700
    assert on_disk(tmp_path) == before
    status, out, _ = shell("doctor")
    assert status == 1 and event_id in out


def test_the_plan_and_the_day_do_not_go_on_without_an_opening(shell: Shell, tmp_path: Path) -> None:
    """What is left of a find that was opened in part is in that event; today's figures are in the tables kept."""
    event_id = damage(tmp_path / "w", "opened", "broken JSON")
    assert event_id in shell.message(1, "plan", "--json")
    assert event_id in shell.message(1, "export-scenario")
    for words in (("open", "microwave-1", "whole=1 kg"), ("today",), ("stock",)):
        status, _, err = shell(*words)
        assert status == 0 or (status == 1 and event_id in err), words


@pytest.mark.parametrize(
    ("column", "value"), [("kind", "lost"), ("happened", "once"), ("typed", ""), ("who", ""), ("schema", "x")]
)
def test_the_rest_of_an_event_too(column: str, value: str, shell: Shell, tmp_path: Path) -> None:
    event_id, _ = one_of(tmp_path / "w", "found")
    change(tmp_path / "w", f"UPDATE event SET {column} = ? WHERE id = ?", value, event_id)  # noqa: S608 (our own)
    assert event_id in shell.message(1, "ledger", "--last", "0")


KEPT = {
    "a quote": "UPDATE word SET value = 'much' WHERE subject LIKE 'quote:%'",
    "a buyer's terms": "UPDATE word SET value = '{}' WHERE subject = 'buyer:ridge' AND name = 'terms'",
    "a balance": "UPDATE balance SET mg = 'much' WHERE place = 'bin:copper-2'",
    "when a find came": "UPDATE word SET value = 'once' WHERE subject LIKE 'find:%' AND name = 'found'",
    "the kind of a find": "DELETE FROM word WHERE subject LIKE 'bin:%' AND name = 'grade'",
    "a table": "UPDATE word SET name = 'x' WHERE subject = 'bin:copper-2' AND name = 'grade'",
}


@pytest.mark.parametrize("what", KEPT)
def test_what_is_kept_of_the_events_is_made_anew(what: str, shell: Shell, tmp_path: Path) -> None:
    said = shell.done("today"), shell.done("stock")
    change(tmp_path / "w", KEPT[what])
    ended = [shell("today"), shell("stock")]
    assert any(status == 1 and "partway rebuild" in err and len(err.splitlines()) == 1 for status, _, err in ended), (
        ended
    )
    assert all(status in (0, 1) for status, _, _ in ended)
    shell.done("rebuild")
    assert (shell.done("today"), shell.done("stock")) == said


def test_the_app_says_so_on_a_page(tmp_path: Path) -> None:
    with visitor(tmp_path) as one:
        one.fill("/settings", "/settings", currency="CAD", name="mine")
        one.client.post("/api/find", json={"kind": "kettle"})
        event_id = damage(tmp_path, "found", "no fields")
        page = one.open("/books/ledger", 500)
        assert event_id in page and "changed by hand or damaged" in page and "Back to today" in page
        answer = one.client.get("/api/ledger")
        assert answer.status_code == 500 and answer.headers["content-type"] == "application/problem+json"
        assert event_id in answer.json()["detail"]


def test_also_where_every_page_would_need_what_is_damaged(tmp_path: Path) -> None:
    with visitor(tmp_path) as one:
        one.client._transport.raise_server_exceptions = False  # type: ignore[attr-defined]
        one.client.post("/api/find", json={"kind": "kettle"})
        change(tmp_path, "UPDATE word SET value = 'once' WHERE name = 'found'")
        page = one.open("/bench", 500)
        assert "partway rebuild" in page and "Back to today" in page


def test_a_ledger_that_cannot_be_reached_has_its_page(tmp_path: Path) -> None:
    """Before, the page of that message asked the ledger for the workspace's name, and failed as well."""
    with visitor(tmp_path) as one:
        one.book.engine.dispose()
        (tmp_path / FILE).write_bytes(b"the roof leaked" * 500)
        page = one.open("/", 503)
        assert "a file of another sort" in page and "Back to today" in page


def test_one_event_of_an_open_book(tmp_path: Path) -> None:
    with visitor(tmp_path) as one:
        one.client.post("/api/find", json={"kind": "kettle"})
    damage(tmp_path, "found", "a list")
    with open_workspace(tmp_path) as book, pytest.raises(LedgerDamaged) as damaged:
        list(book.events())
    assert damaged.value.exit_status == 1
