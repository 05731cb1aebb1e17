"""A solver broken on purpose is found out: the better plan is shown, not called optimal, and its scenario is kept.

The broken solvers stand in for the search's own, in three ways: it loses the best plans and is sure of it (as HiGHS
1.16.0 did), it promises more than there is, it finds nothing. The second opinion keeps the real one. What is right
comes from trying everything (tests/brute.py), or stands in the scenario file.
"""

from __future__ import annotations

import json
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tiny
import tiny_odd
from app_client import visitor
from brute import tried
from cases import case
from click.testing import CliRunner

from partway.actions.plans.jobs_child import SearchDone, Task
from partway.actions.plans.plan import plan
from partway.cli.app import cli
from partway.errors import PlanUnsound
from partway.planning.check import second_opinion
from partway.planning.check.simple_plans import keep_everything, simple_plans, sold_as_it_is
from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.model.highs import Solver, SolverAnswer
from partway.planning.search.search import TWO_METHODS_DISAGREE, SearchFound, search
from partway.reports.haul.plan import Plan
from partway.storage.disagreements import MOST_KEPT, keep, read_kept, with_kept
from partway.things.scenario import Scenario

WRONG = case("wrong")  # opened it is worth 42.00, kept whole 43.20: see the file
LOST = 1.0  # currency units by which the broken solver's best plan is worse


class Broken(Solver):
    """Says something wrong where it is asked for whole numbers; `lies` counts how often."""

    lies = 0

    def __init__(self, linear: Any, relaxed: bool = False, **more: Any) -> None:
        super().__init__(linear, relaxed, **more)
        whole = more.get("whole")
        self.asked_whole = any(linear.integer if whole is None else whole) and not relaxed

    def run(self, *given: Any, **named: Any) -> SolverAnswer:
        answer = super().run(*given, **named)
        if not self.asked_whole or answer.x is None:
            return answer
        wrong = self.wrong(answer)
        type(self).lies += wrong is not answer
        return wrong

    def wrong(self, answer: SolverAnswer) -> SolverAnswer:
        raise NotImplementedError


class Loses(Broken):
    """Returns a plan that is worse, as the best there is."""

    def wrong(self, answer: SolverAnswer) -> SolverAnswer:
        linear = self.linear
        terms = [(c, v) for c, v in enumerate(linear.objective) if v]
        self.add_row(terms, -1e9, answer.objective - linear.constant - LOST)
        worse = Solver.run(self)
        return answer if worse.x is None else replace(worse, bound=worse.objective)


class Boasts(Broken):
    """Returns the best plan with a bound that lies above it."""

    def wrong(self, answer: SolverAnswer) -> SolverAnswer:
        return replace(answer, bound=answer.bound + 5.0)


def breaks(monkeypatch: pytest.MonkeyPatch, broken: type[Broken]) -> None:
    """Puts the broken solver wherever the search solves for whole numbers."""
    monkeypatch.setattr(broken, "lies", 0)
    monkeypatch.setattr("partway.planning.search.run.Solver", broken)
    monkeypatch.setattr("partway.planning.search.stages.Solver", broken)


def doubted(found: SearchFound) -> bool:
    return found.doubts == (TWO_METHODS_DISAGREE,) and not found.optimal


def test_the_case_is_right_and_proven() -> None:
    found = search(build(WRONG))
    assert found.optimal and not found.doubts
    assert found.objective == found.bound == pytest.approx(43.20)
    assert {it.method for it in found.opinions} == {"keep everything", "relaxation", "without presolve"}


def test_a_solver_that_loses_the_optimum_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    breaks(monkeypatch, Loses)
    instance = build(WRONG)
    found = search(instance)
    assert Loses.lies > 0
    assert doubted(found)
    assert found.objective == found.bound == pytest.approx(43.20)
    assert verify(instance, found.decision).money.total == pytest.approx(43.20)


def test_plans_without_a_solver_find_it_out_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a programme too large for a second solve."""
    breaks(monkeypatch, Loses)
    monkeypatch.setattr(second_opinion, "MOST_COLUMNS", 0)
    found = search(build(WRONG))
    assert "without presolve" not in {it.method for it in found.opinions}
    assert doubted(found)
    assert found.objective == pytest.approx(43.20)


def test_a_solver_that_promises_too_much_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    breaks(monkeypatch, Boasts)
    found = search(build(WRONG))
    assert Boasts.lies > 0
    assert doubted(found)
    assert found.objective == found.bound == pytest.approx(43.20)  # no more than the relaxation allows


def test_no_plan_is_worth_more_than_the_relaxation_whatever_the_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    breaks(monkeypatch, Boasts)
    monkeypatch.setattr(second_opinion, "MOST_COLUMNS", 0)
    assert search(build(WRONG)).bound == pytest.approx(43.20)


def drawn() -> list[Scenario]:
    """Small ones of both kinds, with trips and without."""
    return [*(tiny_odd.scenario(seed) for seed in range(50)), *(tiny.scenario(seed) for seed in range(50))]


def test_every_lost_optimum_of_drawn_scenarios_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    breaks(monkeypatch, Loses)
    lost = 0
    for it in drawn():
        best = tried(it)
        if best is None:
            continue
        found = search(build(it), seconds=30.0, gap=1e-9)
        assert found.objective == pytest.approx(best, rel=1e-6, abs=1e-6), it.name
        said = {line.method: line.worth for line in found.opinions}
        lost += bool(found.doubts)
        assert found.optimal is not bool(found.doubts), (it.name, said)
    assert lost >= 25


def test_a_plan_without_a_solver_is_never_worth_more_than_the_best() -> None:
    sold = 0
    for it in drawn():
        best = tried(it)
        if best is None:
            continue
        instance = build(it)
        for name, decision in simple_plans(instance):
            try:
                worth = verify(instance, decision).money.total
            except PlanUnsound:
                assert name != "keep everything"
                continue
            assert worth <= best + 1e-6 * max(1.0, abs(best)), (it.name, name)
            sold += name.startswith("sell")
    assert sold >= 30


def test_only_plans_that_cannot_be_worth_so_much_are_left_out() -> None:
    """Asked for those that are worth a little less than it more than keeping everything, each plan is among them."""
    looked_at = left_out = 0
    for it in drawn():
        instance = build(it)
        home = verify(instance, keep_everything(instance)[1]).money.total
        for name, decision in sold_as_it_is(instance):
            try:
                more = verify(instance, decision).money.total - home
            except PlanUnsound:
                continue
            assert name in dict(sold_as_it_is(instance, more - 1e-9)), (it.name, name)
            left_out += name not in dict(sold_as_it_is(instance, 1e6))
            looked_at += 1
    assert looked_at >= 30 and left_out >= 25


# --- what people see, and what is kept -------------------------------------------------------------


def test_the_command_says_so_and_keeps_the_scenario(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    breaks(monkeypatch, Loses)
    file = Path(__file__).parents[1] / "cases" / "wrong.toml"
    where = ["plan", "--scenario", str(file), "--workspace", str(tmp_path)]
    shown = CliRunner().invoke(cli, where, catch_exceptions=False)
    assert shown.exit_code == 0
    text = " ".join(shown.stdout.split())
    assert "not proven: two methods disagree" in text and "proven best)" not in text
    assert "Nothing was sent anywhere" in text and "at most" not in text
    (kept,) = (tmp_path / "disagreements").iterdir()
    assert kept.name in "".join(shown.stdout.split())  # a long folder's name is broken over two lines
    assert read_kept(kept) == WRONG
    told = json.loads(CliRunner().invoke(cli, [*where, "--json"], catch_exceptions=False).stdout)
    assert told["status"] == "gap" and told["doubts"] == [TWO_METHODS_DISAGREE]
    assert told["objective"] == pytest.approx(43.20)
    assert told["second_opinion"]["seconds"] >= 0.0
    assert list((tmp_path / "disagreements").iterdir()) == [kept]  # the same scenario once


class Answering:
    """A worker that has searched already."""

    def __init__(self, made: Plan) -> None:
        self.made = made

    def ask(self, task: Task) -> None:
        self.task = task

    def hear(self, seconds: float) -> SearchDone:
        return SearchDone(self.made, whole=True)

    def stop(self) -> None: ...

    def end(self) -> None: ...


def test_the_page_of_the_plan_says_so_too(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PARTWAY_WORKSPACE", str(tmp_path / "here"))
    breaks(monkeypatch, Loses)
    made = plan(WRONG)
    with visitor(tmp_path) as v:
        jobs = v.app.state.partway.jobs
        monkeypatch.setattr(jobs, "_start", lambda: Answering(made))
        job = jobs.submit(WRONG)
        for _ in range(1000):
            if jobs.now(job).over:
                break
            time.sleep(0.02)
        text = v.open(f"/haul/plan/{job}")
        assert "Not proven" in text and "Proven best" not in text and "by at most" not in text
        (kept,) = (tmp_path / "here" / "disagreements").iterdir()
        assert kept.name in text
    assert read_kept(kept) == WRONG


def test_where_methods_agree_nothing_is_kept(tmp_path: Path) -> None:
    agreed = plan(WRONG)
    assert agreed.status == "optimal"
    assert with_kept(WRONG, agreed, tmp_path) is agreed
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_kept_is_said(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    breaks(monkeypatch, Loses)
    made = plan(WRONG)
    (tmp_path / "disagreements").write_text("a file where the folder should be")
    assert "could not be kept" in with_kept(WRONG, made, tmp_path).notes[-1]


def test_no_more_than_so_many_are_kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    breaks(monkeypatch, Loses)
    made = plan(WRONG)
    folder = tmp_path / "disagreements"
    for n in range(MOST_KEPT):
        keep(replace(WRONG, name=f"{n}"), made, folder)
    assert len(list(folder.iterdir())) == MOST_KEPT
    assert f"{MOST_KEPT} files already" in with_kept(WRONG, made, tmp_path).notes[-1]
    assert len(list(folder.iterdir())) == MOST_KEPT


@pytest.mark.parametrize("seed", range(30))
def test_what_is_kept_reads_back_to_the_last_bit(seed: int, tmp_path: Path) -> None:
    it = tiny.scenario(seed)
    assert read_kept(keep(it, plan(WRONG), tmp_path)) == it
