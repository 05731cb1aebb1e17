"""A real browser on the running app. What a page may not do is watched all along: ask another host, complain on the
console, fail in a script.
"""

from __future__ import annotations

import datetime as dt
import os
import shutil
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import uvicorn
from axe_playwright_python.base import AXE_SCRIPT
from fastapi import FastAPI
from months import months_in
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Playwright,
    Request,
    Route,
    ViewportSize,
    expect,
)
from slow_scripts import slowed, slower, weakened
from workspaces import made

from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace
from partway.web.app import create_app
from partway.web.serving.serve import listening
from partway.web.serving.setup import Setup

# The one without windows opens a page in a quarter of the time.
CHROMIUM = shutil.which("chromium-headless-shell") or shutil.which("chromium")
# Chromium is to ask nobody anything either: neither for updates nor for its own services.
FLAGS = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"),
    *("--disable-component-update", "--disable-sync"),
    # A page lives for a second here: what would make its scripts quicker after many seconds takes longer than it saves.
    "--js-flags=--no-turbofan,--no-maglev",
)
PHONE: ViewportSize = {"width": 390, "height": 844}
DESK: ViewportSize = {"width": 1280, "height": 800}
NARROW: ViewportSize = {"width": 320, "height": 640}  # the narrowest that a page is made for (WCAG 1.4.10, reflow)
SIZES = {"phone": PHONE, "desk": DESK}
STEP = 10  # ms between two looks
SOON = int(60_000 * slower())  # ms after which a test gives up on a page; nothing is asserted of how long one takes
expect.set_options(timeout=SOON)
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
# Every rule on every part of the page. What passes is not told part by part: to put that into words and hand it over
# takes longer than to look.
ASKED = {"runOnly": {"type": "tag", "values": RULES}, "resultTypes": ["violations"], "selectors": False}
BROKEN = "asked => axe.run(asked).then(found => found.violations)"
# Of these the rules whose answer another colour can change, and those that another size of the same parts can; every
# other one reads the parts alone: their names, their order, which of them is there for whom.
COLOUR_RULES = ["color-contrast", "link-in-text-block"]
SIZE_RULES = [*COLOUR_RULES, "target-size", "scrollable-region-focusable"]
# What axe reads of a page but for its colours: the parts as they are shown, with what a style sheet writes into them,
# and where they lie.
SHOWN = """() => {
  const parts = [], boxes = [];
  for (const e of document.querySelectorAll("*")) {
    const s = getComputedStyle(e), b = e.getBoundingClientRect();
    const written = ["::before", "::after"].map(which => getComputedStyle(e, which).content);
    const seen = [s.display, s.visibility, s.opacity, s.clip, s.clipPath, e.checkVisibility()];
    parts.push([e.tagName, ...seen, ...written].join());
    boxes.push([b.x, b.y, b.width, b.height, s.fontSize, s.fontWeight, s.overflow].join());
  }
  return [parts.join(";") + document.documentElement.outerHTML, boxes.join(";")];
}"""
# Two frames: what a new size or scheme moves is where it belongs.
DRAWN = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
LAY = """() => {
  let laid = 0;
  for (const one of document.querySelectorAll("*"))
    if (["sticky", "fixed"].includes(getComputedStyle(one).position)) {
      one.style.setProperty("position", "static", "important");
      one.dataset.laid = "";
      laid += 1;
    }
  return laid;
}"""
LIFT = """() => {
  for (const one of document.querySelectorAll("[data-laid]")) {
    one.style.removeProperty("position");
    if (!one.getAttribute("style")) one.removeAttribute("style");
    delete one.dataset.laid;
  }
}"""


def launched(playwright: Playwright) -> Browser:
    """Debian's Chromium, without a screen."""
    return playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))


def wanted() -> bool:
    """Whether a missing browser is a failure: it is where the whole check runs."""
    return os.environ.get("CI") == "true"


@contextmanager
def before_script(browsing: BrowserContext, name: str) -> Iterator[None]:
    """Whatever is done in the meantime is done before a script has come; at the end it comes."""
    held: list[Route] = []
    address = f"**/static/{name}"
    browsing.route(address, lambda route: held.append(route))  # noqa: PLW0108 - playwright marks what it is given
    yield
    assert held, f"no page asked for {name}"
    for route in held:
        route.continue_()
    browsing.unroute(address)


@dataclass
class Running:
    """The app as it runs, with the book it writes to."""

    address: str
    book: SqlBook
    app: FastAPI


@contextmanager
def running(folder: Path, *, demo: bool = False, port: int = 0, there: bool = False) -> Iterator[Running]:
    """The app on a free port, on a new workspace in a folder; or on that port again, on the one that is there (`there`
    for the first time).
    """
    if demo:
        months_in(folder, dt.datetime.now(dt.UTC))
    elif not port and not there:
        made(folder)
    with open_workspace(folder) as book, listening("127.0.0.1", port) as sock:
        app = create_app(Setup(book, who="tester"))
        server = uvicorn.Server(uvicorn.Config(slowed(app), log_level="warning", access_log=False, ws="none"))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [sock]}, daemon=True)
        thread.start()
        until = time.monotonic() + SOON / 1000
        while not server.started and time.monotonic() < until:
            time.sleep(0.01)
        assert server.started
        try:
            yield Running(f"http://127.0.0.1:{sock.getsockname()[1]}", book, app)
        finally:
            server.should_exit = True
            thread.join(20)


@dataclass
class Watched:
    """A tab whose every request and complaint is written down. `allowed` are status codes that a step expects."""

    page: Page
    address: str
    complaints: list[str] = field(default_factory=list)
    outside: list[str] = field(default_factory=list)
    expected: bool = False
    under_way: set[Request] = field(default_factory=set)

    def open(self, path: str) -> Page:
        """Go to a page of the app."""
        self.page.goto(self.address + path)
        return self.page

    def heard(self, message: ConsoleMessage) -> None:
        """Keep what the console says, but for the lines about answers that a step expects to be refused."""
        refused = self.expected and message.text.startswith("Failed to load resource")
        if message.type in ("error", "warning") and not refused:
            self.complaints.append(f"{self.page.url}: {message.text}")

    def asked(self, request: Request) -> None:
        """Keep what goes elsewhere, and what is under way."""
        self.under_way.add(request)
        if not request.url.startswith((self.address, "data:", "blob:")):
            self.outside.append(request.url)

    def ended(self, request: Request) -> None:
        """It is there, or will not come."""
        self.under_way.discard(request)

    def settled(self) -> None:
        """Wait until what the page asked for is there, and what its scripts asked for when they ran."""
        self.page.evaluate(DRAWN)
        while self.under_way:
            self.page.wait_for_timeout(STEP)
            self.page.evaluate(DRAWN)

    def letters(self, pixels: int) -> None:
        """Set the size of the browser's own letters, as somebody does who cannot read small ones."""
        fonts = {"fontSizes": {"standard": pixels, "fixed": pixels * 13 // 16}}
        self.page.context.new_cdp_session(self.page).send("Page.setFontSizes", fonts)

    def clean(self) -> None:
        """Nothing went wrong so far."""
        assert self.complaints == [], self.complaints
        assert self.outside == [], self.outside

    def axe(self, rules: Sequence[str] = ()) -> list[str]:
        """What breaks a rule of WCAG 2.2, levels A and AA, here and now; or one of these rules only.

        What stays on the screen is laid into the page while axe looks: it takes each thing that happens
        to be half scrolled under such a bar for a target too small to hit, wherever the page was left.
        """
        if not self.page.evaluate("'axe' in window"):
            self.page.evaluate(AXE_SCRIPT)
        asked = {**ASKED, "runOnly": {"type": "rule", "values": rules}} if rules else ASKED
        self.page.evaluate(LAY)
        found = self.page.evaluate(BROKEN, asked)
        while self.page.evaluate(LAY):  # an answer that came meanwhile began to stay on the screen
            found = self.page.evaluate(BROKEN, asked)
        self.page.evaluate(LIFT)
        return [
            f"{self.page.url} {problem['id']}: {node['html'][:160]} {node['failureSummary'][:200]}"
            for problem in found
            for node in problem["nodes"]
        ]


def tab(browser: Browser, address: str, **options: Any) -> tuple[BrowserContext, Watched]:
    """A new tab with nothing remembered."""
    context = weakened(browser.new_context(**options))
    page = context.new_page()
    page.set_default_timeout(SOON)
    watched = Watched(page, address)
    page.on("console", watched.heard)
    page.on("pageerror", lambda error: watched.complaints.append(f"{page.url}: {error}"))
    page.on("request", watched.asked)
    page.on("requestfinished", watched.ended)
    page.on("requestfailed", watched.ended)
    return context, watched
