"""The app asked in the same thread: what comes back is what `TestClient` gives, without a thread for the app's loop and
another for each function.

Handing a request from thread to thread and back took a tenth of the processor of a file of page tests. What threads
add is held by tests that have them: several that ask at the same time, each from a thread of its own, are answered at
the same time here as well; a server with sockets, its loop and threads answers in test_serve.py, test_https.py and
test_web_connections.py among the contracts, and in all journeys. What a thread keeps for itself, as a decision under
way, is also there for what it asks: a test that stands in its own way asks from another thread. That both clients are
told the same is held by tests/contracts/test_straight.py.
"""

from __future__ import annotations

import asyncio
import contextvars
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Any, Self, TypeVar
from urllib.parse import unquote

import anyio.to_thread
import httpx2
from fastapi.testclient import TestClient
from starlette.types import ASGIApp, Message, Scope

T = TypeVar("T")
PORTS = {"http": 80, "https": 443}
_in_a_thread = anyio.to_thread.run_sync


class Straight(TestClient):
    """A `TestClient` whose app answers in the thread that asks."""

    def __init__(self, app: ASGIApp, client: tuple[str, int] = ("testclient", 50000), **options: Any) -> None:
        super().__init__(app, client=client, **options)
        self._transport = _Transport(app, client, options.get("raise_server_exceptions", True), self.app_state)
        self._life: _Life | None = None

    def __enter__(self) -> Self:
        self._life = _Life(self.app, self.app_state)
        self._life.begin()
        return self

    def __exit__(self, *raised: object) -> None:
        if self._life is not None:
            self._life.end()
        self.close()


def run_here(asked: Awaitable[T]) -> T:
    """What a coroutine comes to, in this thread."""
    loop = _Loop()
    try:
        return loop.run_until_complete(asked)
    finally:
        loop.close()


class _Loop(asyncio.SelectorEventLoop):
    """One for which functions need no thread."""


async def _run_sync(function: Callable[..., T], *args: Any, **options: Any) -> T:
    if isinstance(asyncio.get_running_loop(), _Loop):
        return contextvars.copy_context().run(function, *args)  # a thread would have its own context too
    return await _in_a_thread(function, *args, **options)


anyio.to_thread.run_sync = _run_sync  # type: ignore[assignment]  # fewer words, for every caller the same


@dataclass
class _Transport(httpx2.BaseTransport):
    app: ASGIApp
    client: tuple[str, int]
    raise_server_exceptions: bool  # by the name that the library gives it
    state: dict[str, Any]

    def handle_request(self, request: httpx2.Request) -> httpx2.Response:
        answer = _Answer(request.read())
        try:
            run_here(self.app(self._scope(request), answer.receive, answer.send))
        except Exception:
            if self.raise_server_exceptions:
                raise
        if answer.status is None:
            assert not self.raise_server_exceptions, "the app gave no answer"
            return httpx2.Response(500, request=request)
        body = b"" if request.method == "HEAD" else b"".join(answer.parts)
        return httpx2.Response(answer.status, headers=answer.headers, stream=httpx2.ByteStream(body), request=request)

    def _scope(self, request: httpx2.Request) -> Scope:
        url = request.url
        host = url.raw_host.decode("ascii")
        headers = [] if "host" in request.headers else [(b"host", url.netloc)]
        headers += [(key.lower().encode(), value.encode()) for key, value in request.headers.multi_items()]
        return {
            "type": "http",
            "http_version": "1.1",
            "method": request.method,
            "path": unquote(url.path),
            "raw_path": url.raw_path.split(b"?", 1)[0],
            "root_path": "",
            "scheme": url.scheme,
            "query_string": url.query,
            "headers": headers,
            "client": self.client,
            "server": [host, url.port or PORTS[url.scheme]],
            "extensions": {"http.response.debug": {}, "http.response.trailers": {}},
            "state": self.state.copy(),
        }


@dataclass
class _Answer:
    """One request as the app is given it, and what it says to it."""

    sent: bytes
    status: int | None = None
    headers: list[tuple[str, str]] = field(default_factory=list)
    parts: list[bytes] = field(default_factory=list)
    given: bool = False
    through: asyncio.Event = field(default_factory=asyncio.Event)

    async def receive(self) -> Message:
        if self.given:
            await self.through.wait()
            return {"type": "http.disconnect"}
        self.given = True
        return {"type": "http.request", "body": self.sent}

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            assert self.status is None, "two beginnings of one answer"
            self.status = message["status"]
            self.headers = [(key.decode(), value.decode()) for key, value in message.get("headers", [])]
        elif message["type"] == "http.response.body":
            assert self.status is not None, "a body before its answer"
            assert not self.through.is_set(), "a body after the end"
            self.parts.append(bytes(message.get("body", b"")))
            if not message.get("more_body", False):
                self.through.set()


class _Life:
    """The app's beginning and end, and that it is there in between."""

    def __init__(self, app: ASGIApp, state: dict[str, Any]) -> None:
        self.loop = _Loop()
        self.begun, self.over = asyncio.Event(), asyncio.Event()
        self.asked = False
        self.task = self.loop.create_task(self._whole(app, state))

    def begin(self) -> None:
        """Until the app says that it is ready."""
        self.loop.run_until_complete(self.begun.wait())
        if self.task.done():
            self.end()

    def end(self) -> None:
        """Until the app says that it is through."""
        self.over.set()
        try:
            self.loop.run_until_complete(self.task)
        finally:
            self.loop.close()

    async def _whole(self, app: ASGIApp, state: dict[str, Any]) -> None:
        try:
            await app({"type": "lifespan", "state": state}, self._receive, self._send)
        finally:
            self.begun.set()

    async def _receive(self) -> Message:
        if not self.asked:
            self.asked = True
            return {"type": "lifespan.startup"}
        await self.over.wait()
        return {"type": "lifespan.shutdown"}

    async def _send(self, message: Message) -> None:
        assert not message["type"].endswith("failed"), message
        self.begun.set()
