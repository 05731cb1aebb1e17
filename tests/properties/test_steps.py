"""Operations that come one after another are worth what going through every order of the work finds (stepwise.py)."""

from __future__ import annotations

import tomllib
from collections import Counter
from itertools import combinations_with_replacement

import pytest
from planned import best, slack, worth
from stepwise import Orders, Table, needs, read, scenario, table

from partway.catalogue.writing import anatomy_text
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance

GRAPHS, PLANS = 300, 60
WAGES = (0.0, 12.0, 40.0)


@pytest.mark.parametrize("first", range(0, GRAPHS, 100))
def test_a_find_is_worth_the_best_order_and_the_best_place_to_stop(first: int) -> None:
    for seed in range(first, first + 100):
        drawn, wage = table(seed), WAGES[seed % 3]
        instance = build(scenario(drawn, wage))
        value = float(Programme(instance).values(DepthTerms.expected(instance)).worth[0, 0])
        tried = max(money - hours * wage for money, hours in Orders(drawn).endings("whole"))
        assert value == pytest.approx(tried, abs=1e-9 * max(1.0, abs(tried))), seed


@pytest.mark.parametrize("count", [1, 2])
def test_a_plan_within_hours_is_worth_the_best_orders_that_fit(count: int) -> None:
    short = 0
    for seed in range(PLANS):
        drawn, wage = table(seed), WAGES[seed % 3]
        ends = Orders(drawn).endings("whole")
        bench = count * max(hours for _, hours in ends) * (seed % 5 + 1) / 6
        several = list(combinations_with_replacement(ends, count))
        together = [(sum(money for money, _ in them), sum(hours for _, hours in them)) for them in several]
        tried = max(money - hours * wage for money, hours in together if hours <= bench + 1e-9)
        instance, found = best(scenario(drawn, wage, bench, count))
        assert worth(instance, found) == pytest.approx(tried, abs=slack(tried)), seed
        short += tried < max(money - hours * wage for money, hours in together) - 1e-6
    assert short >= PLANS // 5, "the hours bind in too few of them"


def test_a_drawn_anatomy_is_written_as_the_pieces_that_steps_leave_and_read_again() -> None:
    for seed in range(GRAPHS):
        first = read(table(seed))
        (again,) = tomllib.loads(anatomy_text(first))["anatomy"]
        assert not any("after" in op for op in again["operation"])
        assert read(again) == first, seed


def test_the_drawn_ones_are_not_all_alike() -> None:
    counts: Counter[str] = Counter()
    for seed in range(GRAPHS):
        drawn = table(seed)
        counts.update(_features(drawn))
    names = (
        "a step after a step",
        "required steps",
        "required at the end",
        "steps inside",
        "stopped between",
        "opened",
    )
    assert {name: counts[name] for name in names if counts[name] < 20} == {}


def _features(drawn: Table) -> list[str]:
    work = drawn["operation"]
    steps = {step for op in work for step in op.get("after", [])}
    it = scenario(drawn, 12.0)
    instance = build(it)
    programme = Programme(instance)
    values = programme.values(DepthTerms.expected(instance))
    node, done = 0, 0
    option = values.best(node)
    while option.sort == "open" and (left := _left(instance.openings[option.number].gives, instance)) is not None:
        node, done = left, done + 1
        option = values.best(node)
    return [
        *["a step after a step"] * any(op["id"] in steps and needs(op, work) for op in work),
        *["required steps"] * any(op["id"] in steps and op["required"] for op in work),
        *["required at the end"] * any(op["id"] not in steps and op["required"] for op in work),
        *["steps inside"] * (len({op["on"] for op in work}) > 1),
        *["stopped between"] * (done > 0 and option.sort != "open"),
        *["opened"] * (done > 0 and option.sort == "open"),
    ]


def _left(gives: tuple[tuple[int, int], ...], instance: Instance) -> int | None:
    """What a step leaves of the whole find."""
    nodes = instance.nodes
    return next((child for child, _ in gives if nodes[child].piece.id.startswith("whole.after-")), None)
