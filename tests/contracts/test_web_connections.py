"""Slow, idle and many connections do not keep others from the app. Sockets on this machine alone, few of them."""

from __future__ import annotations

import re
import socket
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from typing import Any

import pytest
import uvicorn
from starlette.types import Receive, Scope, Send
from waiting import until

from partway.web.serving import connections
from partway.web.serving.connections import FULL, options
from partway.web.serving.serve import listening

SOON = 30.0  # seconds until a test gives up; none of them takes as long
ASKED = b"GET /%s HTTP/1.1\r\nhost: localhost\r\n\r\n"
HALF = b"GET / HTTP/1.1\r\nhost: loc"
MOST = 6


@dataclass
class Server:
    """An app that answers what it got; "/held" is not answered before `let_go`."""

    server: uvicorn.Server
    port: int
    let_go: threading.Event
    stack: ExitStack
    at_work: list[str] = field(default_factory=list)

    @property
    def open(self) -> int:
        """Connections that the server holds."""
        return len(self.server.server_state.connections)

    def socket(self, said: bytes = b"") -> socket.socket:
        """A connection on which that much was said."""
        sock = self.stack.enter_context(socket.create_connection(("127.0.0.1", self.port), timeout=SOON))
        sock.sendall(said)
        return sock

    def asked(self, path: bytes = b"") -> bytes:
        """The answer to a whole request."""
        return answer(self.socket(ASKED % path))


@contextmanager
def serving() -> Iterator[Server]:
    import asyncio

    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        made.at_work.append(scope["path"])
        body, more = b"", True
        while more:
            message = await receive()
            body, more = body + message.get("body", b""), message.get("more_body", False)
        while scope["path"] == "/held" and not made.let_go.is_set():
            await asyncio.sleep(0.01)
        size = 50_000_000 if scope["path"] == "/long" else 0
        head = [(b"content-length", str(len(body) + 2 + size).encode())]
        await send({"type": "http.response.start", "status": 200, "headers": head})
        await send({"type": "http.response.body", "body": b"ok" + body + b"x" * size})

    with listening("127.0.0.1", 0) as sock, ExitStack() as stack:
        config: Any = uvicorn.Config(app, log_level="critical", lifespan="off", **options())
        made = Server(uvicorn.Server(config), sock.getsockname()[1], threading.Event(), stack)
        thread = threading.Thread(target=made.server.run, kwargs={"sockets": [sock]})
        thread.start()
        try:
            until(lambda: made.server.started, SOON)
            yield made
        finally:
            made.let_go.set()
            made.server.should_exit = made.server.force_exit = True
            thread.join(SOON)
    assert not thread.is_alive()


def answer(sock: socket.socket) -> bytes:
    """One short answer, whole."""
    said = b""
    while not (found := re.search(rb"content-length: (\d+)(?:\r\n.+)*\r\n\r\n", said)) or len(said) < found.end() + int(
        found[1]
    ):
        more = sock.recv(65536)
        assert more, said
        said += more
    return said


def ended(sock: socket.socket) -> bool:
    """Whether the server closes a connection. TimeoutError where it does not."""
    try:
        while sock.recv(65536):
            pass
    except ConnectionResetError:
        pass
    return True


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "HEADERS", 0.2)
    monkeypatch.setattr(connections, "BODY", 0.2)
    monkeypatch.setattr(connections, "READING", 0.2)


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "MOST", MOST)


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize(
    "said",
    [
        b"",
        HALF,
        b"POST / HTTP/1.1\r\nhost: localhost\r\ncontent-length: 10\r\n\r\nhalf",
        b"POST / HTTP/1.1\r\nhost: localhost\r\ntransfer-encoding: chunked\r\n\r\n4\r\nhalf\r\n",
        ASKED % b"" + HALF,
    ],
    ids=["nothing", "half a header", "half a body", "half of the chunks", "a request and half a header"],
)
def test_what_does_not_go_on_is_closed(said: bytes) -> None:
    with serving() as s:
        assert ended(s.socket(said))
        until(lambda: s.open == 0, SOON)


@pytest.mark.usefixtures("quick")
def test_a_letter_at_a_time_is_no_going_on() -> None:
    """The time counts from the first byte: whoever sends on and on without an end is closed as well."""
    with serving() as s:
        sock, pause, sent = s.socket(HALF), threading.Event(), 0
        with suppress(BrokenPipeError, ConnectionResetError):
            while sent < 3000:
                sock.sendall(b"a")
                sent += 1
                pause.wait(0.01)
        assert 0 < sent < 3000


@pytest.mark.usefixtures("quick")
def test_an_answer_that_nobody_takes_is_given_up() -> None:
    with serving() as s:
        s.socket(ASKED % b"long")
        until(lambda: s.at_work == ["/long"], SOON)
        until(lambda: s.open == 0, SOON)


@pytest.mark.usefixtures("quick")
def test_what_the_app_is_at_work_on_is_not_closed() -> None:
    with serving() as s:
        held = s.socket(ASKED % b"held")
        until(lambda: s.at_work == ["/held"], SOON)
        assert ended(s.socket(HALF))  # by then the time of a header has passed
        s.let_go.set()
        assert answer(held).endswith(b"ok")


@pytest.mark.usefixtures("few")
@pytest.mark.parametrize(
    "said", [b"", HALF, b"POST / HTTP/1.1\r\nhost: localhost\r\ncontent-length: 10\r\n\r\nhalf", ASKED % b""]
)
def test_many_that_wait_make_room_for_one_who_asks(said: bytes) -> None:
    """No time passes here: ten times as many as there may be, and each who asks is answered."""
    with serving() as s:
        for _ in range(10):
            for _ in range(MOST):
                s.socket(said)
            assert s.asked().startswith(b"HTTP/1.1 200")
            until(lambda: s.open <= MOST, SOON)


@pytest.mark.usefixtures("few")
def test_the_one_that_waits_longest_goes_first_and_bodies_last() -> None:
    with serving() as s:
        body = s.socket(b"POST / HTTP/1.1\r\nhost: localhost\r\ncontent-length: 4\r\n\r\nha")
        until(lambda: s.at_work == ["/"], SOON)
        waiting = []
        for n in range(MOST - 1):
            waiting.append(s.socket(HALF))
            until(lambda n=n: s.open == n + 2, SOON)  # type: ignore[misc]
        assert s.asked().startswith(b"HTTP/1.1 200")
        assert ended(waiting[0])
        body.sendall(b"lf")
        assert answer(body).endswith(b"okhalf")
        waiting[-1].sendall(b"alhost\r\n\r\n")
        assert answer(waiting[-1]).endswith(b"ok")


@pytest.mark.usefixtures("few")
def test_while_the_app_is_at_work_on_all_another_is_turned_away() -> None:
    with serving() as s:
        held = [s.socket(ASKED % b"held") for _ in range(MOST)]
        until(lambda: len(s.at_work) == MOST, SOON)
        assert answer(s.socket()) == FULL
        assert s.open == MOST
        s.let_go.set()
        assert all(answer(sock).endswith(b"ok") for sock in held)
        assert s.asked().startswith(b"HTTP/1.1 200")


def test_the_refusal_is_as_long_as_it_says() -> None:
    head, _, body = FULL.partition(b"\r\n\r\n")
    assert f"content-length: {len(body)}".encode() in head
