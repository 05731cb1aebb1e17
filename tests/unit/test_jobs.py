"""Plans as jobs: what is heard on the way, stopped with a checked plan, failed, replaced, asked for again.

The queue is tested with searches that do what the test says; the process with a search that takes long in earnest.
"""

from __future__ import annotations

import contextlib
import io
import math
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from multiprocessing import get_context
from typing import Any

import planned
import pytest
from long_haul import endless_haul
from rich.console import Console

from partway.actions.plans.jobs import KEPT, MOST_WAITING, REPLACED, JobNow, Jobs
from partway.actions.plans.jobs_child import Failed, Progress, SearchDone, Step, Stop, Task, listen
from partway.actions.plans.jobs_worker import ENDED, Heard
from partway.actions.plans.plan import Limits, plan
from partway.cli.haul.page.printed import show_plan
from partway.errors import PlanUnsound, Refused
from partway.planning.instance.build import build
from partway.planning.search.search import SearchFound, search
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario

SOON = 60.0  # seconds after which a test gives up; nothing is asserted of how long anything takes
RICH = planned.rich_scenario()


def until(holds: Callable[[], bool]) -> None:
    """Wait for something; fails where it does not come."""
    end = time.monotonic() + SOON
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.005)


class Puppet:
    """A worker that answers when the test says so."""

    made: list[Puppet]

    def __init__(self) -> None:
        self.tasks: list[Task] = []
        self.says: list[Heard] = []
        self.stops = 0
        self.ended = False
        self.turn = threading.Condition()

    def ask(self, task: Task) -> None:
        self.tasks.append(task)

    def hear(self, seconds: float) -> Heard | None:
        with self.turn:
            self.turn.wait_for(lambda: bool(self.says), min(seconds, 0.01))
            return self.says.pop(0) if self.says else None

    def stop(self) -> None:
        self.stops += 1

    def end(self) -> None:
        self.ended = True

    def say(self, *said: Heard) -> None:
        with self.turn:
            self.says += said
            self.turn.notify_all()


class Stage:
    """Jobs and the workers they started."""

    def __init__(self) -> None:
        self.workers: list[Puppet] = []
        self.jobs = Jobs(self._start)

    def _start(self) -> Puppet:
        self.workers.append(Puppet())
        return self.workers[-1]

    def worker(self, tasks: int = 1, number: int = 1) -> Puppet:
        """The worker of that number once it has got so many tasks."""
        until(lambda: len(self.workers) >= number and len(self.workers[number - 1].tasks) >= tasks)
        return self.workers[number - 1]

    def over(self, job: str) -> JobNow:
        until(lambda: self.jobs.now(job).over)
        return self.jobs.now(job)


@pytest.fixture
def stage() -> Iterator[Stage]:
    it = Stage()
    yield it
    it.jobs.close()


@pytest.fixture(scope="module")
def best() -> Plan:
    return plan(RICH)


def named(name: str) -> Scenario:
    return replace(RICH, name=name)


def test_each_plan_goes_through_what_is_done_with_it_once_it_is_found(best: Plan) -> None:
    heard: list[str] = []

    def finished(scenario: Scenario, plan: Plan) -> Plan:
        heard.append(scenario.name)
        return replace(plan, notes=(*plan.notes, "kept"))

    puppet = Puppet()
    jobs = Jobs(lambda: puppet, finished=finished)
    try:
        job = jobs.submit(named("one"))
        until(lambda: bool(puppet.tasks))
        puppet.say(SearchDone(best, whole=True))
        until(lambda: jobs.now(job).over)
        told = jobs.now(job).plan
        assert told is not None
        assert told.notes[-1] == "kept"
        assert heard == ["one"]
    finally:
        jobs.close()


def test_a_job_is_heard_of_and_done(stage: Stage, best: Plan) -> None:
    job = stage.jobs.submit(RICH)
    worker = stage.worker()
    worker.say(Progress(90.0, 120.0, 0.5), Progress(100.0, 110.0, 1.0))
    until(lambda: len(stage.jobs.now(job).progress) == 2)
    assert stage.jobs.now(job).state == "running"
    assert stage.jobs.now(job).progress[-1].gap == pytest.approx(0.1)
    worker.say(SearchDone(best, whole=True))
    assert (stage.over(job).state, stage.over(job).plan) == ("done", best)
    assert not worker.ended


def test_the_same_question_is_searched_for_once(stage: Stage, best: Plan) -> None:
    first = stage.jobs.submit(RICH)
    assert stage.jobs.submit(planned.rich_scenario()) == first
    stage.worker().say(SearchDone(best, whole=True))
    assert stage.over(first).plan == best
    assert stage.jobs.submit(RICH, lane="what-if") == first
    assert stage.jobs.submit(RICH, Limits(seconds=3.0)) != first


def test_the_newest_of_a_lane_come_first_and_keep_their_mark(stage: Stage) -> None:
    first = stage.jobs.submit(named("one"), mark="a")
    second = stage.jobs.submit(named("two"), mark="b")
    stage.jobs.submit(named("three"), lane="other")
    assert [(job.id, job.mark) for job in stage.jobs.recent("plan", 5)] == [(second, "b"), (first, "a")]
    assert stage.jobs.submit(named("two"), mark="c") == second
    assert [job.mark for job in stage.jobs.recent("plan", 1)] == ["c"]


def test_other_lanes_wait_their_turn(stage: Stage, best: Plan) -> None:
    first, second, third = (stage.jobs.submit(named(n), lane=n) for n in ("one", "two", "three"))
    worker = stage.worker()
    assert [stage.jobs.now(j).ahead for j in (first, second, third)] == [0, 1, 2]
    worker.say(SearchDone(best, whole=True))
    stage.over(first)
    assert stage.worker(tasks=2).tasks[1].scenario.name == "two"
    assert stage.jobs.now(third).ahead == 1


def test_a_newer_one_takes_the_place_of_the_older_in_its_lane(stage: Stage, best: Plan) -> None:
    first = stage.jobs.submit(named("one"))
    worker = stage.worker()
    second = stage.jobs.submit(named("two"))
    until(lambda: worker.stops == 1)
    third = stage.jobs.submit(named("three"))
    assert stage.jobs.now(second).state == "stopped" and stage.jobs.now(second).error == REPLACED
    worker.say(SearchDone(best, whole=False))
    assert (stage.over(first).state, stage.over(first).error, stage.over(first).plan) == ("stopped", REPLACED, best)
    assert stage.worker(number=2).tasks[0].scenario.name == "three"
    assert worker.ended
    assert stage.jobs.now(third).state == "running"


def test_a_defence_steps_aside_for_a_plan_and_starts_again(stage: Stage, best: Plan) -> None:
    why = stage.jobs.submit(RICH, why=True, lane="why")
    stage.worker().say(Step(1, 9))
    until(lambda: stage.jobs.now(why).step == Step(1, 9))
    job = stage.jobs.submit(named("sooner"))
    other = stage.worker(number=2)
    assert other.tasks[0].scenario.name == "sooner"
    assert stage.workers[0].ended
    assert (stage.jobs.now(why).state, stage.jobs.now(why).ahead) == ("waiting", 1)
    other.say(SearchDone(best, whole=True))
    stage.over(job)
    assert stage.worker(tasks=2, number=2).tasks[1].why
    other.say(SearchDone(best, whole=True))
    assert stage.over(why).state == "done"


def test_a_failure_says_what_it_was_and_the_next_job_runs(stage: Stage, best: Plan) -> None:
    first = stage.jobs.submit(named("one"), lane="one")
    second = stage.jobs.submit(named("two"), lane="two")
    stage.worker().say(Failed("the solver said no", "trace"))
    assert (stage.over(first).state, stage.over(first).error) == ("failed", "the solver said no")
    stage.worker(tasks=2).say(ENDED)  # the process was killed
    assert stage.over(second).state == "failed" and stage.workers[0].ended
    third = stage.jobs.submit(named("two"), lane="two")
    assert third != second
    stage.worker(number=2).say(SearchDone(best, whole=True))
    assert stage.over(third).state == "done"


def test_one_that_waits_is_stopped_before_it_begins(stage: Stage) -> None:
    stage.jobs.submit(named("one"), lane="one")
    second = stage.jobs.submit(named("two"), lane="two")
    stage.jobs.stop(second)
    assert stage.jobs.now(second).state == "stopped" and "before it began" in stage.jobs.now(second).error
    assert stage.jobs.now(second).plan is None


def test_too_many_that_wait_are_refused(stage: Stage) -> None:
    stage.jobs.submit(named("running"), lane="running")
    stage.worker()
    for n in range(MOST_WAITING):
        stage.jobs.submit(named(f"{n}"), lane=f"{n}")
    with pytest.raises(Refused, match="wait already"):
        stage.jobs.submit(named("more"), lane="more")


def test_the_oldest_finished_ones_are_forgotten(stage: Stage, best: Plan) -> None:
    ids = []
    for n in range(KEPT + 2):
        ids.append(stage.jobs.submit(named(f"{n}")))
        stage.worker(tasks=n + 1).say(SearchDone(best, whole=True))
        stage.over(ids[-1])
    stage.jobs.submit(named("one more"))
    with pytest.raises(Refused, match="not kept any more"):
        stage.jobs.now(ids[0])
    assert stage.jobs.now(ids[-1]).plan == best


# -- one task, in this process ----------------------------------------------------------------------


class Wire:
    """Both ends of a pipe, and somebody who listens at the far one."""

    def __init__(self, planner: Callable[..., Plan]) -> None:
        self.near, self.far = get_context("spawn").Pipe()
        self.thread = threading.Thread(target=self._listen, args=(planner,))
        self.thread.start()
        self.near.send(TASK)

    def _listen(self, planner: Callable[..., Plan]) -> None:
        with contextlib.suppress(EOFError):
            listen(self.far, planner)

    def hear(self) -> Any:
        assert self.near.poll(SOON)
        return self.near.recv()

    def close(self) -> None:
        """Nobody asks any more; whoever listens has to notice."""
        self.near.close()
        self.thread.join(SOON)
        assert not self.thread.is_alive()
        self.far.close()


TASK = Task(RICH, Limits(), why=False)


def test_tasks_that_come_right_after_one_another_are_all_answered(best: Plan) -> None:
    wire = Wire(lambda *_, **__: best)
    for _ in range(200):
        assert wire.hear() == SearchDone(best, whole=True)
        wire.near.send(TASK)
    assert wire.hear() == SearchDone(best, whole=True)
    wire.close()


def test_a_stopped_search_hands_over_its_latest_plan_checked() -> None:
    held = threading.Event()
    instance = build(RICH)
    found = search(instance)
    loose = replace(found, bound=found.objective + 50.0, optimal=False)

    def planner(*_: Any, on_found: Callable[..., None], **__: Any) -> Plan:
        on_found(instance, loose)
        held.wait(SOON)
        on_found(instance, loose)
        raise AssertionError("the search goes on after it was left")

    wire = Wire(planner)
    assert wire.hear().bound == loose.bound
    wire.near.send(Stop())
    done = wire.hear()
    held.set()
    wire.close()
    assert not done.whole
    assert (done.plan.status, done.plan.bound) == ("gap", loose.bound)
    assert done.plan.gap == pytest.approx(50.0 / found.objective)
    assert any("Stopped after" in note for note in done.plan.notes)


def test_stopped_before_anything_is_proven_no_bound_is_made_up() -> None:
    """The first plan of a long search has no bound; infinity is no number of JSON."""
    held = threading.Event()
    instance = build(RICH)
    unproven = replace(search(instance), bound=math.inf, optimal=False)

    def planner(*_: Any, on_found: Callable[..., None], **__: Any) -> Plan:
        on_found(instance, unproven)
        held.wait(SOON)
        on_found(instance, unproven)
        raise AssertionError("the search goes on after it was left")

    wire = Wire(planner)
    assert wire.hear().bound == math.inf
    wire.near.send(Stop())
    done = wire.hear()
    held.set()
    wire.close()
    assert (done.plan.status, done.plan.bound, done.plan.gap) == ("gap", None, None)
    assert any("how much better is not known yet" in note for note in done.plan.notes)
    shown = io.StringIO()
    show_plan(Console(file=shown, width=400), done.plan, RICH)
    assert "how much better is possible is not known yet" in shown.getvalue()


def test_a_plan_that_fails_its_check_is_not_handed_over_on_a_stop() -> None:
    held = threading.Event()
    instance = build(RICH)
    found = search(instance)
    wrong = replace(found.decision, kept=(found.decision.kept[0] + 1, *found.decision.kept[1:]))

    def planner(*_: Any, on_found: Callable[..., None], **__: Any) -> Plan:
        on_found(instance, replace(found, decision=wrong))
        held.wait(SOON)
        raise PlanUnsound("not reached in time")

    wire = Wire(planner)
    wire.hear()
    wire.near.send(Stop())
    said = wire.hear()
    held.set()
    assert isinstance(said, Failed) and "failed its own check" in said.message
    wire.close()


def test_stopped_before_a_first_plan_there_is_none() -> None:
    held = threading.Event()

    def planner(*_: Any, **__: Any) -> Plan:
        held.wait(SOON)
        raise PlanUnsound("not reached in time")

    wire = Wire(planner)
    wire.near.send(Stop())
    said = wire.hear()
    held.set()
    assert said == Failed("It was stopped before it had a first plan.")
    wire.close()


@pytest.mark.parametrize("error", [PlanUnsound("does not add up"), ZeroDivisionError("x")])
def test_an_error_of_the_search_is_told(error: Exception) -> None:
    def planner(*_: Any, **__: Any) -> Plan:
        raise error

    wire = Wire(planner)
    said = wire.hear()
    assert isinstance(said, Failed)
    assert ("does not add up" if isinstance(error, PlanUnsound) else "ZeroDivisionError") in said.message
    assert type(error).__name__ in said.trace
    wire.close()


# -- in earnest ---------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def jobs() -> Iterator[Jobs]:
    it = Jobs()
    yield it
    it.close()


def test_a_process_finds_what_this_one_finds(jobs: Jobs, best: Plan) -> None:
    job = jobs.submit(RICH)
    until(lambda: jobs.now(job).over)
    now = jobs.now(job)
    assert now.error == ""
    assert now.plan is not None and now.plan.status == "optimal"
    assert now.plan.objective == pytest.approx(best.objective, abs=1e-6)
    assert now.progress[-1].objective == pytest.approx(best.objective, abs=1e-6)


def test_a_long_search_is_stopped_with_a_checked_plan_and_an_honest_gap(jobs: Jobs) -> None:
    scenario = endless_haul()
    job = jobs.submit(scenario, Limits(seconds=600.0, gap=0.0))
    until(lambda: any(math.isfinite(said.bound) for said in jobs.now(job).progress))
    jobs.stop(job)
    until(lambda: jobs.now(job).over)
    now = jobs.now(job)
    assert (now.state, now.error) == ("stopped", "")
    made = now.plan
    assert made is not None
    assert made.objective >= now.progress[0].objective - 1e-6
    money = [getattr(made.money, name) for name in made.money.__slots__]
    assert math.fsum(money) == pytest.approx(made.objective)
    quoted = {(b.id, q.grade, q.price.mean) for b in scenario.buyers for q in b.quotes}
    assert all((line.buyer, line.grade, line.price_per_kg) in quoted for line in made.sales)
    for grade, there in scenario.stock.items():
        assert sum(line.mass_kg for line in made.sales if line.grade == grade) <= there + 1e-6
    better: SearchFound = search(build(scenario), seconds=3.0)
    assert made.bound is not None and made.bound >= better.objective - 1e-6
    assert made.gap == pytest.approx((made.bound - made.objective) / made.objective)
    if made.status == "gap":
        assert any("Stopped after" in note for note in made.notes)


def test_after_a_stop_the_next_job_runs(jobs: Jobs, best: Plan) -> None:
    job = jobs.submit(RICH, Limits(seconds=9.0))
    until(lambda: jobs.now(job).over)
    now = jobs.now(job)
    assert now.plan is not None and now.plan.objective == pytest.approx(best.objective, abs=1e-6)
