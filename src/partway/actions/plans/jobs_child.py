"""The process a plan is searched in: it can be asked to stop, and be ended, without harm to anything else.

HiGHS lets other threads run while it works, but the model, the check and the report are plain Python and hold them
up, a running search cannot be called off from outside, and a solver that fails may take its process along. So
a search gets a process of its own, which lies below all others in priority. In it, one thread searches while
the other listens.
"""

from __future__ import annotations

import contextlib
import os
import signal
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import Connection

from partway.actions.plans.plan import Limits, best_so_far, plan
from partway.errors import PartwayError
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import Memory
from partway.planning.search.search import SearchFound
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario

NICE = 5


@dataclass(frozen=True, slots=True)
class Task:
    """What to search for."""

    scenario: Scenario
    limits: Limits
    why: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """Leave the search with what there is."""


@dataclass(frozen=True, slots=True)
class Progress:
    """The best plan so far, how good any plan may be, and the seconds it took."""

    objective: float
    bound: float
    seconds: float

    @property
    def gap(self) -> float:
        """How far the bound lies above the plan, as the plan itself will say it."""
        return (self.bound - self.objective) / max(1.0, abs(self.objective))


@dataclass(frozen=True, slots=True)
class Step:
    """Line `n` of `of` is being defended."""

    n: int
    of: int


@dataclass(frozen=True, slots=True)
class SearchDone:
    """A checked plan; `whole` is False where the search was left."""

    plan: Plan
    whole: bool


@dataclass(frozen=True, slots=True)
class Failed:
    """Why there is no plan: `message` for people, `trace` for those who mend it."""

    message: str
    trace: str = ""


Said = Progress | Step | SearchDone | Failed
Planner = Callable[..., Plan]


class _Left(Exception):
    """Raised inside the search once nobody waits for it."""


def serve(pipe: Connection) -> None:
    """Answer tasks until one is stopped, or whoever asked is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a terminal sends it to us too; the other side decides
    os.nice(NICE)
    with contextlib.suppress(EOFError, BrokenPipeError, ConnectionResetError):
        listen(pipe, partial(plan, memory=Memory()))  # the next question is often the last one at another price
    os._exit(0)  # the searching thread may be deep in the solver


def listen(pipe: Connection, planner: Planner = plan) -> None:
    """Begin each task as it comes: the next one comes when the last is answered. A stop is answered last of all."""
    run: TaskRun | None = None
    while True:
        said = pipe.recv()
        if isinstance(said, Task):
            run = TaskRun(pipe, said, planner)
            threading.Thread(target=run.search, daemon=True).start()
        elif run is not None:
            run.leave()
            return


class TaskRun:
    """One task. Only one of the two threads answers it, and only once."""

    def __init__(self, pipe: Connection, task: Task, planner: Planner) -> None:
        self.pipe, self.task, self.planner = pipe, task, planner
        self.began = time.monotonic()
        self.latest: tuple[Instance, SearchFound] | None = None
        self.lock, self.left, self.over = threading.Lock(), threading.Event(), threading.Event()

    def search(self) -> None:
        """Search until there is an answer, and give it."""
        with contextlib.suppress(_Left):
            self._say(_caught(self._planned))

    def leave(self) -> None:
        """Answer with what there is, unless it was answered just now; the search may still be running."""
        self.left.set()
        with contextlib.suppress(_Left):
            self._say(self._so_far())

    def _planned(self) -> SearchDone:
        task = self.task
        found = self.planner(task.scenario, task.limits, task.why, on_step=self._step, on_found=self._found)
        return SearchDone(found, whole=True)

    def _found(self, instance: Instance, found: SearchFound) -> None:
        self.latest = instance, found
        self._say(Progress(found.objective, found.bound, time.monotonic() - self.began))

    def _step(self, _: str, n: int, of: int) -> None:
        self._say(Step(n + 1, of))

    def _so_far(self) -> SearchDone | Failed:
        if self.latest is None:
            return Failed("It was stopped before it had a first plan.")
        instance, found = self.latest
        return _caught(lambda: SearchDone(best_so_far(instance, found, time.monotonic() - self.began), whole=False))

    def _say(self, said: Said) -> None:
        with self.lock:
            if self.over.is_set() or (self.left.is_set() and isinstance(said, (Progress, Step))):
                raise _Left
            self.pipe.send(said)
            if isinstance(said, (SearchDone, Failed)):
                self.over.set()


def _caught(work: Callable[[], SearchDone]) -> SearchDone | Failed:
    try:
        return work()
    except PartwayError as error:
        return Failed(str(error), traceback.format_exc())
    except _Left:
        raise
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told on the other side
        return Failed(f"The search broke off: {type(error).__name__}.", traceback.format_exc())
