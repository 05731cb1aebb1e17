"""Scripts that come late, as they do on a loaded machine: PARTWAY_TEST_SLOW_SCRIPTS=1.5 delays each by so many seconds.
A weak phone, whose pages are so many times slower in all they do: PARTWAY_TEST_WEAK_PHONE=6.

A journey acts as soon as it sees what it acts on. Where a script makes that work, it waits for what the script makes;
this finds those that do not:

    PARTWAY_TEST_SLOW_SCRIPTS=1.5 PARTWAY_TEST_WEAK_PHONE=6 .venv/bin/pytest tests/journeys
"""

from __future__ import annotations

import asyncio
import os
from contextlib import suppress

from playwright.sync_api import BrowserContext, Page
from playwright.sync_api import Error as PlaywrightError
from starlette.types import ASGIApp, Message, Receive, Scope, Send

SECONDS = "PARTWAY_TEST_SLOW_SCRIPTS"
TIMES = "PARTWAY_TEST_WEAK_PHONE"


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


def slower() -> float:
    """How many times slower a page is than this machine would have it."""
    return float(os.environ.get(TIMES, "1"))


def weakened(context: BrowserContext) -> BrowserContext:
    """The same context, whose pages have a weak processor; as it is where nothing says so."""
    times = slower()

    def weak(page: Page) -> None:
        with suppress(PlaywrightError):  # a page may be closed before it is told
            context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": times})

    if times != 1.0:
        for page in context.pages:
            weak(page)
        context.on("page", weak)
    return context
