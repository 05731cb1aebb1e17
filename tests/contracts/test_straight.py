"""The client that asks the app in its own thread is told what the library's own is told, header by header; and where
several threads ask, they ask at the same time.
"""

from __future__ import annotations

import asyncio
import contextvars
import threading
from collections.abc import AsyncIterator, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Annotated, Any

import pytest
from app_client import Visitor, visitor
from fastapi import FastAPI, Request, UploadFile
from fastapi.testclient import TestClient
from starlette.responses import Response, StreamingResponse
from straight import Straight

WORD = contextvars.ContextVar("WORD", default="nobody")
STORY: list[str] = []
UNTIL = 60  # seconds


@asynccontextmanager
async def life(_: FastAPI) -> AsyncIterator[dict[str, Any]]:
    STORY.append("begun")
    yield {"from": "life"}
    STORY.append("over")


app = FastAPI(lifespan=life)


@app.get("/plain")
def plain(request: Request) -> dict[str, object]:
    WORD.set("said here")  # of this request alone
    asked = {name: value for name, value in request.headers.items() if name != "user-agent"}
    return {"headers": asked, "client": request.client, "url": str(request.url), "state": request.state._state}


@app.get("/word")
async def word() -> str:
    await asyncio.sleep(0)
    return WORD.get()


@app.post("/file")
def file(sent: UploadFile, cookie: Annotated[str, "any"] = "") -> Response:
    said = Response(sent.file.read()[::-1] + cookie.encode(), 201)
    said.set_cookie("seen", "yes")
    return said


@app.get("/slowly")
def slowly() -> StreamingResponse:
    def parts() -> Iterator[str]:
        yield from ("one ", "two ", "three")

    return StreamingResponse(parts())


@app.get("/breaks")
def breaks() -> None:
    raise ZeroDivisionError("on purpose")


ASKED: list[tuple[str, str, dict[str, Any]]] = [
    ("GET", "/plain?a=%C3%A9&a=2", {"headers": {"x-odd": "1", "host": "elsewhere:81"}}),
    ("GET", "/plain%20", {}),
    ("HEAD", "/slowly", {}),
    ("GET", "/slowly", {}),
    ("GET", "/word", {}),
    ("POST", "/file", {"files": {"sent": ("a.txt", b"abc" * 400_000)}}),
    ("POST", "/file", {"data": {"sent": "no file"}}),
    ("GET", "/nowhere", {}),
    ("DELETE", "/plain", {}),
    ("GET", "/breaks", {}),
]


@pytest.mark.parametrize("base", ["http://localhost", "https://localhost:8443"])
def test_it_is_told_what_the_librarys_client_is_told(base: str) -> None:
    STORY.clear()
    options: dict[str, Any] = {"base_url": base, "raise_server_exceptions": False, "client": ("192.0.2.7", 4)}
    with TestClient(app, **options) as theirs, Straight(app, **options) as ours:
        assert STORY == ["begun", "begun"]
        for method, path, what in ASKED:
            one, other = (client.request(method, path, **what) for client in (theirs, ours))
            assert (one.status_code, one.content) == (other.status_code, other.content), path
            assert one.headers.multi_items() == other.headers.multi_items(), path
            assert dict(theirs.cookies) == dict(ours.cookies), path
        assert theirs.get("/breaks").status_code == 500
    assert STORY == ["begun", "begun", "over", "over"]


@pytest.mark.parametrize("client", [TestClient, Straight])
def test_what_breaks_is_raised(client: type[TestClient]) -> None:
    with pytest.raises(ZeroDivisionError, match="on purpose"):
        client(app).get("/breaks")


@pytest.fixture
def here(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path) as there:
        yield there


def test_pages_forms_and_refusals_of_the_product(here: Visitor) -> None:
    theirs = TestClient(here.app, base_url="http://localhost")
    for path in ("/setup", "/curb", "/curb/kettle", "/api/openapi.json", "/nowhere", "/static/app.css"):
        one, other = theirs.get(path), here.client.get(path)
        assert one.status_code == other.status_code and one.headers.keys() == other.headers.keys(), path
    for body in ({"name": "currency", "value": "CAD"}, {"name": "currency", "value": "no such"}, [1]):
        one, other = (client.post("/api/set", json=body) for client in (theirs, here.client))
        assert one.status_code == other.status_code, body
        assert one.json().keys() == other.json().keys(), body


def test_threads_ask_at_the_same_time() -> None:
    """Each waits in the app for the other: one after the other they would wait for ever."""
    both = FastAPI()
    meeting = threading.Barrier(2)

    @both.get("/")
    def met() -> int:
        return meeting.wait(UNTIL) // 2

    client = Straight(both)
    with ThreadPoolExecutor(2) as pool:
        answers = [pool.submit(client.get, "/") for _ in range(2)]
        assert [answer.result(UNTIL).json() for answer in answers] == [0, 0]
