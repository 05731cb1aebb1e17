"""What one town costs: run in a process of its own by `scale.py`, prints one line of JSON.

Seconds are of the processor, this process's and, on PostgreSQL, the server's. Memory is the most that was held up to
the end of each step.
"""

from __future__ import annotations

import datetime as dt
import gc
import json
import os
import random
import resource
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

import ledger
import pages
import scale_towns
from fastapi.testclient import TestClient
from ledgers.servers import empty_workspace
from scale_towns import END, Town
from sqlalchemy import text

from partway.actions.haul.promised import scenario_to_plan
from partway.ledger.events import kinds as p
from partway.planning.instance.build import build
from partway.planning.model.milp import formulate
from partway.planning.search.search import search
from partway.storage.backup.backup import backup
from partway.storage.exchange.package import write_package
from partway.storage.exchange.union import of_book, unite
from partway.storage.exchange.unpack import read_package
from partway.storage.store import SqlBook
from partway.storage.workspace import open_file, open_workspace
from partway.web.app import create_app
from partway.web.serving.serve import settle
from partway.web.serving.setup import Setup

PAGES = ("/", "/curb", "/bench", "/bins", "/buyers", "/haul", "/books", "/books/money", "/books/flows")
TICKS = os.sysconf("SC_CLK_TCK")
FIRST, AGAIN, WRITES = 3, 5, 20
PLAN_STEPS, PLAN_GAP, PLAN_SECONDS = 1, 1e-3, 900.0  # the first plan, however slow the machine is


class Clock:
    """Processor seconds: ours, and those of a server on this machine with all its processes."""

    def __init__(self, book: SqlBook) -> None:
        self.server = 0
        if book.engine.dialect.name == "postgresql":
            with book.engine.connect() as connection:
                backend = connection.execute(text("SELECT pg_backend_pid()")).scalar_one()
            self.server = int(_stat(int(backend))[1])

    def __call__(self) -> float:
        return (_of_server(self.server) if self.server else 0.0) + time.process_time()

    def took(self, work: Callable[[], Any]) -> float:
        """Seconds that some work takes."""
        gc.collect()
        began = self()
        work()
        ours = time.process_time()  # asking for the server's takes some of ours, too
        return self() - (time.process_time() - ours) - began


def _stat(pid: int) -> list[str]:
    """The fields of a process from its state on: 1 is its parent, 11 to 14 its ticks and its ended children's."""
    return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()


def _of_server(postmaster: int) -> float:
    ticks = sum(int(one) for one in _stat(postmaster)[11:15])
    for entry in Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            fields = _stat(int(entry.name))
        except OSError:  # it has ended meanwhile
            continue
        if int(fields[1]) == postmaster:
            ticks += int(fields[11]) + int(fields[12])
    return ticks / TICKS


def memory() -> float:
    """The most that was held so far, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def size(book: SqlBook, where: str) -> float:
    """What the ledger takes on the disk, in MB; on PostgreSQL its tables and indexes."""
    if book.engine.dialect.name == "postgresql":
        tables = "SELECT sum(pg_total_relation_size(oid)) FROM pg_class WHERE relkind = 'r'"
        with book.engine.connect() as connection:
            own = text(f"{tables} AND relnamespace = current_schema()::regnamespace")
            return float(connection.execute(own).scalar_one()) / 1e6
    return sum(file.stat().st_size for file in Path(where).rglob("*") if file.is_file()) / 1e6


def fold(book: SqlBook, town: Town, clock: Clock) -> dict[str, float]:
    """The ledger made, a find recorded, and everything derived worked out anew."""
    events = scale_towns.events(town)
    found: dict[str, float] = {"events": len(events)}
    found["append all"] = clock.took(lambda: book.append(events))
    events.clear()
    draw, new = random.Random(7), [f"new-{n}" for n in range(WRITES)]
    finds = [p.Found(name, "fan", mass_mg=ledger.MASS, source="curb") for name in new]
    opened = [replace(ledger.opened(draw, 0), find=name) for name in new]
    found["record a find"] = clock.took(lambda: _each(book, finds)) / WRITES
    found["open a find"] = clock.took(lambda: _each(book, opened)) / WRITES
    found["rebuild"] = clock.took(book.rebuild)
    return {**found, "memory of the fold": memory()}


def _each(book: SqlBook, what: Sequence[p.Payload]) -> None:
    for one in what:
        ledger.recorded_now(book, one)


def looked_at(book: SqlBook, clock: Clock) -> dict[str, float]:
    """Each page with nothing kept, and once more."""
    found = {}
    app = create_app(Setup(book, who="me", clock=lambda: END + dt.timedelta(hours=1)))
    settle(app)
    with TestClient(app, base_url="http://localhost") as client:
        for path in PAGES:
            firsts = []
            client.get(path)  # decoded quotes are remembered by the process
            for _ in range(FIRST):
                pages.forget(app)
                firsts.append(clock.took(lambda path=path: pages.millis(client, path)))
            found[path] = statistics.median(firsts)
            found[f"{path} again"] = statistics.median(
                clock.took(lambda path=path: pages.millis(client, path)) for _ in range(AGAIN)
            )
            found[f"{path} kB"] = len(client.get(path).content) / 1000
    return {**found, "memory of the pages": memory()}


def planned(book: SqlBook, clock: Clock) -> dict[str, float]:
    """From the ledger to its first plan, checked: what is to be planned, the instance, the programme, the plan."""
    kept: dict[str, Any] = {}

    def keep(name: str, work: Callable[[], Any]) -> float:
        return clock.took(lambda: kept.update({name: work()}))

    found = {"what to plan": keep("s", lambda: scenario_to_plan(book, END.date(), None, dt.UTC))}
    found["instance"] = keep("i", lambda: build(kept["s"]))
    found["programme"] = keep("m", lambda: formulate(kept["i"]))
    found["columns"] = len(kept["m"].linear.names)
    found["first plan"] = keep("f", lambda: search(kept["i"], PLAN_SECONDS, PLAN_GAP, steps=PLAN_STEPS))
    plan = kept["f"]
    found["gap"] = max(0.0, plan.bound - plan.objective) / max(1.0, abs(plan.objective))
    return {**found, "memory of the plan": memory()}


def carried(book: SqlBook, folder: Path, clock: Clock) -> dict[str, float]:
    """A backup, a package written and read into an empty ledger, and its merge with a ledger that has it all."""
    copy, package = folder / "copy.sqlite", folder / "package.zip"
    found = {"backup": clock.took(lambda: backup(book, copy))}
    found["package"] = clock.took(lambda: write_package(book, package))
    with open_file(folder / "other.sqlite") as other:
        found["read a package"] = clock.took(lambda: unite(other, read_package(package)))
        found["merge the same"] = clock.took(lambda: unite(other, of_book(book, "the other")))
    return {**found, "backup MB": copy.stat().st_size / 1e6, "package MB": package.stat().st_size / 1e6}


def measure(town: Town, kind: str, steps: list[str]) -> dict[str, float]:
    """All that a town costs on one sort of database."""
    folder = Path(tempfile.mkdtemp())
    try:
        with empty_workspace(kind, folder) as where, open_workspace(where) as book:
            clock = Clock(book)
            found = {**fold(book, town, clock), "MB": size(book, where)}
            if "pages" in steps:
                found |= looked_at(book, clock)
            if "carry" in steps:
                found |= carried(book, folder, clock)
            if "plan" in steps:
                found |= planned(book, clock)
            return {**found, "memory": memory()}
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    print(json.dumps(measure(Town(**json.loads(sys.argv[1])), sys.argv[2], sys.argv[3].split(","))))
