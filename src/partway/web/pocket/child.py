"""The process in which the pocket is worked out: it takes seconds of plain Python, which would hold up every page."""

from __future__ import annotations

import contextlib
import datetime as dt
import json
import os
import signal
from dataclasses import asdict, dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

NICE = 10


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to work out: of the ledger at `where` (a file, or the address of a server) at a moment. `key` is the state
    and the content of the test key that is there already.
    """

    where: str
    now: dt.datetime
    key: tuple[str, bytes] | None = None


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """Each file with the state it was worked out from; or what went wrong."""

    files: dict[str, tuple[str, bytes]]
    trouble: str = ""


def serve(pipe: Connection) -> None:
    """Answer what is wanted, one after another, until whoever asks is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a terminal sends it to us too; the other side decides
    os.nice(NICE)
    with contextlib.suppress(EOFError, BrokenPipeError, ConnectionResetError):
        while True:
            pipe.send(_answered(pipe.recv()))


def _answered(wanted: Wanted) -> WorkedOut:
    try:
        return work_out(wanted)
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told on the other side
        return WorkedOut({}, f"{type(error).__name__}: {error}")


def work_out(wanted: Wanted) -> WorkedOut:
    """All files of the pocket."""
    from partway.ledger.days import local, zone_of
    from partway.storage.workspace import open_file, open_workspace
    from partway.web.pocket.carried.all import Carrying

    server = "://" in wanted.where
    with open_workspace(wanted.where, make=False) if server else open_file(Path(wanted.where)) as book:
        return files_of(Carrying(book, local(wanted.now, zone_of(book) or wanted.now.tzinfo)), wanted.key)


def files_of(carrying: Any, known: tuple[str, bytes] | None = None) -> WorkedOut:
    """The files of a ledger at a moment; the test key is worked out anew only where an answer could be another one."""
    from partway.web.pocket.carried.key import key_state, pocket_tree, trees_of
    from partway.web.pocket.carried.paper import paper_of_pocket, tree_read
    from partway.web.pocket.kept import DATA, KEY, PAPER

    pocket, trees = carrying.pocket(), trees_of(carrying)
    state = key_state(trees)
    if known is not None and known[0] == state:
        tree = tree_read(known[1], pocket.workspace, pocket.on, pocket.day)
    else:
        tree = pocket_tree(carrying, trees)
    paper = paper_of_pocket(pocket, tree, carrying.show).encode()
    return WorkedOut({DATA: (pocket.state, as_json(pocket)), KEY: (state, as_json(tree)), PAPER: (pocket.state, paper)})


def as_json(told: Any) -> bytes:
    """A dataclass as it is sent."""
    return json.dumps(asdict(told), separators=(",", ":"), ensure_ascii=False).encode()
