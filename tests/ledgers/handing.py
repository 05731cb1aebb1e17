"""A process that hands entries to copies of a workspace and is killed at each statement in turn, to hand them again.

`python handing.py WORKSPACE ENTRIES` says, as a line of JSON each: what an undisturbed copy has in the end; and for the
first, second, third ... statement at which a child was killed, what its copy had then and what it has after the same
entries were handed over once more. It ends with the child that was not killed any more.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import sys
import tempfile
from itertools import count
from pathlib import Path
from typing import Any

from sqlalchemy import event

sys.path.insert(0, str(Path(__file__).parent.parent))

from noted import handed, intent_of

from partway.ledger.events.codec import to_json
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace

WITHOUT = ("id", "device", "refs")  # what differs from copy to copy


def written(book: SqlBook) -> list[dict[str, Any]]:
    """All that a ledger says but the ids of its events and the mark of the copy."""
    return [{k: v for k, v in to_json(e).items() if k not in WITHOUT} for e in book.recorded()]


def hand(folder: Path, entries: list[dict[str, Any]], die_at: int = 0) -> list[str]:
    """Hand the entries to a workspace; die at this one of the statements that write, and commits."""
    with open_workspace(folder) as book:
        steps = count(1)

        def step(*_: object) -> None:
            if next(steps) == die_at:
                os.kill(os.getpid(), signal.SIGKILL)

        def ran(_: object, __: object, statement: str, *___: object) -> None:
            if statement.lstrip()[:6].upper() in ("BEGIN ", "BEGIN", "INSERT", "UPDATE", "DELETE"):
                step()

        event.listen(book.engine, "after_cursor_execute", ran)
        event.listen(book.engine, "commit", step)
        return [answer.outcome for answer in handed(book, [intent_of(entry) for entry in entries])]


def killed(folder: Path, entries: list[dict[str, Any]], die_at: int) -> bool:
    """Whether a child that handed the entries over was killed on the way."""
    child = os.fork()
    if child == 0:
        hand(folder, entries, die_at)
        os._exit(0)
    return os.WIFSIGNALED(os.waitpid(child, 0)[1])


def looked(folder: Path, outcomes: list[str] | None = None) -> dict[str, Any]:
    """What a workspace has, and whether all that follows from its events is as it should be."""
    with open_workspace(folder) as book:
        before = book.state(), dict(book.balances()), dict(book.facts()), dict(book.accounts())
        book.rebuild()
        sound = before == (book.state(), dict(book.balances()), dict(book.facts()), dict(book.accounts()))
        return {"written": written(book), "sound": sound, "outcomes": outcomes}


def _intents(folder: Path) -> list[str]:
    with open_workspace(folder) as book:
        return [str(one.intent) for one in book.recorded() if one.intent]


def main(workspace: str, entries_file: str) -> None:
    entries = json.loads(Path(entries_file).read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as scratch:
        for die_at in count(0):
            folder = Path(scratch) / str(die_at)
            shutil.copytree(workspace, folder)
            died = die_at > 0 and killed(folder, entries, die_at)
            at_death = _intents(folder) if died else None
            again = looked(folder, hand(folder, entries))
            sys.stdout.write(json.dumps({"at": die_at, "died": died, "then": at_death, "again": again}) + "\n")
            shutil.rmtree(folder)
            if die_at > 0 and not died:
                return


if __name__ == "__main__":
    main(*sys.argv[1:])
