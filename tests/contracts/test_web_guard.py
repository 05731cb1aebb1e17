"""What stands before every request: hosts, other sites' writes, a phone's key, bodies without end, headers."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path
from urllib.parse import urljoin

import pytest
from app_client import visitor
from fastapi import FastAPI
from fastapi.responses import PlainTextResponse, Response
from starlette.types import Message
from straight import Straight

from partway.web.serving import guard
from partway.web.serving.guard import Guard
from partway.web.serving.headers import POLICY
from partway.web.serving.setup import HERE, Setup


def guarded(**setup: object) -> Straight:
    """A small app behind the guard: it says what reached it."""
    app = FastAPI()

    @app.get("/")
    def read() -> Response:
        return PlainTextResponse("read")

    @app.post("/")
    def write() -> Response:
        return PlainTextResponse("written")

    app.add_middleware(Guard, setup=Setup(None, **setup))  # type: ignore[arg-type]
    return Straight(app, base_url="http://localhost:8737")


def sent_to(path: str) -> dict[str, str]:
    """The headers of the answer to a path with the key behind it, as a server would hand it to the app."""
    answered: list[Message] = []

    async def never(*_: object) -> None:
        raise AssertionError("the guard answers this itself")

    async def receive() -> Message:
        return {"type": "http.request", "body": b""}

    async def send(message: Message) -> None:
        answered.append(message)

    scope = {
        "type": "http",
        "method": "GET",
        "path": path,
        "query_string": b"key=abc",
        "headers": [(b"host", b"localhost:8737")],
    }
    asyncio.run(Guard(never, Setup(None, key="abc"))(scope, receive, send))  # type: ignore[arg-type]
    assert answered[0]["status"] == 303
    return {name.decode(): value.decode() for name, value in answered[0]["headers"]}


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1:8737", "[::1]:8737"])
def test_the_app_answers_under_its_own_names(host: str) -> None:
    assert guarded().get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("host", ["yard.example", "localhost.yard.example", "127.0.0.1.yard.example:8737", ""])
def test_another_name_is_refused(host: str) -> None:
    """Against DNS rebinding: a name of somebody else's that leads to this machine."""
    assert guarded().get("/", headers={"host": host}).status_code == 400


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": "http://yard.example"},
        {"origin": "http://localhost:9999"},
        {"origin": "null"},
        {"origin": "http://["},
        {"origin": "http://[localhost:8737"},
        {"origin": "http://localhost:8737]"},
        {"origin": "http://[::g]:8737"},
        {"origin": ""},
        {"sec-fetch-site": "same-origin", "origin": "http://yard.example"},
    ],
)
def test_another_sites_write_is_refused_and_its_read_is_not(headers: dict[str, str]) -> None:
    client = guarded()
    assert client.post("/", headers=headers).status_code == 403
    assert client.get("/", headers=headers).status_code == 200


@pytest.mark.parametrize(
    "headers", [{}, {"sec-fetch-site": "same-origin", "origin": "http://localhost:8737"}, {"sec-fetch-site": "none"}]
)
def test_our_own_write_passes(headers: dict[str, str]) -> None:
    assert guarded().post("/", headers=headers).text == "written"


def test_a_phone_shows_its_key_once() -> None:
    client = guarded(key="abc", hosts=(*HERE, "192.0.2.7"))
    assert client.get("/").status_code == 401
    assert client.get("/?key=abd").status_code == 401
    let_in = client.get("/?key=abc", follow_redirects=False)
    assert let_in.status_code == 303 and let_in.headers["location"] == "/"
    cookie = let_in.headers["set-cookie"]
    assert "HttpOnly" in cookie and "SameSite=Strict" in cookie
    assert client.get("/").text == "read"
    assert client.get("/", headers={b"cookie": b"partway_key=\xe9"}).status_code == 401


@pytest.mark.parametrize(
    ("path", "leads_to"),
    [
        ("", "/"),
        ("/bins/copper-2", "/bins/copper-2"),
        ("/kinds/f\u00e9n 1", "/kinds/f%C3%A9n%201"),
        ("//yard.example", "/yard.example"),
        ("///yard.example/a", "/yard.example/a"),
        ("/\\yard.example", "/yard.example"),
        ("\\\\yard.example", "/yard.example"),
        ("/\t/yard.example", "/%09/yard.example"),
        ("/\r\nset-cookie: a=b", "/%0D%0Aset-cookie%3A%20a%3Db"),
        ("http://yard.example", "/http%3A//yard.example"),
        ("/a?b#c", "/a%3Fb%23c"),
    ],
)
def test_the_key_leads_nowhere_but_to_this_app(path: str, leads_to: str) -> None:
    """The path as the server hands it on: decoded. It is the browser's own reading that says where an address leads:
    WHATWG URL, "URL parsing": a backslash counts as a slash, tab and line ends are dropped before all else.
    """
    sent = sent_to(path)
    assert sent["location"] == leads_to
    read = re.sub(r"[\t\r\n]", "", sent["location"]).replace("\\", "/")
    assert urljoin("http://localhost:8737/", read).startswith("http://localhost:8737/")
    assert not re.search(r"[^\x21-\x7e]", sent["location"])


@pytest.mark.parametrize(
    "sent_path", ["//yard.example", "/%5Cyard.example", "/%2Fyard.example", "/%0d%0aset-cookie:a=b"]
)
def test_the_key_in_an_encoded_address(sent_path: str) -> None:
    client = guarded(key="abc")
    request = client.build_request("GET", f"http://localhost:8737{sent_path}?key=abc")
    answer = client.send(request, follow_redirects=False)
    assert answer.status_code == 303
    assert re.match(r"/(?![/\\])[\x21-\x7e]*$", answer.headers["location"])
    assert answer.headers.get_list("set-cookie") == [answer.headers["set-cookie"]]


def test_a_body_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "BODY_MOST", 1000)
    client = guarded()
    assert client.post("/", content=b"x" * 1000).status_code == 200
    assert client.post("/", content=b"x" * 1001).status_code == 413
    assert client.post("/", headers={"content-length": "9" * 30}, content=b"").status_code == 413


def test_every_answer_keeps_to_itself(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:
        for path in ("/nowhere", "/static/partway.css", "/api/openapi.json"):
            headers = v.client.get(path).headers
            assert headers["x-content-type-options"] == "nosniff"
            assert "default-src 'none'" in headers["content-security-policy"]
            assert headers["referrer-policy"] == "same-origin"


def test_no_page_may_run_a_script_of_its_text_or_load_from_elsewhere() -> None:
    assert POLICY["script-src"] == POLICY["style-src"] == "'self'"
    assert not any("http" in value or "*" in value or "unsafe" in value for value in POLICY.values())


def test_a_fault_is_answered_without_its_details(tmp_path: Path) -> None:
    with visitor(tmp_path) as v:

        @v.app.get("/fault")
        def fault() -> None:
            raise RuntimeError("a secret of ours")

        calm = Straight(v.app, base_url="http://localhost", raise_server_exceptions=False)
        answer = calm.get("/fault")
        assert answer.status_code == 500
        assert "a secret of ours" not in answer.text
        assert "default-src 'none'" in answer.headers["content-security-policy"]
