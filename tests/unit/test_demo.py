"""The demo shows what it promises: whole, deep and half-way, a part, a battery going elsewhere, stock kept."""

from __future__ import annotations

from dataclasses import replace
from importlib import resources

import pytest

from partway.actions.plans.plan import plan
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import FindLine
from partway.storage.scenario.scenario import read_scenario
from partway.things.scenario import Scenario


def demo(name: str) -> Scenario:
    with resources.as_file(resources.files("partway.catalogue") / "demo" / f"{name}.toml") as file:
        return read_scenario(file)


@pytest.fixture(scope="module")
def week() -> Plan:
    return plan(demo("harbour-week"))


def find(week: Plan, kind: str, works: str = "no") -> FindLine:
    return next(line for line in week.finds if (line.kind, line.works) == (kind, works))


def test_size() -> None:
    scenario = demo("harbour-week")
    assert sum(line.count for line in scenario.finds) == 26
    assert len({line.kind for line in scenario.finds}) == 12
    assert scenario.unit == "lb"
    assert demo("quay-day").unit == "kg"


def test_a_find_left_whole_one_opened_deep_and_one_in_part(week: Plan) -> None:
    assert find(week, "fridge").open == ()
    assert len(find(week, "microwave").open) == 5  # four operations, and the winding scratched before the last
    laptop = find(week, "laptop")
    assert len(laptop.open) == 1
    assert any(end.piece == "body" for end in laptop.ends)


def test_a_part_sold_a_battery_going_elsewhere_and_stock_kept(week: Plan) -> None:
    assert any(line.name == "working machine" for line in week.parts)
    taken_by = {line.grade: line.buyer for line in week.sales}
    assert taken_by["li-ion"] == "town-depot"
    assert taken_by["copper-2"] == "ridge-yard"
    assert any(line.grade == "magnesium" and line.reason == "nobody here quotes it" for line in week.kept)


def test_a_haul_of_several_stops_and_a_parcel(week: Plan) -> None:
    assert len(week.routes[0]) >= 2
    assert week.parcels


def test_it_is_proven_and_says_what_an_hour_more_brings(week: Plan) -> None:
    """The week's five hours are more than the work that is worth its wage; three are not."""
    scenario = demo("harbour-week")
    short = plan(replace(scenario, hours=replace(scenario.hours, bench=3.0)))
    assert week.status == short.status == "optimal"
    assert week.next_hour == 0.0
    assert week.hours.bench < 5.0 - 0.5
    assert short.next_hour is not None and short.next_hour > 0.0
    assert week.cash.low < week.cash.expected < week.cash.high
