"""Eight writers at one ledger: random steps by all ways in, and appends beside the same statements without us.

.venv/bin/python benchmarks/writers.py [--processes 8] [--steps 200] [--appends 100]
.ci/postgres with .venv/bin/python benchmarks/writers.py     the steps on PostgreSQL, too

Exits with 1 where anything that must hold of the ledger afterwards does not (tests/storm_checks.py).
"""

from __future__ import annotations

import argparse
import json
import multiprocessing as mp
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from ledger import MASS, Statement, recorded_now
from ledgers.servers import VARIABLE, empty_workspace
from sqlalchemy import event as on
from storm import __file__ as storm_program
from storm import now
from storm_checks import violations
from storm_steps import town

from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Found, Payload
from partway.storage.workspace import open_file, open_workspace


def storm(kind: str, processes: int, steps: int, folder: Path) -> bool:
    """Random steps on one sort of database; whether all that must hold does."""
    with empty_workspace(kind, folder) as where:
        with open_workspace(where) as book:
            town(book, Context("tester", now, new_id, zone="UTC"))
            before = {str(one.id) for one in book.events()}
        command = [sys.executable, storm_program, where, str(processes), str(steps), "1"]
        began = time.perf_counter()
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        took = time.perf_counter() - began
        entries = json.loads(done.stdout)
        with open_workspace(where) as book:
            found = violations(book, entries, before)
            count = book.state()[0] - len(before)
    _tell(kind, entries, took, count, found)
    return not found


def _tell(kind: str, entries: list[dict[str, Any]], took: float, count: int, found: list[str]) -> None:
    taken = [entry["seconds"] for entry in entries if "events" in entry]
    locked = sum("keeps locked" in entry.get("refused", "") for entry in entries)
    print(f"{kind}: {len(entries)} steps in {took:.0f} s, {len(taken)} taken with {count} events, {locked} not let in")
    print(f"  refused by place: {dict(Counter(e['path'] for e in entries if 'refused' in e).most_common())}")
    for way in ("action", "json", "command"):
        seconds = sorted(e["seconds"] for e in entries if e["way"] == way)
        print(f"  {way:8} {1000 * statistics.median(seconds):6.0f} ms median, {1000 * seconds[-1]:6.0f} ms longest")
    print(f"  what does not hold: {found or 'nothing'}")


def appends(processes: int, count: int, folder: Path) -> None:
    """Each process records finds one by one, with us and by the bare statements; SQLite."""
    parts = [
        [Found(f"f{process}-{n}", "fan", mass_mg=MASS, source="curb") for n in range(count)]
        for process in range(processes)
    ]
    for number in (1, processes):
        ours, bare = folder / f"ours-{number}.sqlite", folder / f"bare-{number}.sqlite"
        open_file(ours).close()
        open_file(bare).close()
        said = [_statements(part, folder) for part in parts[:number]]
        with_us = _timed([partial(_append, ours, part) for part in parts[:number]])
        without = _timed([partial(_replay, bare, each) for each in said])
        each = [1000 * seconds / number / count for seconds in (with_us, without)]
        print(
            f"{number} writer{'s' * (number > 1)}, {count} appends each: {each[0]:.2f} ms an append, "
            f"bare statements {each[1]:.2f} ms, ratio {each[0] / each[1]:.2f}"
        )


def _append(path: Path, what: Sequence[Payload]) -> None:
    with open_file(path) as book:
        for one in what:
            recorded_now(book, one)


def _statements(what: Sequence[Payload], folder: Path) -> list[list[Statement]]:
    """What recording each takes, on a ledger thrown away."""
    said: list[list[Statement]] = []
    with tempfile.TemporaryDirectory(dir=folder) as own, open_workspace(own) as book:

        def record(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, many: bool) -> None:
            said[-1].append((statement, parameters, many))

        on.listen(book.engine, "before_cursor_execute", record)
        for one in what:
            said.append([])
            recorded_now(book, one)
    return said


def _replay(path: Path, several: list[list[Statement]]) -> None:
    with closing(sqlite3.connect(path, isolation_level=None, timeout=30.0)) as connection:
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA synchronous = FULL")
        for statements in several:
            for statement, parameters, many in statements:
                if many:
                    connection.executemany(statement, parameters)
                else:
                    connection.execute(statement, parameters).fetchall()
            connection.execute("COMMIT")


def _timed(jobs: list[Callable[[], None]]) -> float:
    """Seconds from the first to the last, all begun together, each in a process of its own."""
    context = mp.get_context("fork")
    gate = context.Barrier(len(jobs) + 1)

    def work(job: Callable[[], None]) -> None:
        gate.wait()
        job()

    children = [context.Process(target=work, args=(job,)) for job in jobs]
    for child in children:
        child.start()
    gate.wait()
    began = time.perf_counter()
    for child in children:
        child.join()
    if any(child.exitcode for child in children):
        raise SystemExit("a writer did not come to its end")
    return time.perf_counter() - began


def main() -> None:
    parser = argparse.ArgumentParser(description="several writers at one ledger")
    parser.add_argument("--processes", type=int, default=8)
    parser.add_argument("--steps", type=int, default=200, help="of each process")
    parser.add_argument("--appends", type=int, default=100, help="of each process")
    given = parser.parse_args()
    kinds = ["sqlite", *(["postgres"] if os.environ.get(VARIABLE) else [])]
    with tempfile.TemporaryDirectory() as folder:
        appends(given.processes, given.appends, Path(folder))
        good = [storm(kind, given.processes, given.steps, Path(folder)) for kind in kinds]
    sys.exit(0 if all(good) else 1)


if __name__ == "__main__":
    main()
