"""What the ledger learned changes plan, curb, bench, depth and queue, each through its public entry."""

from __future__ import annotations

from typing import Any

import pytest
from ledger_day import Day

from partway.actions.bench import benching, finds
from partway.actions.bench.depths import depth
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers import buyers
from partway.actions.buyers.quoting import quote
from partway.actions.curb import curb
from partway.actions.haul.scenario import scenario_from_book
from partway.catalogue import shipped
from partway.ledger.fold import standing
from partway.things.scenario import Scenario

MOTOR = shipped().anatomy("fan").piece("motor").mass.likely


def worked(times: int = 6, heavier: float = 1.6) -> Day:
    """Fans were opened whose motors are heavier than estimated, in half the time, and one more waits."""
    day = Day(unit="kg")
    day.do(buyers.buyer, "harbour-yard", buyers.Terms(kind="yard", km="5", minutes="10"))
    for grade, price in (("motors-al", "0.60 /kg"), ("light-iron", "0.20 /kg"), ("wire-cord-plugs", "1.50 /kg")):
        day.do(quote, "harbour-yard", grade, price)
    for _ in range(times):
        named = day.do(finds.find, "fan", works="no").result.find
        pieces = [PieceGiven("motor", f"{MOTOR * heavier:.3f} kg", grade="motors-al"), PieceGiven("cord", "0.2 kg")]
        day.do(open_up, named, pieces, ["motor-out"], minutes="2")
    day.do(finds.find, "fan", works="no")
    return day


def scenario(day: Day) -> Scenario:
    return scenario_from_book(day.book, day.now.date())


def both(ask: Any) -> tuple[Any, Any]:
    """The same question to a ledger that has learned and to one that has not."""
    return ask(worked()), ask(worked(0))


def test_the_plan_counts_on_what_was_learned() -> None:
    from partway.planning.instance.build import build

    def motor(day: Day) -> float:
        return next(node.kg for node in build(scenario(day)).nodes if node.piece.id == "motor")

    learned, not_yet = both(motor)
    assert learned > 1.3 * not_yet


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
