"""Several processes at one ledger, each by the command line, the JSON interface and the actions in turn.

`python tests/storm.py WHERE PROCESSES STEPS SEED [broken]`: random steps of storm_steps. `broken` takes the transaction
away, so that each process decides by what it read before the others wrote. `python tests/storm.py race WHERE
ARGUMENTS...`: each ARGUMENTS, a JSON list, is one command; all begin at the same moment, each in a process of its own.
What came of every step is printed as JSON.
"""

from __future__ import annotations

import datetime as dt
import json
import multiprocessing as mp
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from functools import partial
from random import Random
from typing import TYPE_CHECKING, Any

from click.testing import CliRunner

from partway.actions.recording.context import Context
from partway.actions.recording.saved import saved
from partway.catalogue import shipped
from partway.cli.app import COMMANDS, cli
from partway.errors import PartwayError, Refused
from partway.ledger.events.ids import new_id
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace

if TYPE_CHECKING:
    from storm_steps import Step

TOGETHER = 60  # seconds until a process that does not come is missed
APART = 0.005  # seconds between deciding and appending where nothing holds them together
Entry = dict[str, Any]  # way, path, seconds, and one of: events (ids), refused (words), broken (what went wrong)


def now() -> dt.datetime:
    return dt.datetime.now().astimezone()


class Writer:
    """One process: its book, its app, its command line."""

    def __init__(self, where: str, name: str) -> None:
        self.where, self.name = where, name
        self.book = open_workspace(where)
        from fastapi.testclient import TestClient

        from partway.web.app import create_app
        from partway.web.serving.setup import Setup

        self.client = TestClient(create_app(Setup(self.book, who=name)), base_url="http://localhost")
        self.ways: dict[str, Callable[[Step], Entry]] = {"action": self.act, "json": self.send, "command": self.run}

    def act(self, one: Step) -> Entry:
        try:
            return {"events": _ids(asdict(saved(one.act(self.book, Context(self.name, now, new_id)))))}
        except Refused as refused:
            return {"refused": str(refused)}

    def send(self, one: Step) -> Entry:
        answer = self.client.post(one.path, json=one.body)
        if answer.status_code == 200:
            return {"events": _ids(answer.json())}
        if answer.status_code in {409, 422, 503} and answer.json()["expected"]:
            return {"refused": answer.json()["detail"]}
        return {"broken": answer.text[:2000]}

    def run(self, one: Step) -> Entry:
        return command(self.where, [*one.arguments, "--who", self.name])


def command(where: str, arguments: list[str]) -> Entry:
    """A command in this process, as `partway` runs it."""
    result = CliRunner().invoke(cli, [*arguments, "--json", "--workspace", where])
    if result.exit_code == 0:
        return {"events": _ids(json.loads(result.stdout))}
    if isinstance(result.exception, PartwayError) and result.exception.exit_status == 2 and not result.stdout:
        return {"refused": str(result.exception)}
    return {"broken": f"{result.output[:1000]} {result.exception!r}"}


def _ids(told: dict[str, Any]) -> list[str]:
    return [str(event["id"]) for event in told["events"]]


def storm(where: str, number: int, steps: int, seed: int) -> list[Entry]:
    """The steps of one process."""
    draw = Random(f"{seed} {number}")
    mine: list[str] = []
    entries: list[Entry] = []
    from storm_steps import step

    writer = Writer(where, f"person {number}")
    for _ in range(steps):
        one, way = step(draw, writer.book, mine), draw.choice(list(writer.ways))
        began = time.perf_counter()
        entry = writer.ways[way](one)
        entries.append({"way": way, "path": one.path, "seconds": time.perf_counter() - began, **entry})
        mine += entry.get("events", ())
    writer.client.close()
    writer.book.close()
    return entries


def raced(where: str, arguments: list[str]) -> list[Entry]:
    return [{"path": arguments[0], **command(where, arguments)}]


@contextmanager
def nothing_held(_: SqlBook) -> Iterator[None]:
    """In the place of `deciding`: whatever happens in between, nobody is kept out."""
    yield


def take_apart() -> None:
    """Each process decides by what it read, and appends a moment later."""
    append = SqlBook.append

    def later(book: SqlBook, events: Any) -> int:
        time.sleep(APART)
        return append(book, events)

    SqlBook.deciding, SqlBook.append = nothing_held, later  # type: ignore[assignment,method-assign]


def side_by_side(jobs: Sequence[Callable[[], list[Entry]]]) -> list[Entry]:
    """Runs each in a process of its own, all from the same moment on."""
    context = mp.get_context("fork")  # what is imported and read is there already
    gate, lines = context.Barrier(len(jobs)), context.SimpleQueue()

    def work(job: Callable[[], list[Entry]]) -> None:
        gate.wait(TOGETHER)
        try:
            lines.put(json.dumps(job()))
        except BaseException as error:  # noqa: BLE001 (said to the parent, which fails for it)
            lines.put(json.dumps([{"way": "", "path": "", "seconds": 0, "broken": repr(error)}]))

    children = [context.Process(target=work, args=(job,)) for job in jobs]
    for child in children:
        child.start()
    entries = [entry for _ in children for entry in json.loads(lines.get())]
    for child in children:
        child.join(TOGETHER)
    return entries


def races_imported() -> None:
    """What is read once, before the processes part, so that they begin close together: what commands import."""
    shipped()
    for name in COMMANDS:
        CliRunner().invoke(cli, [name, "--help"])


def storms_imported() -> None:
    """The same for a storm: the app too."""
    races_imported()
    import fastapi.testclient
    import storm_steps

    from partway.web.app import page_routers

    del fastapi, storm_steps  # read, not used
    page_routers()


def main() -> None:
    """As a program of its own, or in a process that has imported all of it already (tests/warm.py)."""
    if sys.argv[1] == "race":
        races_imported()
        where, commands = sys.argv[2], [json.loads(text) for text in sys.argv[3:]]
        jobs = [partial(raced, where, said) for said in commands]
    else:
        storms_imported()
        where, (processes, steps, seed) = sys.argv[1], map(int, sys.argv[2:5])
        if "broken" in sys.argv[5:]:
            take_apart()
        jobs = [partial(storm, where, n, steps, seed) for n in range(processes)]
    json.dump(side_by_side(jobs), sys.stdout)


if __name__ == "__main__":
    main()
