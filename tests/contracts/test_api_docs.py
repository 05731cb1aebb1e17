"""docs/api.md against the app: each of its commands is run on the demo workspace, its statuses are the document's."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from app_client import Visitor, visitor
from photographs import saved, scene
from test_docs import blocks

from partway.cli.home.serve import PORT
from partway.ledger.workspaces import workspace_id
from partway.web.api.problems import MEANS

PAGE = Path(__file__).parents[2] / "docs" / "api.md"
HOST = f"localhost:{PORT}"


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    with visitor(tmp_path_factory.mktemp("docs"), demo=True) as found:
        yield found


def commands() -> list[list[str]]:
    return [shlex.split(line) for block in blocks(PAGE, "sh") for line in block.splitlines()]


def sent(command: list[str]) -> tuple[str, str, Any, dict[str, str]]:
    """Method, path, body and headers of a curl command; no option of it goes unread."""
    assert command[0] == "curl"
    words, method, body, headers, path = iter(command[1:]), "", None, {}, ""
    for word in words:
        if word == "--json":
            body = json.loads(next(words))
        elif word == "--data-binary":
            assert next(words).startswith("@")
            body = saved(scene())  # a photograph: the only file that the page sends
        elif word == "-X":
            method = next(words)
        elif word == "-H":
            name, _, value = next(words).partition(": ")
            headers[name] = value
        else:
            host, slash, rest = word.partition("/")
            assert host == HOST
            path = slash + rest
    return method or ("GET" if body is None else "POST"), path, body, headers


def test_each_command_does_what_the_page_says(here: Visitor) -> None:
    """In its order: the first command of the question is asked, all others are done."""
    undo, job, done = "", "", 0
    for command in commands():
        method, path, body, headers = sent(command)
        path = path.replace("ID", job)
        if isinstance(body, bytes):
            answer = here.client.request(method, path, content=body, headers=headers)
        else:
            body = json.loads(json.dumps(body).replace("UNDO", undo).replace("WORKSPACE", workspace_id(here.book)))
            answer = here.client.request(method, path, json=body, headers=headers)
        asked = path == "/api/move" and "regrade" not in body
        assert answer.status_code == (409 if asked else 202 if method == "DELETE" or path == "/api/plan" else 200), path
        if asked:
            assert answer.json()["option"] == "regrade"
        undo = answer.json()["undo"][0] if path == "/api/spend" else undo
        job = answer.json()["id"] if path == "/api/plan" else job
        done += 1
    assert done >= 10


def test_every_address_of_the_page_is_there(here: Visitor) -> None:
    paths = here.client.get("/api/openapi.json").json()["paths"]
    named = set(re.findall(r"`(/api[\w/-]*)`", PAGE.read_text(encoding="utf-8")))
    assert named >= {"/api", "/api/find"}
    assert [path for path in named if path not in paths and here.client.get(path).status_code != 200] == []


def test_the_statuses_are_those_of_the_document() -> None:
    rows = dict(re.findall(r"^\| (\d{3}) \| (.+) \|$", PAGE.read_text(encoding="utf-8"), re.MULTILINE))
    assert set(rows) == {str(status) for status in MEANS}
    for status, words in MEANS.items():
        said = {word for word in re.findall(r"\w+", rows[str(status)].lower()) if len(word) > 3}
        assert len(said & set(re.findall(r"\w+", words.lower()))) * 2 >= len(said), status
