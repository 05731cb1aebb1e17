"""The pocket is worked out while nobody waits, kept beside the ledger, and served as it was made last."""

from __future__ import annotations

import gzip
import json
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from app_client import NOW, Visitor, visitor
from click.testing import CliRunner
from hung import HUNG

from partway.cli.app import cli
from partway.ledger.workspaces import workspace_id
from partway.web.pocket import child
from partway.web.pocket.carried.all import Carrying
from partway.web.pocket.child import Wanted, WorkedOut
from partway.web.pocket.keeper import MOST_LOOKS, QUIET_LOOKS, TRIED, Looks, PocketKeeper, where_of
from partway.web.pocket.kept import DATA, KEY, NAMES, PAPER, pocket_folder
from partway.web.pocket.process import ENDED, PocketProcess
from partway.web.pocket.state import state_of

PATIENCE = 60.0  # seconds, after which something is broken; nothing is said of how long it takes


class Stand:
    """Stands in for the process: answers what it is told to, once it is let go."""

    def __init__(self, v: Visitor) -> None:
        self.v, self.go = v, threading.Event()
        self.asked: list[Wanted] = []
        self.go.set()
        self.trouble = ""

    def __call__(self) -> Stand:
        return self

    def ask(self, wanted: Wanted) -> None:
        self.asked.append(wanted)

    def hear(self, seconds: float) -> WorkedOut | None:
        if not self.go.wait(0.01):
            return None
        if self.trouble:
            return WorkedOut({}, self.trouble)
        state, id_ = state_of(self.v.book, NOW.date()), workspace_id(self.v.book)
        data = json.dumps({"workspace": id_, "state": state, "n": len(self.asked)}).encode()
        key = json.dumps({"workspace": id_, "state": "key"}).encode()
        return WorkedOut({DATA: (state, data), KEY: ("key", key), PAPER: (state, b"<!doctype html>")})

    def end(self) -> None:
        pass


def kept_by(v: Visitor, stand: Callable[[], Any]) -> PocketKeeper:
    keeper = PocketKeeper(v.book, v.app.state.partway.clock, stand, look=0.01)
    v.app.state.partway.pocket = keeper
    return keeper


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < end
        time.sleep(0.01)


def test_it_is_never_worked_out_while_somebody_waits(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stand = Stand(v)
        stand.go.clear()
        kept_by(v, stand)
        for name in NAMES:
            answer = v.client.get(f"/pocket/{name}" if name != PAPER else "/pocket.html")
            assert (answer.status_code, answer.headers["retry-after"]) == (503, "5")
            assert "being worked out" in answer.text
        stand.go.set()
        until(lambda: v.client.get("/pocket/data.json").status_code == 200)
        assert v.client.get("/pocket/key.json").json()["state"] == "key"
        page = v.client.get("/pocket.html")
        assert page.text == "<!doctype html>"
        policy = page.headers["content-security-policy"]
        assert "'unsafe-inline'" not in policy
        assert "script-src 'none'" in policy
        assert "style-src 'sha256-" in policy


def test_the_last_one_is_served_until_the_next_is_there(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stand = Stand(v)
        kept_by(v, stand)
        until(lambda: v.client.get("/pocket/data.json").status_code == 200)
        first = v.client.get("/pocket/data.json")
        stand.go.clear()
        v.client.post("/api/find", json={"kind": "microwave"})
        until(lambda: len(stand.asked) > 1)
        assert v.client.get("/pocket/data.json").content == first.content
        stand.go.set()
        until(lambda: v.client.get("/pocket/data.json").content != first.content)
        assert v.client.get("/pocket/data.json").json()["state"] == state_of(v.book, NOW.date())
        assert stand.asked[1].key is not None
        assert stand.asked[1].key[0] == "key"  # what is there already is not worked out again
        made = len(stand.asked)
        for _ in range(5):
            v.client.get("/pocket/data.json")
        assert len(stand.asked) == made


def test_a_restart_serves_at_once_and_another_workspace_gets_nothing(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        v.client.post("/api/find", json={"kind": "microwave"})
        kept_by(v, Stand(v))
        until(lambda: v.client.get("/pocket/data.json").status_code == 200)
        until((pocket_folder(v.book) / PAPER).exists)
        before = v.client.get("/pocket/data.json").content
    with visitor(tmp_path) as v:
        stand = Stand(v)
        stand.go.clear()
        kept_by(v, stand)
        assert v.client.get("/pocket/data.json").content == before
    with visitor(tmp_path / "other") as v:
        v.client.post("/api/find", json={"kind": "microwave"})
        (tmp_path / "other" / "pocket").mkdir()
        for name in NAMES:
            (tmp_path / "other" / "pocket" / name).write_bytes((tmp_path / "pocket" / name).read_bytes())
        stand = Stand(v)
        stand.go.clear()
        kept_by(v, stand)
        assert v.client.get("/pocket/data.json").status_code == 503


@pytest.mark.parametrize("cut", ["", "{", '{"workspace": 3}'])
def test_a_file_that_was_cut_is_worked_out_anew(tmp_path: Path, cut: str) -> None:
    with visitor(tmp_path) as v:
        (tmp_path / "pocket").mkdir()
        for name in NAMES:
            (tmp_path / "pocket" / name).write_text(cut)
        kept_by(v, Stand(v))
        until(lambda: v.client.get("/pocket/data.json").status_code == 200)


def test_what_is_known_is_not_sent_again(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        kept_by(v, Stand(v))
        until(lambda: v.client.get("/pocket/data.json").status_code == 200)
        sent = v.client.get("/pocket/data.json", headers={"accept-encoding": "gzip"})
        assert sent.headers["content-encoding"] == "gzip"
        plain = v.client.get("/pocket/data.json", headers={"accept-encoding": "identity"})
        assert plain.content == sent.content  # the client unpacks it
        assert gzip.decompress(gzip.compress(plain.content)) == plain.content
        tag = sent.headers["etag"]
        for given in (tag, f"W/{tag}", f'"other", {tag}', "*"):
            again = v.client.get("/pocket/data.json", headers={"if-none-match": given})
            assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
        assert v.client.get("/pocket/data.json", headers={"if-none-match": '"other"'}).status_code == 200


def test_a_failure_is_tried_again_a_few_times_and_pages_go_on(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stand = Stand(v)
        stand.trouble = "no luck"
        kept_by(v, stand)
        v.client.get("/pocket/data.json")
        until(lambda: len(stand.asked) == TRIED)
        assert v.client.get("/pocket/data.json").status_code == 503
        assert v.client.get("/curb").status_code == 200
        stand.trouble = ""
        v.client.post("/api/find", json={"kind": "microwave"})
        until(lambda: v.client.get("/pocket/data.json").status_code == 200)


def test_looks_wait_for_quiet_and_not_for_ever() -> None:
    looks = Looks()
    assert [looks.due("a", "", waiting=True)] == [True]  # somebody waits for the first one
    looks = Looks()
    assert [looks.due("b", "a", waiting=True) for _ in range(QUIET_LOOKS + 1)] == [False] * QUIET_LOOKS + [True]
    looks = Looks()
    assert [looks.due(str(n), "a", waiting=False) for n in range(MOST_LOOKS)] == [False] * (MOST_LOOKS - 1) + [True]
    looks = Looks()
    assert not any(looks.due("a", "a", waiting=False) for _ in range(50))


def test_a_closed_keeper_ends_whoever_works(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        stand = Stand(v)
        stand.go.clear()
        keeper = kept_by(v, stand)
        keeper.file(DATA)
        until(lambda: bool(stand.asked))
        keeper.close()
        assert not any(thread.name == "partway pocket" and thread.is_alive() for thread in threading.enumerate())


def test_the_process_itself_answers_and_one_that_is_gone_is_said(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        process = PocketProcess()
        process.ask(Wanted(str(tmp_path / "nowhere" / "ledger.sqlite"), NOW))
        said = process.hear(PATIENCE)
        assert said is not None
        assert said.trouble.startswith("BadLedger")
        process.process.kill()
        process.process.join()
        assert process.hear(0.1) == ENDED
        process.end()
        assert where_of(v.book) == str(tmp_path / "ledger.sqlite")


def test_an_empty_ledger_has_a_pocket_too(tmp_path: Path) -> None:
    """No buyer, no price, no find: every kind says that nobody quotes what is in it, and nothing breaks."""
    with visitor(tmp_path) as v:
        data = Carrying(v.book, NOW).pocket()
        assert {kind.conditions[2].verdict for kind in data.kinds} <= {"unknown", "depot"}
        assert (data.workspace, data.sheet, data.finds, data.hauls) == ("", (), (), ())


def test_the_command_writes_the_page_and_overwrites_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(child, "files_of", lambda carrying: WorkedOut({PAPER: ("", b"the page")}))
    with visitor(tmp_path):
        file = tmp_path / "page.html"
        for written in (b"the page", b"mine"):
            ended = CliRunner().invoke(cli, ["pocket", str(file), "--workspace", str(tmp_path)], prog_name="partway")
            assert (ended.exception is None) == (written == b"the page")
            assert file.read_bytes() == written or written == b"mine"
            file.write_bytes(b"mine")
        assert "a file that is there already" in str(ended.exception)
        away = ["pocket", str(tmp_path / "new.html"), "--workspace", str(tmp_path / "nowhere")]
        assert CliRunner().invoke(cli, away, prog_name="partway").exception is not None
        assert not (tmp_path / "new.html").exists()


LEFT = """
import datetime as dt
import subprocess
import sys, sys, time
from partway.storage.workspace import open_workspace
from partway.web.pocket.keeper import PocketKeeper

class Worker:
    def __init__(self): time.sleep(0.3)
    def ask(self, wanted): pass
    def hear(self, seconds): time.sleep(0.01)
    def end(self): print("ended", flush=True)

keeper = PocketKeeper(open_workspace(sys.argv[1]), lambda: dt.datetime.now(dt.UTC), Worker)
keeper.file("data.json")
time.sleep(0.1)
"""


def test_an_app_that_ends_without_closing_leaves_no_process_half_begun(tmp_path: Path) -> None:
    """The one that is being started is ended by whoever started it: cut off in between it would print a trace."""
    left = [sys.executable, "-c", LEFT, str(tmp_path / "w")]
    ran = subprocess.run(left, capture_output=True, text=True, check=True, timeout=HUNG)  # noqa: S603 - our own
    assert (ran.stdout, ran.stderr) == ("ended\n", "")
