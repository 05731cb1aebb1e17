"""Fifty people at one served ledger on PostgreSQL for a minute, and the same statements without us in the same run.

.ci/postgres with .venv/bin/python benchmarks/users.py [--users 50] [--seconds 60] [--pause 5]

Each has a device with a key of their own, as a helper; each records, looks, and waits a while, as people do (the
pauses are drawn, seeded). The app is one process of `partway serve`. Then as many connections send what the ledger sent
for as many finds, at the same pace. Exits with 1 where something acknowledged is missing, is there twice, or says
somebody else's name; or where anything was answered that should not be.
"""

from __future__ import annotations

import argparse
import os
import random
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

import httpx2
import psycopg
from ledger import MASS, Statement, recorded_now
from ledgers.servers import VARIABLE, empty_workspace
from sqlalchemy import event as on
from sqlalchemy.engine import make_url
from storm import now
from storm_steps import town

from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Found
from partway.ledger.roles import Role
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace
from partway.storage.writing.device_keys import issue_key
from partway.storage.writing.sessions import open_link

HOST = "bench.example"
LOOKS = ("/api/today", "/api/queue", "/bench", "/books", "/api/bins")


@dataclass
class Person:
    """Somebody with a phone: what was acknowledged, how long each write and look took, what else was answered."""

    name: str
    key: str
    finds: list[str] = field(default_factory=list)
    writes: list[float] = field(default_factory=list)
    looks: list[float] = field(default_factory=list)
    odd: Counter[str] = field(default_factory=Counter)

    def work(self, port: int, until: float, pause: float, seed: int) -> None:
        """Record and look in turn until the time is over."""
        draw = random.Random(seed)
        headers = {"host": HOST, "cookie": f"__Host-partway_key={self.key}"}
        with httpx2.Client(base_url=f"http://127.0.0.1:{port}", headers=headers, timeout=120) as client:
            time.sleep(draw.uniform(0, pause))
            while time.perf_counter() < until:
                if draw.random() < 0.7:
                    self.record(client)
                else:
                    answer = self._timed(self.looks, lambda: client.get(draw.choice(LOOKS)))
                    self._odd(answer)
                time.sleep(min(draw.expovariate(1 / pause), 4 * pause))

    def record(self, client: httpx2.Client) -> None:
        """One find, weighed."""
        body = {"kind": "microwave", "mass": "13.2 kg", "source": self.name}
        answer = self._timed(self.writes, lambda: client.post("/api/find", json=body))
        if answer.status_code == 200:
            self.finds.append(answer.json()["told"]["find"])
        self._odd(answer)

    def _timed(self, into: list[float], ask: Callable[[], Any]) -> Any:
        began = time.perf_counter()
        try:
            answer = ask()
        except Exception as error:
            self.odd[repr(error)[:80]] += 1  # no answer: a thread that ends is not to look like one that was quick
            raise
        into.append(time.perf_counter() - began)
        return answer

    def _odd(self, answer: Any) -> None:
        if answer.status_code != 200:
            self.odd[f"{answer.status_code} {answer.text[:80]}"] += 1


def served(where: str, port: int) -> subprocess.Popen[bytes]:
    """The app, behind a proxy that is not there."""
    command = [sys.executable, "-m", "partway", "serve", "--behind", f"https://{HOST}", "--port", str(port)]
    return subprocess.Popen(
        command, env={**os.environ, "PARTWAY_WORKSPACE": where}, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )


def answering(port: int, key: str) -> None:
    """Wait until the app answers, and has read its catalogue."""
    headers = {"host": HOST, "cookie": f"__Host-partway_key={key}"}
    until = time.monotonic() + 180
    while True:
        try:
            httpx2.get(f"http://127.0.0.1:{port}/api/today", headers=headers, timeout=120).raise_for_status()
        except httpx2.TransportError:
            if time.monotonic() > until:
                raise
            time.sleep(0.1)
        else:
            return


def together(jobs: list[Callable[[], None]]) -> None:
    """All at once, each in a thread."""
    threads = [threading.Thread(target=job) for job in jobs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def key_of(book: SqlBook, name: str) -> str:
    """What the phone of a helper is let in by, once it has opened its address."""
    opened = open_link(book, issue_key(book, f"phone of {name}", now(), name, Role.HELPER), now())
    return opened[0] if opened else ""


def people_at_work(where: str, book: SqlBook, users: int, seconds: float, pause: float) -> list[Person]:
    """So many people at the served app."""
    names = [f"person {n}" for n in range(users)]
    people = [Person(name, key_of(book, name)) for name in names]
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        port = int(sock.getsockname()[1])
    app = served(where, port)
    try:
        answering(port, people[0].key)
        until = time.perf_counter() + seconds
        together([lambda p=p, n=n: p.work(port, until, pause, n) for n, p in enumerate(people)])  # type: ignore[misc]
    finally:
        app.terminate()
        app.wait()
    return people


def wrong_with(book: SqlBook, people: list[Person]) -> list[str]:
    """What does not hold of the ledger afterwards."""
    there = Counter((event.what.find, event.who) for event in book.events(("found",)) if isinstance(event.what, Found))
    acknowledged = [(find, person.name) for person in people for find in person.finds]
    wrong = [f"missing or another's: {one}" for one in acknowledged if there[one] != 1]
    names = Counter(find for find, _ in acknowledged)
    wrong += [f"named {count} times: {find}" for find, count in names.items() if count > 1]
    ours = sum(count for (_, who), count in there.items() if who.startswith("person "))
    if ours != len(acknowledged):
        wrong.append(f"{ours} finds there, {len(acknowledged)} acknowledged")
    return wrong + [f"{person.name}: {said}" for person in people for said in person.odd]


def statements(count: int, folder: Path) -> list[list[Statement]]:
    """What recording each of so many finds takes, on a ledger thrown away."""
    said: list[list[Statement]] = []
    with empty_workspace("postgres", folder) as where, open_workspace(where) as book:
        town(book, Context("tester", now, new_id, zone="UTC"))

        def record(_c: Any, _k: Any, statement: str, parameters: Any, _x: Any, many: bool) -> None:
            said[-1].append((statement, parameters, many))

        on.listen(book.engine, "before_cursor_execute", record)
        for n in range(count):
            said.append([])
            recorded_now(book, Found(f"bare-{n}", "microwave", mass_mg=MASS, source="curb"))
    return said


def bare(counts: list[int], pause: float, folder: Path) -> list[float]:
    """The same statements by as many connections, through the driver alone, at the same pace."""
    said = iter(statements(sum(counts), folder))
    parts = [[next(said) for _ in range(count)] for count in counts]
    took: list[float] = []
    with empty_workspace("postgres", folder) as where:
        with open_workspace(where) as book:
            town(book, Context("tester", now, new_id, zone="UTC"))
        address = make_url(where).set(drivername="postgresql").render_as_string(hide_password=False)

        def replay(part: list[list[Statement]], seed: int) -> None:
            draw = random.Random(seed)
            with psycopg.connect(address, autocommit=True) as connection:
                time.sleep(draw.uniform(0, pause))
                for each in part:
                    began = time.perf_counter()
                    with connection.transaction(), connection.cursor() as cursor:
                        for statement, parameters, many in each:
                            if many:
                                cursor.executemany(statement, parameters)
                            else:
                                cursor.execute(statement, parameters or None)
                    took.append(time.perf_counter() - began)
                    time.sleep(min(draw.expovariate(1 / pause), 4 * pause))

        together([lambda part=part, n=n: replay(part, n) for n, part in enumerate(parts)])  # type: ignore[misc]
    return took


def told(name: str, seconds: list[float]) -> float:
    """The spread of times; the 95th of a hundred."""
    p95 = statistics.quantiles(seconds, n=20, method="inclusive")[-1]
    print(
        f"  {name:16} {len(seconds):5}: {1000 * statistics.median(seconds):6.0f} ms median, "
        f"{1000 * p95:6.0f} ms p95, {1000 * max(seconds):6.0f} ms longest"
    )
    return p95


def main() -> None:
    """Both halves of the run."""
    parser = argparse.ArgumentParser(description="many people at one served ledger")
    parser.add_argument("--users", type=int, default=50)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--pause", type=float, default=5, help="seconds between what one person does, on average")
    given = parser.parse_args()
    if not os.environ.get(VARIABLE):
        sys.exit("on PostgreSQL: .ci/postgres with .venv/bin/python benchmarks/users.py")
    with tempfile.TemporaryDirectory() as made, empty_workspace("postgres", Path(made)) as where:
        with open_workspace(where) as book:
            town(book, Context("tester", now, new_id, zone="UTC"))
            people = people_at_work(where, book, given.users, given.seconds, given.pause)
            wrong = wrong_with(book, people)
        print(f"{given.users} people, {given.seconds:g} s, a pause of {given.pause:g} s, load {os.getloadavg()[0]:.1f}")
        ours = told("writes", [one for person in people for one in person.writes])
        told("looks", [one for person in people for one in person.looks])
        theirs = told("bare statements", bare([len(person.finds) for person in people], given.pause, Path(made)))
        print(f"  p95 of a write to that of the bare statements: {ours / theirs:.1f}")
        print(f"  what does not hold: {wrong or 'nothing'}")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
