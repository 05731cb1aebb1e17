"""Plan a scenario: build, solve, check, report."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from partway.actions.plans.why import explain
from partway.planning.check.verify import Checked, recount, verify
from partway.planning.instance.build import in_other_hours
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import Memory
from partway.planning.search.search import OnFound, OnProgress, SearchFound, search
from partway.reports.haul.plan import Plan
from partway.reports.haul.planned import report_plan
from partway.things.scenario import Hours, Scenario
from partway.valuing.plans.again import planned_again
from partway.valuing.plans.decided import DecidedPlan
from partway.valuing.plans.decision import Worth
from partway.valuing.plans.find_out import find_out

LEAST_SECONDS = 0.2
NO_NEXT_HOUR = "What one more hour would bring was not solved for: there was no time left."
NO_HOUR_WITHOUT_PROOF = "What one more hour would bring was not solved for: this plan is not proven best."
AGAIN_TIMES = 5.0  # making the plan again in other worlds may take as many
WHY_TIMES = 3.0  # defending every line may take this many times as long as finding the plan


@dataclass(frozen=True, slots=True)
class Limits:
    """How long to search and when to be content; `gap` is relative to the objective."""

    seconds: float = 10.0
    gap: float = 1e-6


OnStep = Callable[[str, int, int], None]  # what, step, of how many


def plan(
    scenario: Scenario,
    limits: Limits | None = None,
    why: bool = False,
    on_progress: OnProgress | None = None,
    on_step: OnStep | None = None,
    on_found: Callable[[Instance, SearchFound], None] | None = None,
    memory: Memory | None = None,
) -> Plan:
    """The best checked plan of a scenario within the limits.

    The next hours are solved again with the time that is left; `why` re-solves once more for every line, and in fifty
    other worlds. What
    `on_found` hears of can be shown at any time by `best_so_far`. What was planned before at other prices and is still
    in the `memory` makes it quicker, and no other plan: what is proven is proven anew.
    Raises PlanUnsound rather than return a plan that fails its own check.
    """
    limits, memory = limits or Limits(), memory or Memory()
    began = time.monotonic()
    instance = memory.instance(scenario)
    heard: OnFound | None = None if on_found is None else partial(on_found, instance)
    found = search(instance, limits.seconds, limits.gap, on_progress, heard, known=memory.of(scenario))
    memory.keep(found.learned)
    checked = verify(instance, found.decision)
    left = limits.seconds - (time.monotonic() - began)
    bench, away = _next_hours(instance, found, checked, replace(limits, seconds=left), memory)
    notes = _notes(found, limits, bench is None)
    opinions = found.doubts, found.opinions, found.opinion_seconds
    report = report_plan(DecidedPlan(instance, checked, found.bound, bench, away, notes, *opinions))
    return _defended(instance, checked, report, limits, on_step) if why else report


def _defended(instance: Instance, checked: Checked, report: Plan, limits: Limits, on_step: OnStep | None) -> Plan:
    """Every line defended, and the whole plan made again in other worlds."""
    told = None if on_step is None else partial(on_step, "other prices and masses")
    again, heard = planned_again(instance, checked, AGAIN_TIMES * limits.seconds, told)
    found = find_out(Worth(instance, checked.decision), heard)
    report = replace(report, again=again, find_out=found)
    return explain(instance, checked, report, WHY_TIMES * limits.seconds, on_step)


def best_so_far(instance: Instance, found: SearchFound, seconds: float) -> Plan:
    """The plan of a search that was left after `seconds`, checked as any other. Raises PlanUnsound."""
    checked = verify(instance, found.decision)
    stopped = f"Stopped after {seconds:.1f} s; {_may_be_better(found)}."
    notes = (*((stopped,) if _cut_short(found) else ()), NO_NEXT_HOUR)
    opinions = found.doubts, found.opinions, found.opinion_seconds
    return report_plan(DecidedPlan(instance, checked, found.bound, None, None, notes, *opinions))


def _cut_short(found: SearchFound) -> bool:
    """Whether the clock ended the search, as against a doubt that more time would not settle."""
    return not found.optimal and set(found.doubts) <= {"no-time-to-drive"}


def _may_be_better(found: SearchFound) -> str:
    """The first plan of a long search has no bound yet."""
    how = "by no more than the gap" if math.isfinite(found.bound) else "and how much better is not known yet"
    return f"a better plan may exist, {how}"


def _next_hours(
    instance: Instance, found: SearchFound, checked: Checked, limits: Limits, memory: Memory
) -> tuple[float | None, float | None]:
    """What one hour more adds, at the bench and away; None where the time or the proof does not suffice."""
    hours = instance.scenario.hours
    more = (replace(hours, bench=hours.bench + 1.0), replace(hours, away=hours.away + 1.0))
    gains: list[float | None] = []
    for changed in more:
        began = time.monotonic()
        gains.append(_gain(instance, changed, found, checked, limits, memory))
        limits = replace(limits, seconds=limits.seconds - (time.monotonic() - began))
    return gains[0], gains[1]


def _gain(
    instance: Instance, hours: Hours, found: SearchFound, checked: Checked, limits: Limits, memory: Memory
) -> float | None:
    if not found.optimal or limits.seconds < LEAST_SECONDS:
        return None
    other = in_other_hours(instance, hours)
    again = search(other, limits.seconds, limits.gap, known=memory.of(other.scenario))
    memory.keep(again.learned)
    if not again.optimal:
        return None
    return max(0.0, recount(other, again.decision).money.total - checked.money.total)


def _notes(found: SearchFound, limits: Limits, no_next_hour: bool) -> tuple[str, ...]:
    notes = []
    if _cut_short(found):
        notes.append(f"Stopped at the time limit of {limits.seconds:g} s; {_may_be_better(found)}.")
    if no_next_hour:
        notes.append(NO_HOUR_WITHOUT_PROOF if found.doubts else NO_NEXT_HOUR)
    return tuple(notes)
