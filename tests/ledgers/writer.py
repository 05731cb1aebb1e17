"""A process that writes to a workspace, to be killed, starved or set against another one.

`python writer.py write WHERE FIRST COUNT SHARED [BYTES]` appends COUNT events one by one, every fifth of the first
SHARED x 5 followed by one that all writers share, and says the id of each once it is acknowledged, then how many were
new. No file may grow beyond BYTES.
`python writer.py serve` reads lines of a workspace, a number of batches and a share. A child writes batches there
without end. It is killed once it acknowledged so many, after that share of the time one took it on the way: that counts
in what this machine does, however busy. With no batches it is killed while it opens or makes the ledger, the share
being of 30 ms. The answer is the ids of the batches that were acknowledged.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
import tempfile
import time
from decimal import Decimal
from uuid import UUID

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.ids import built, new_id, time_of
from partway.storage.workspace import open_workspace

BATCH = 3 * 16  # bytes of the ids of one
OPENS = 0.03  # seconds in which a ledger is mostly opened
START_MS = 1_772_352_000_000  # 2026-03-01


def event(event_id: UUID, what: p.Payload) -> Event:
    when = time_of(event_id)
    return Event(event_id, "me", when, when, what)


def found(number: int) -> Event:
    return event(built(START_MS + number, 0), p.Found(f"f{number}", "fan", mass_mg=1000))


def shared(number: int) -> Event:
    return event(built(START_MS, 1 + number), p.Spent("fuel", Decimal("0.10"), "fuel"))


def say(text: object) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def write(where: str, first: int, count: int, common: int, most: int = resource.RLIM_INFINITY) -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    new = 0
    with open_workspace(where) as book:
        for number in range(first, first + count):
            one = found(number)
            new += book.append([one])
            say(one.id)
            if number % 5 == 0 and (number - first) // 5 < common:
                new += book.append([shared((number - first) // 5)])
    say(f"new {new}")


def batch() -> list[Event]:
    """A find, its opening, and a correction of the find: all three are there or none."""
    first, second, third = new_id(), new_id(), new_id()
    find = str(first)
    pieces = (p.PieceOut("motor", 1, "motors", "drum", 700),)
    return [
        event(first, p.Found(find, "fan", mass_mg=1000)),
        event(second, p.Opened(find, pieces, 1000, residue_mg=300)),
        event(third, p.Corrected(first, "slip of the thumb")),
    ]


def write_on(where: str, acknowledge: int) -> None:
    book = open_workspace(where)
    while True:
        events = batch()
        book.append(events)
        os.write(acknowledge, b"".join(one.id.bytes for one in events))


def killed_after(where: str, batches: int, share: float) -> list[str]:
    """The ids that a child had acknowledged when it was killed."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        try:
            write_on(where, writes)
        finally:
            os._exit(1)
    os.close(writes)
    said, began = b"", time.monotonic()
    while len(said) < batches * BATCH:
        said += os.read(reads, 65536)
        began = began if len(said) > BATCH else time.monotonic()  # the first one also opens the ledger
    time.sleep(share * (OPENS if not batches else (time.monotonic() - began) / max(1, len(said) // BATCH - 1)))
    os.kill(child, signal.SIGKILL)
    while part := os.read(reads, 65536):
        said += part
    os.close(reads)
    if os.waitpid(child, 0)[1] != signal.SIGKILL:
        raise SystemExit("the writer stopped before it was killed")
    return [str(UUID(bytes=said[at : at + 16])) for at in range(0, len(said), 16)]


def serve() -> None:
    with tempfile.TemporaryDirectory() as folder, open_workspace(folder) as book:
        book.append(batch())  # whatever is loaded late is loaded now, so that children need not
    for line in sys.stdin:
        where, batches, share = json.loads(line)
        say(json.dumps(killed_after(where, batches, share)))


if __name__ == "__main__":
    if sys.argv[1] == "serve":
        serve()
    else:
        write(sys.argv[2], *map(int, sys.argv[3:]))
