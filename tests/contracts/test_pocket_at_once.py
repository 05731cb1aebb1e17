"""Phones at once, and a hand-back that is cut anywhere: nothing is doubled, nothing lost."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

import pytest
from app_client import NOW, Visitor
from fastapi.testclient import TestClient
from ledgers import handing
from ledgers.servers import due, empty_workspace, kept
from noted import Phone
from workspaces import new_workspace

from partway.ledger.workspaces import workspace_id
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace
from partway.web.app import create_app
from partway.web.serving.setup import Setup

PHONES, EACH = 4, 200
SOON = 300.0  # seconds after which a test gives up; nothing is asserted of how long anything takes


@pytest.fixture(params=["sqlite", "postgres"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    with empty_workspace(request.param, tmp_path) as made:
        yield made


def opened(stack: ExitStack, where: str) -> Visitor:
    """An app of its own on the ledger, as another process has it."""
    book = stack.enter_context(open_workspace(where))
    app = create_app(Setup(book, who="tester", clock=lambda: NOW))
    client = stack.enter_context(TestClient(app, base_url="http://localhost"))
    return Visitor(book, client, app)


def day_of(number: int) -> Phone:
    """Two hundred entries of one phone: finds, tests of them, fuel."""
    phone = Phone()
    phone.now = phone.now.replace(second=number)
    for n in range(EACH // 4):
        find = phone.note("found", 0.01, kind="fan")
        phone.note("tested", 0.01, find=f"@{find}", works="yes")
        phone.note("spent", 0.01, what=f"fuel of {number}", amount="0.25", category="fuel")
        phone.note("worked", 0.01, activity="collect", time=str(1 + n % 3))
    return phone


def test_four_phones_at_once_with_two_hundred_entries_each(where: str) -> None:
    """Two apps on one ledger, each with two phones; each hands all of it over twice, as if the answer had been lost."""
    with ExitStack() as stack:
        apps = [opened(stack, where), opened(stack, where)]
        for name, value in {"currency": "CAD", "unit": "lb"}.items():
            assert apps[0].client.post("/api/set", json={"name": name, "value": value}).status_code == 200
        for app in apps:  # FastAPI makes a route when it is first asked for, with warnings off for all threads
            app.client.post("/pocket/back", json={"schema": 1, "workspace": "", "intents": []})
        workspace, before = workspace_id(apps[0].book), apps[0].count()
        phones = [day_of(number) for number in range(PHONES)]

        def hand(number: int) -> list[str]:
            sent, outcomes = phones[number].sent(workspace), list[str]()
            for _ in range(2):
                answer = apps[number % 2].client.post("/pocket/back", json=sent)
                assert answer.status_code == 200, answer.text
                outcomes += [one["outcome"] for one in answer.json()["results"]]
            return outcomes

        with ThreadPoolExecutor(PHONES) as pool:
            for outcomes in pool.map(hand, range(PHONES), timeout=SOON):
                assert outcomes == ["done"] * EACH + ["already"] * EACH
        book = apps[0].book
        assert apps[0].count() == before + PHONES * EACH
        assert dict(book.accounts("spent"))  # money went out, as often as it was noted
        assert -sum(book.accounts("spent").values()) == PHONES * EACH // 4 * 25 / 100
        names = {name for name, kind in _found(book)}
        assert len(names) == PHONES * EACH // 4
        assert set(book.facts("find:", "works").values()) == {"yes"}
        assert kept(book) == due(book)


def _found(book: SqlBook) -> list[tuple[str, str]]:
    return [(subject.partition(":")[2], kind) for (subject, _), kind in book.facts("find:", "kind").items()]


def test_cut_at_any_statement_and_handed_back_again(tmp_path: Path) -> None:
    folder, entries = tmp_path / "workspace", tmp_path / "entries.json"
    with new_workspace(folder) as book:
        app = create_app(Setup(book, who="tester", clock=lambda: NOW))
        with TestClient(app, base_url="http://localhost") as client:
            for name, value in {"currency": "CAD", "unit": "lb", "zone": "UTC"}.items():
                client.post("/api/set", json={"name": name, "value": value})
    phone = Phone()
    find = phone.note("found", kind="fan", mass="4 lb")
    phone.note("tested", find=f"@{find}", works="yes")
    phone.note("said", text="fuel forty bucks. found two kettles")
    phone.note("pictured", find=f"@{find}")
    entries.write_text(json.dumps(phone.noted), encoding="utf-8")
    command = [sys.executable, handing.__file__, str(folder), str(entries)]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=SOON, check=True)  # noqa: S603  our own
    whole, *cut = [json.loads(line) for line in ran.stdout.splitlines()]
    assert whole["again"]["outcomes"] == ["done"] * 4
    assert [one["died"] for one in cut] == [True] * (len(cut) - 1) + [False]
    assert len(cut) > 20, "it was cut at many steps"
    for one in cut:
        assert one["again"]["written"] == whole["again"]["written"], one["at"]
        assert one["again"]["sound"]
        known = len(set(one["then"])) if one["died"] else 4
        assert one["again"]["outcomes"] == ["already"] * known + ["done"] * (4 - known)
    assert {len(set(one["then"])) for one in cut if one["died"]} == {0, 1, 2, 3}, (
        "each entry is there whole, or not at all"
    )
