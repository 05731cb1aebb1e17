"""Plans that take a while, as jobs that can be watched, stopped and asked for again.

One search runs at a time and a few wait. Plans go before the defence of their lines, which steps aside and starts
again. What was asked once, with the same limits, is not searched for twice.
"""

from __future__ import annotations

import hashlib
import logging
import secrets
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Literal

from partway.actions.plans.jobs_child import Failed, Progress, SearchDone, Step, Task
from partway.actions.plans.jobs_worker import ENDED, ProcessWorker, Worker
from partway.actions.plans.plan import Limits
from partway.errors import Refused
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario

State = Literal["waiting", "running", "stopping", "done", "stopped", "failed"]
OVER = ("done", "stopped", "failed")
KEPT = 40  # finished jobs
MOST_WAITING = 8
MOST_HEARD = 200  # steps of progress that are kept
LISTEN_SECONDS = 0.1
GRACE_SECONDS = 60.0  # after a stop, to check and write up what there is
IDLE_SECONDS = 600.0
REPLACED = "A newer one took its place."
TOO_LATE = Failed("It was stopped, and what it had could not be checked in time.")


@dataclass(frozen=True, slots=True)
class JobNow:
    """A job as it stands. `ahead` are those that go before it; `plan` is checked, also that of a stopped job.

    `seconds` is how long it has been searching, `lane` what it was asked for, `mark` what the asker knows it by.
    """

    id: str
    lane: str
    state: State
    scenario: Scenario
    limits: Limits
    why: bool
    mark: str = ""
    ahead: int = 0
    seconds: float = 0.0
    progress: tuple[Progress, ...] = ()
    step: Step | None = None
    plan: Plan | None = None
    error: str = ""

    @property
    def over(self) -> bool:
        """Whether nothing more will happen to it."""
        return self.state in OVER


def key_of(scenario: Scenario, limits: Limits, why: bool) -> str:
    """The same for the same question, whoever asks it."""
    return hashlib.sha256(repr((scenario, limits, why)).encode()).hexdigest()


@dataclass(eq=False)
class _Job:
    now: JobNow
    key: str
    heard: deque[Progress] = field(default_factory=lambda: deque(maxlen=MOST_HEARD))
    began: float | None = None
    stopped: float | None = None
    aside: bool = False


class Jobs:
    """The jobs of one workspace. `worker` starts whoever searches; each plan found goes through `finished`."""

    def __init__(
        self,
        worker: Callable[[], Worker] = ProcessWorker,
        clock: Callable[[], float] = time.monotonic,
        finished: Callable[[Scenario, Plan], Plan] = lambda _, plan: plan,
    ) -> None:
        self._start, self._clock, self._finished = worker, clock, finished
        self._turn = threading.Condition()
        self._jobs: dict[str, _Job] = {}
        self._waiting: list[_Job] = []
        self._running: _Job | None = None
        self._worker: Worker | None = None
        self._thread: threading.Thread | None = None
        self._closed = False

    def submit(
        self,
        scenario: Scenario,
        limits: Limits | None = None,
        *,
        why: bool = False,
        lane: str = "plan",
        mark: str = "",
    ) -> str:
        """The id of a job for this question: one that is there already, or a new one.

        A new job takes the place of older ones in its lane. Raises Refused where too many wait.
        """
        limits = limits or Limits()
        key = key_of(scenario, limits, why)
        with self._turn:
            known = self._known(key)
            if known is not None:
                known.now = replace(known.now, mark=mark or known.now.mark)
                return known.now.id
            self._replace(lane)
            if self._closed or len(self._waiting) >= MOST_WAITING:
                raise Refused(
                    f"{len(self._waiting)} plans that wait already", "one of them to be stopped first", "plan"
                )
            job = _Job(JobNow(secrets.token_hex(6), lane, "waiting", scenario, limits, why, mark), key)
            self._jobs[job.now.id] = job
            self._waiting.append(job)
            self._waiting.sort(key=lambda waiting: waiting.now.why)
            if not why and self._running is not None and self._running.now.why:
                self._running.aside = True
            self._forget()
            self._begin()
            return job.now.id

    def now(self, job_id: str) -> JobNow:
        """A job as it stands. Raises Refused for one that is not kept any more."""
        with self._turn:
            job = self._job(job_id)
            ahead = 0
            if job in self._waiting:
                ahead = self._waiting.index(job) + (self._running is not None)
            end = self._clock() if job is self._running and job.began is not None else None
            seconds = end - job.began if end is not None and job.began is not None else job.now.seconds
            return replace(job.now, ahead=ahead, seconds=seconds, progress=tuple(job.heard))

    def recent(self, lane: str, most: int) -> tuple[JobNow, ...]:
        """The jobs of a lane that were asked for last, newest first."""
        with self._turn:
            found = [job.now for job in reversed(self._jobs.values()) if job.now.lane == lane]
            return tuple(found[:most])

    def stop(self, job_id: str) -> None:
        """Have a job end with the best checked plan it has; nothing happens to one that is over."""
        with self._turn:
            self._stop(self._job(job_id))

    def close(self) -> None:
        """End everything."""
        with self._turn:
            self._closed = True
            self._waiting.clear()
            self._turn.notify_all()
        if self._thread is not None:
            self._thread.join()

    # -- what is kept, under the lock -----------------------------------------------------------

    def _job(self, job_id: str) -> _Job:
        if job_id not in self._jobs:
            raise Refused("a plan that is not kept any more", "to plan again", "plan")
        return self._jobs[job_id]

    def _known(self, key: str) -> _Job | None:
        same = (job for job in reversed(self._jobs.values()) if job.key == key)
        return next((job for job in same if job.now.state in {"waiting", "running", "done"}), None)

    def _replace(self, lane: str) -> None:
        for job in [*self._waiting, *([self._running] if self._running is not None else [])]:
            if job.now.lane == lane:
                job.now = replace(job.now, error=REPLACED)
                self._stop(job)

    def _stop(self, job: _Job) -> None:
        if job in self._waiting:
            self._waiting.remove(job)
            job.now = replace(job.now, state="stopped", error=job.now.error or "It was stopped before it began.")
        elif job is self._running and job.stopped is None:
            job.stopped, job.now = self._clock(), replace(job.now, state="stopping")

    def _forget(self) -> None:
        over = [name for name, job in self._jobs.items() if job.now.over]
        for name in over[: max(0, len(over) - KEPT)]:
            del self._jobs[name]

    def _begin(self) -> None:
        self._turn.notify_all()
        if self._thread is None:
            self._thread = threading.Thread(target=self._work, daemon=True, name="partway jobs")
            self._thread.start()

    # -- the one thread that runs them ----------------------------------------------------------

    def _work(self) -> None:
        while (job := self._next()) is not None:
            try:
                self._run(job)
            except Exception:  # whatever it is: this job has failed, the next one has not
                logging.getLogger(__name__).exception("a job broke off")
                self._renew()
                self._finish(job, ENDED)
        self._renew()

    def _next(self) -> _Job | None:
        """The next job; while there is none for long, nothing is kept running for it."""
        with self._turn:
            while not self._turn.wait_for(lambda: self._closed or self._waiting, IDLE_SECONDS):
                self._renew()
            if self._closed:
                return None
            job = self._running = self._waiting.pop(0)
            job.began, job.aside = self._clock(), False
            job.now = replace(job.now, state="running", step=None)
            job.heard.clear()
            return job

    def _run(self, job: _Job) -> None:
        worker = self._worker = self._worker or self._start()
        worker.ask(Task(replace(job.now.scenario, known=None), job.now.limits, job.now.why))
        asked_to_stop = False
        while not isinstance(said := worker.hear(LISTEN_SECONDS), (SearchDone, Failed)):
            self._hear(job, said)
            if self._closed or (job.aside and job.stopped is None):
                self._renew()
                self._put_back(job)
                return
            if job.stopped is not None and not asked_to_stop:
                worker.stop()
                asked_to_stop = True
            if job.stopped is not None and self._clock() - job.stopped > GRACE_SECONDS:
                said = TOO_LATE
                break
        self._finish(job, said)
        if asked_to_stop or said in {ENDED, TOO_LATE}:
            self._renew()

    def _hear(self, job: _Job, said: Progress | Step | None) -> None:
        with self._turn:
            if isinstance(said, Progress):
                job.heard.append(said)
            elif said is not None:
                job.now = replace(job.now, step=said)

    def _finish(self, job: _Job, said: SearchDone | Failed) -> None:
        if isinstance(said, SearchDone):
            said = replace(said, plan=self._finished(job.now.scenario, said.plan))
        with self._turn:
            seconds = self._clock() - (job.began or 0.0)
            if isinstance(said, SearchDone):
                state: State = "done" if said.whole else "stopped"
                job.now = replace(job.now, state=state, plan=said.plan, seconds=seconds)
            else:
                state = "failed" if job.stopped is None or said.trace else "stopped"
                job.now = replace(job.now, state=state, error=job.now.error or said.message, seconds=seconds)
                if said.trace:
                    logging.getLogger(__name__).error("a search failed: %s", said.trace)
            self._running = None

    def _put_back(self, job: _Job) -> None:
        with self._turn:
            self._running, job.now = None, replace(job.now, state="waiting")
            self._waiting.append(job)  # plans are ahead of it already

    def _renew(self) -> None:
        """End whoever searches; the next job starts another."""
        worker, self._worker = self._worker, None
        if worker is not None:
            worker.end()
