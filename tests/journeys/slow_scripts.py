"""Scripts that come late, as they do on a loaded machine: PARTWAY_TEST_SLOW_SCRIPTS=1.5 delays each by so many seconds.

A journey acts as soon as it sees what it acts on. Where a script makes that work, it waits for what the script makes;
this finds those that do not:

    PARTWAY_TEST_SLOW_SCRIPTS=1.5 .venv/bin/pytest tests/journeys
"""

from __future__ import annotations

import asyncio
import os

from starlette.types import ASGIApp, Message, Receive, Scope, Send

SECONDS = "PARTWAY_TEST_SLOW_SCRIPTS"


def slowed(app: ASGIApp) -> ASGIApp:
    """The same app, whose scripts come late each time that a page asks for them; as it is where nothing says so."""
    seconds = float(os.environ.get(SECONDS, "0"))
    if not seconds:
        return app

    async def late(scope: Scope, receive: Receive, send: Send) -> None:
        if not scope.get("path", "").endswith(".js"):
            await app(scope, receive, send)
            return

        async def unkept(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = [(k, v) for k, v in message["headers"] if k.lower() not in (b"cache-control", b"etag")]
                message["headers"] = [*headers, (b"cache-control", b"no-store")]
            await send(message)

        await asyncio.sleep(seconds)
        await app(scope, receive, unkept)

    return late
