"""What the ledger learned changes plan, curb, bench, depth and queue, each through its public entry."""

from __future__ import annotations

from typing import Any

import pytest
from learned_day import MOTOR, worked
from ledger_day import Day

from partway.actions.bench import benching
from partway.actions.bench.depths import depth
from partway.actions.curb import curb
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.plans.plan import Limits, plan
from partway.ledger.fold import standing
from partway.things.scenario import Scenario


def scenario(day: Day) -> Scenario:
    return scenario_from_book(day.book, day.now.date())


def both(ask: Any) -> tuple[Any, Any]:
    """The same question to a ledger that has learned and to one that has not."""
    return ask(worked()), ask(worked(0))


def test_the_plan_counts_on_what_was_learned() -> None:
    """The load of the plan itself, checked as every plan is: what the waiting fan's motor weighs."""

    def motors(day: Day) -> float:
        report = plan(scenario(day), Limits(10.0))
        return sum(sale.mass_kg for sale in report.sales if sale.grade == "motors-al") - sum(
            kg for grade, kg in scenario(day).stock.items() if grade == "motors-al"
        )

    learned, not_yet = both(motors)
    assert learned > 1.3 * not_yet > 0.0


def test_the_curb_counts_on_what_was_learned() -> None:
    learned, not_yet = both(
        lambda day: curb.curb(scenario_from_book(day.book, day.now.date(), waiting={}), "fan", "no")
    )
    assert learned.shown.money.expected > 1.1 * not_yet.shown.money.expected
    ranked, before = both(lambda day: curb.ranking(scenario_from_book(day.book, day.now.date(), waiting={})))
    assert (
        next(line for line in ranked.lines if line.kind == "fan").money.expected
        > next(line for line in before.lines if line.kind == "fan").money.expected
    )


def test_depth_of_a_kind_counts_on_what_was_learned() -> None:
    learned, not_yet = both(lambda day: depth(scenario(day), "fan", "no"))
    assert learned.value > 1.1 * not_yet.value


def test_the_queue_and_the_bench_count_on_what_was_learned() -> None:
    def queued(day: Day) -> Any:
        prices = scenario_from_book(day.book, day.now.date(), waiting={})
        return benching.queue(day.book, prices, standing.finds(day.book), 4.0)

    learned, not_yet = both(queued)
    assert learned.lines[0].per_hour > not_yet.lines[0].per_hour

    def bench(day: Day) -> Any:
        prices = scenario_from_book(day.book, day.now.date(), waiting={})
        (now,) = standing.finds(day.book).values()
        return benching.at_bench(day.book, prices, now)

    here, before = both(bench)
    assert here.brings.expected > before.brings.expected


@pytest.mark.parametrize("times", [1, 6])
def test_the_count_stands_with_the_figure(times: int) -> None:
    one = scenario(worked(times)).anatomies["fan"].learned_of("mass", "motor")
    assert one is not None and one.count == times
    assert one.was.likely == MOTOR
