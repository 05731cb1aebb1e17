"""The near side of the process that works out the pocket."""

from __future__ import annotations

import contextlib
from multiprocessing.connection import Connection
from typing import Protocol

from partway.actions.plans.spawned import spawned
from partway.web.pocket.child import Wanted, WorkedOut

ENDED = WorkedOut({}, "the process ended without an answer")


class PocketWorker(Protocol):
    """Whoever works it out."""

    def ask(self, wanted: Wanted) -> None:
        """Begin."""
        ...

    def hear(self, seconds: float) -> WorkedOut | None:
        """What came of it, where it is said within some seconds."""
        ...

    def end(self) -> None:
        """End it at once."""
        ...


class PocketProcess:
    """A process of its own, started anew so that it inherits no open ledger and no lock; it lies below all others in
    priority, and ends with the app.
    """

    def __init__(self) -> None:
        self.pipe, self.process = spawned(_serve, "partway pocket")

    def ask(self, wanted: Wanted) -> None:
        """Begin; whether it is still there shows when it is heard."""
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            self.pipe.send(wanted)

    def hear(self, seconds: float) -> WorkedOut | None:
        """What it says within some seconds; a failure where it is gone."""
        try:
            said: WorkedOut | None = self.pipe.recv() if self.pipe.poll(seconds) else None
        except (EOFError, ConnectionResetError, BrokenPipeError):
            return ENDED
        return said

    def end(self) -> None:
        """End it and wait for that."""
        self.process.kill()
        self.process.join()
        self.process.close()
        self.pipe.close()


def _serve(pipe: Connection) -> None:
    """Loads what is needed only over there."""
    from partway.web.pocket.child import serve

    serve(pipe)
