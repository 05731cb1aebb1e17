"""When what was learned is used. No outside source is needed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import fields, replace
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from planned import DAY, exact, rich_scenario

from partway.actions.plans.plan import Limits, plan
from partway.planning.instance.build import build
from partway.planning.learned.memory import MOST_SCENARIOS, LearnedSearch, Memory
from partway.planning.learned.names import same_as
from partway.planning.learned.prices import differ_in_prices
from partway.planning.search.search import search
from partway.planning.search.tour_search import TourSearch
from partway.things.limits.room import Room
from partway.things.scenario import Buyer, Hours, InConflict, Postage, Quote, Road, Scenario, TripEnd

IT = rich_scenario()
BUYER = IT.buyers[0]
QUOTE = BUYER.quotes[0]


def of_buyer(**changed: Any) -> Scenario:
    return replace(IT, buyers=(replace(BUYER, **changed), *IT.buyers[1:]))


def of_quote(**changed: Any) -> Scenario:
    return of_buyer(quotes=(replace(QUOTE, **changed), *BUYER.quotes[1:]))


GRADE = next(iter(IT.grades))
KIND = next(iter(IT.anatomies))
ANOTHER: Mapping[str, Any] = {
    "name": "another",
    "currency": "XXX",
    "on": DAY.replace(year=DAY.year + 1),
    "vehicle": None,
    "buyers": IT.buyers[1:],
    "finds": IT.finds[1:],
    "stock": {**IT.stock, GRADE: 77.0},
    "grades": {**IT.grades, GRADE: replace(IT.grades[GRADE], density=exact(9.0))},
    "anatomies": {**IT.anatomies, KIND: replace(IT.anatomies[KIND], name="another")},
    "cautions": {"another": None},
    "roads": (Road("home", "there", 3.0),),
    "home": (1.0, 2.0),
    "end": TripEnd("there"),
    "keep_factor": 0.5,
    "storage_l": 12.0,
    "inflow_kg_week": 3.0,
    "inflow": {GRADE: 3.0},
    "room": Room((), 1.0, None, 0.0),
    "unit": "lb",
    "distance": "mi",
    "conflict": (InConflict("f1", "fan", ("twice",)),),
    "listed": {("fan", "whole", "fan"): 1},
    "copper": 3.0,
}
ANOTHER_HOURS: Mapping[str, Any] = {"bench": 0.25, "away": 0.25, "trips": 7, "trip": 1.5, "helpers": 2, "leave": 8.0}
ANOTHER_BUYER: Mapping[str, Any] = {
    "id": "another",
    "kind": "drop-off",
    "name": "another",
    "km": 77.0,
    "at": (3.0, 4.0),
    "minutes": 77.0,
    "refuses": ("another",),
    "shipping": (Postage(7.0, 7.0),),
    "open": ("mon-fri 08:00-16:30",),
    "ticket_fee": 3.0,
    "ticket_share": 0.5,
}
ANOTHER_QUOTE: Mapping[str, Any] = {
    "minimum_kg": 77.0,
    "from_kg": 78.0,
    "most_kg": 79.0,
    "piece_kg": 7.0,
    "each": True,
    "most_pieces": 5,
}
PRICES = {"price": exact(77.0), "on": DAY.replace(year=DAY.year - 1), "ends": (1.0, 99.0)}


def test_every_field_is_changed_in_turn() -> None:
    """A field added later has to be said here to be another scenario, or in `prices` to be a price."""
    assert {f.name for f in fields(Scenario)} == {*ANOTHER, "hours", "notes", "known"}
    assert {f.name for f in fields(Hours)} == {*ANOTHER_HOURS, "wage"}
    assert {f.name for f in fields(Buyer)} == {*ANOTHER_BUYER, "quotes"}
    assert {f.name for f in fields(Quote)} == {*ANOTHER_QUOTE, *PRICES, "grade"}


OTHERS = {
    **{name: replace(IT, **{name: value}) for name, value in ANOTHER.items()},
    **{f"hours.{name}": replace(IT, hours=replace(IT.hours, **{name: v})) for name, v in ANOTHER_HOURS.items()},
    **{f"buyer.{name}": of_buyer(**{name: value}) for name, value in ANOTHER_BUYER.items()},
    **{f"quote.{name}": of_quote(**{name: value}) for name, value in ANOTHER_QUOTE.items()},
}


@pytest.mark.parametrize("field", OTHERS)
def test_of_another_scenario_nothing_is_taken(field: str) -> None:
    other = OTHERS[field]
    assert other != IT
    assert not differ_in_prices(IT, other) and not differ_in_prices(other, IT)


def test_prices_and_the_wage_may_differ() -> None:
    others = tuple(quote for quote in BUYER.quotes if quote.grade != QUOTE.grade)
    for name, value in PRICES.items():
        assert differ_in_prices(IT, of_quote(**{name: value}))
    assert differ_in_prices(IT, replace(IT, hours=replace(IT.hours, wage=99.0), notes=("another",)))
    assert differ_in_prices(IT, of_buyer(quotes=others)), "a grade not quoted any more"


def test_a_memory_gives_what_was_learned_last_of_the_same_scenario_alone() -> None:
    memory, first = Memory(), search(build(IT)).learned
    assert first is not None and memory.of(IT) is None
    memory.keep(first)
    dearer = of_quote(price=exact(77.0))
    assert memory.of(dearer) is first and memory.of(replace(IT, unit="lb")) is None
    second = search(build(dearer), known=first).learned
    memory.keep(second)
    assert memory.of(IT) is second


def test_a_plan_again_at_another_price_begins_with_the_last_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """The answer is the same, and at each of its three searches there is a plan before any tours are looked for."""
    memory, dearer = Memory(), of_quote(price=QUOTE.price.scaled(1.01))
    limits = Limits(seconds=30.0)
    begun, known = list[float](), list[TourSearch]()
    step = TourSearch.step

    def noted(self: TourSearch, objective: float, seconds: float) -> Any:
        if all(self is not it for it in known):
            known.append(self)
            begun.append(objective)
        return step(self, objective, seconds)

    monkeypatch.setattr(TourSearch, "step", noted)
    plan(IT, limits, memory=memory)
    fresh = plan(dearer, limits)
    assert begun == [-math.inf] * len(begun)
    begun.clear()
    again = plan(dearer, limits, memory=memory)
    assert again.objective == pytest.approx(fresh.objective)
    assert (again.status, again.next_hour) == (fresh.status, fresh.next_hour)
    assert len(begun) == 3 and min(begun) > -math.inf


def test_names_are_found_again_the_second_of_a_name_as_the_second() -> None:
    assert list(same_as(["a", "b", "a"], ["x", "a", "a"])) == [1, None, 2]


def learned(scenario: str, plan: list[float] | None = None, names: str = "") -> LearnedSearch:
    """What was learned of a scenario that fits what begins with the same letter."""

    class One(LearnedSearch):
        def fits(self, scenario: Any) -> bool:
            return bool(self.scenario[0] == scenario[0])  # type: ignore[index]

    return One(scenario, list(names), np.array(plan or []))  # type: ignore[arg-type]


def test_a_memory_keeps_so_many_scenarios_and_of_each_the_last() -> None:
    memory, asked = Memory(), cast("Any", "abcdefg")
    for n, letter in enumerate(asked):
        memory.keep(learned(f"{letter}{n}"))
        memory.keep(learned(f"{letter}{n}, once more"))
    memory.keep(None)
    kept: list[Any] = [memory.of(letter) for letter in asked]
    assert kept[0] is None and len(asked) == MOST_SCENARIOS + 1
    assert [it.scenario for it in kept[1:]] == [f"{letter}{n}, once more" for n, letter in enumerate(asked)][1:]


def test_a_plan_is_taken_over_within_the_bounds_and_whole_where_columns_are() -> None:
    """Of a 5, of which 2.7 fit, so 2; b 0.2, at least 0.5; c 0, at least 0.5 and whole, so 1; d is new; e gone."""
    linear = SimpleNamespace(
        names=list("cabd"), integer=[True, True, False, False], lower=[0.5, 0.0, 0.5, 0.25], upper=[9.0, 2.7, 9.0, 9.0]
    )
    model: Any = SimpleNamespace(linear=linear)
    assert learned("a", [5.0, 0.2, 0.0, 7.0], "abce").plan_in(model).tolist() == [1.0, 2.0, 0.5, 0.25]
