"""The near side of the process that searches: start it, ask it, hear it, end it."""

from __future__ import annotations

import contextlib
from multiprocessing.connection import Connection
from typing import Protocol

from partway.actions.plans.jobs_child import Failed, Progress, SearchDone, Step, Stop, Task
from partway.actions.plans.spawned import spawned

Heard = Progress | Step | SearchDone | Failed
ENDED = Failed("The search ended without an answer.")


class Worker(Protocol):
    """Whoever answers tasks, one at a time."""

    def ask(self, task: Task) -> None:
        """Begin."""
        ...

    def hear(self, seconds: float) -> Heard | None:
        """What it says within some seconds."""
        ...

    def stop(self) -> None:
        """Ask for what there is; it answers once more, and nothing after that."""
        ...

    def end(self) -> None:
        """End it at once."""
        ...


class ProcessWorker:
    """A process of its own, started anew so that it inherits no open ledger and no lock."""

    def __init__(self) -> None:
        self.pipe, self.process = spawned(_serve, "partway search")

    def ask(self, task: Task) -> None:
        """Begin; whether it is still there shows when it is heard."""
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            self.pipe.send(task)

    def hear(self, seconds: float) -> Heard | None:
        """What it says within some seconds; a failure where it is gone."""
        try:
            said: Heard | None = self.pipe.recv() if self.pipe.poll(seconds) else None
        except (EOFError, ConnectionResetError, BrokenPipeError):
            return ENDED
        return said

    def stop(self) -> None:
        """Ask for what there is."""
        with contextlib.suppress(BrokenPipeError, ConnectionResetError):
            self.pipe.send(Stop())

    def end(self) -> None:
        """End it and wait for that."""
        self.process.kill()
        self.process.join()
        self.process.close()
        self.pipe.close()


def _serve(pipe: Connection) -> None:
    """Loads what a search needs only over there."""
    from partway.actions.plans.jobs_child import serve

    serve(pipe)
