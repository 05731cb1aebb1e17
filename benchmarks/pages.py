"""Every page of the app on a ledger of ten years: time in the server, beside the bare SQL it took, and its weight.

.venv/bin/python benchmarks/pages.py [share of ten years, 1 unless told]

A page is asked for through the app itself, without a socket. "first" is the first time after something was written,
when nothing is kept; "again" is any later time. "sql" are the statements of the first time, run once more on a bare
connection with every row fetched. Medians; the ratio is first over sql.
"""

from __future__ import annotations

import datetime as dt
import random
import shutil
import sqlite3
import statistics
import sys
import tempfile
import time
from collections import deque
from contextlib import closing
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import ledger
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from sqlalchemy import event as on

from partway.catalogue import shipped
from partway.ledger.events import kinds as p
from partway.storage.store import SqlBook
from partway.storage.workspace import open_file
from partway.web.app import create_app, page_routers
from partway.web.serving.serve import settle
from partway.web.serving.setup import Setup

NOW = ledger.START + dt.timedelta(days=ledger.DAYS)
FIRST, AGAIN, SQL = 5, 15, 9
PER_ROUTE = 2
SETTINGS = {"currency": "CAD", "unit": "lb", "wage": "15", "bench": "6", "payload": "900 lb", "name": "demo: ten years"}
Statement = tuple[str, Any]


class Links(HTMLParser):
    """Addresses that a page leads to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        href = given.get("href") or ""
        if tag == "a" and href.startswith("/") and "download" not in given:
            self.found.append(href.partition("#")[0])


def ten_years(share: float) -> list[p.Payload]:
    """The ledger's benchmark, with kinds and grades that are in the catalogue, tickets paid and trips made."""
    draw = random.Random(3)
    kinds, grades = shipped().kinds, list(shipped().grades)[:40]
    ledger.GRADES[:] = grades
    result: list[p.Payload] = [p.Set(name, value) for name, value in SETTINGS.items()]
    said = ledger.ten_years(share)
    opened = {what.find for what in said if isinstance(what, p.Opened)}
    for what in said:
        weighed = isinstance(what, p.Found) and (what.find in opened or draw.random() < 0.5)
        result.append(found(draw, what.find, kinds, weighed=weighed) if isinstance(what, p.Found) else what)
        if isinstance(what, p.Ticketed):
            number = int(what.ticket[1:])
            if number % 100:  # one in a hundred is still owed
                result.append(p.Paid(what.buyer, what.total, what.ticket))
            if number % 2 == 0:
                result.append(p.Hauled(f"h{number}", "finished", (what.buyer,), Decimal(31), 90))
    return result


def found(draw: random.Random, name: str, kinds: tuple[str, ...], *, weighed: bool) -> p.Found:
    """A weighed fan, as every find is that is opened later (else its pieces would outweigh it: a conflict each); or a
    find of any kind.
    """
    kind = "fan" if weighed else draw.choice(kinds)
    return p.Found(name, kind, 1, draw.choice(("yes", "no", "unknown")), ledger.MASS if weighed else None, "curb")


def made(folder: Path, share: float) -> SqlBook:
    """The ledger of ten years, in a file."""
    payloads = ten_years(share)
    book = open_file(folder / "ledger.sqlite")
    book.append([ledger.event(n, len(payloads), what) for n, what in enumerate(payloads)])
    return book


def forget(app: Any) -> None:
    """Nothing is kept, as after a price was heard; after other writes the curb keeps what hangs on prices alone."""
    app.state.partway.cache.forget()
    app.state.partway.by_prices.forget()


def millis(client: TestClient, path: str) -> float:
    """One time, in ms."""
    began = time.perf_counter()
    if client.get(path).status_code != 200:
        raise SystemExit(f"{path} failed")
    return (time.perf_counter() - began) * 1000


def statements_of(book: SqlBook, client: TestClient, path: str) -> list[Statement]:
    """The reads that a page takes when nothing is kept."""
    said: list[Statement] = []

    def record(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, _many: bool) -> None:
        said.append((statement, parameters))

    on.listen(book.engine, "before_cursor_execute", record)
    client.get(path)
    on.remove(book.engine, "before_cursor_execute", record)
    return [one for one in said if one[0].lstrip().upper().startswith("SELECT")]


def bare(file: Path, statements: list[Statement]) -> float:
    """The same reads without us, in ms."""
    with closing(sqlite3.connect(file)) as connection:
        took = []
        for _ in range(SQL):
            began = time.perf_counter()
            for text, parameters in statements:
                connection.execute(text, parameters).fetchall()
            took.append((time.perf_counter() - began) * 1000)
    return statistics.median(took)


def pages_of(client: TestClient) -> list[str]:
    """Addresses of pages, a few of each sort, by links from the first page."""
    routes = [r for router in page_routers() for r in router.routes if isinstance(r, APIRoute) and "GET" in r.methods]
    seen: dict[str, list[str]] = {}
    known, waiting = {"/"}, deque(["/"])
    while waiting:
        path = waiting.popleft()
        route = next((r.path for r in routes if r.path_regex.fullmatch(path.partition("?")[0])), None)
        if route is None or route.startswith(("/api/", "/static")) or len(seen.get(route, [])) >= PER_ROUTE:
            continue
        answer = client.get(path)
        if "text/html" not in answer.headers.get("content-type", ""):
            continue
        seen.setdefault(route, []).append(path)
        fresh = [link for link in Links(answer.text).found if link not in known]
        known.update(fresh)
        waiting.extend(dict.fromkeys(fresh))
    return [path for paths in seen.values() for path in paths]


def main(share: float) -> None:
    folder = Path(tempfile.mkdtemp())
    try:
        with made(folder, share) as book:
            app = create_app(Setup(book, who="me", clock=lambda: NOW))
            settle(app)
            with TestClient(app, base_url="http://localhost") as client:
                print(f"{book.state()[0]:,} events; times in ms, medians of {FIRST} first and {AGAIN} again")
                print(f"{'page':44}{'again':>8}{'first':>8}{'sql':>8}{'ratio':>7}{'kB':>6}")
                for path in pages_of(client):
                    line(book, app, client, path, folder / "ledger.sqlite")
    finally:
        shutil.rmtree(folder)


def line(book: SqlBook, app: Any, client: TestClient, path: str, file: Path) -> None:
    """One page."""
    first = []
    for _ in range(FIRST):
        forget(app)
        first.append(millis(client, path))
    forget(app)
    sql = bare(file, statements_of(book, client, path))
    again = statistics.median(millis(client, path) for _ in range(AGAIN))
    cold = statistics.median(first)
    kilo = len(client.get(path).content) / 1000
    ratio = cold / sql if sql else float("inf")
    print(f"{path[:43]:44}{again:8.1f}{cold:8.1f}{sql:8.1f}{ratio:7.1f}{kilo:6.0f}")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
