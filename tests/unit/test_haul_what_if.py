"""Sliders: what each may be moved to, and the scenario that comes of it."""

from __future__ import annotations

from dataclasses import replace

import planned
import pytest

from partway.actions.plans.plan import plan
from partway.actions.plans.what_if import SliderTexts, what_if
from partway.errors import Refused
from partway.reports.haul.plan import Plan
from partway.things.scenario import Scenario

RICH = planned.rich_scenario()


@pytest.fixture(scope="module")
def best() -> Plan:
    return plan(RICH)


def prices(scenario: Scenario, buyer: str, grade: str) -> list[float]:
    return [q.price.mean for b in scenario.buyers if b.id == buyer for q in b.quotes if q.grade == grade]


def test_sliders_that_were_not_moved_ask_for_the_same_plan(best: Plan) -> None:
    asked = what_if(RICH, best, SliderTexts())
    assert asked.scenario == RICH and not asked.changed
    again = what_if(RICH, best, SliderTexts("1", "4", "6", "yard/copper-light", "yard/copper-light", "5"))
    assert again.scenario == RICH and not again.changed


def test_moved_sliders_change_hours_wage_and_one_price(best: Plan) -> None:
    asked = what_if(RICH, best, SliderTexts("2.5", "3", "9", "refiner/aluminium", "refiner/aluminium", "2.4"))
    assert asked.changed
    assert asked.scenario.hours == replace(RICH.hours, bench=2.5, away=3.0, wage=9.0)
    assert prices(asked.scenario, "refiner", "aluminium") == pytest.approx([2.4])
    assert prices(asked.scenario, "yard", "iron") == prices(RICH, "yard", "iron")


def test_other_lot_sizes_move_along(best: Plan) -> None:
    asked = what_if(RICH, best, SliderTexts(lot="yard/copper-light", was="yard/copper-light", price="4"))
    assert prices(asked.scenario, "yard", "copper-light") == pytest.approx([4.0, 5.0])


def test_prices_are_moved_in_the_unit_they_are_shown_in(best: Plan) -> None:
    asked = what_if(
        replace(RICH, unit="lb"), best, SliderTexts(lot="refiner/aluminium", was="refiner/aluminium", price="2")
    )
    assert asked.price is not None
    assert asked.price.today == pytest.approx(3.0 * 0.45359237, abs=1e-4)  # the pound, exactly (1959)
    assert prices(asked.scenario, "refiner", "aluminium") == pytest.approx([2.0 / 0.45359237])


def test_the_price_of_another_lot_is_not_taken_along(best: Plan) -> None:
    asked = what_if(RICH, best, SliderTexts(lot="refiner/aluminium", was="yard/copper-light", price="5"))
    assert asked.lot == ("refiner", "aluminium") and asked.scenario == RICH


def test_what_is_sold_comes_first_and_what_is_refused_is_not_offered(best: Plan) -> None:
    asked = what_if(RICH, best, SliderTexts())
    assert asked.lot == asked.lots[0] == ("yard", "copper-light")
    assert ("depot", "pack") in asked.lots
    refusing = planned.with_buyer(RICH, planned.DEPOT, refuses=("li-ion",))
    assert ("depot", "pack") not in what_if(refusing, replace(best, sales=()), SliderTexts()).lots


@pytest.mark.parametrize("today", [0.04, 0.11, 1.0, 4.137, 5.75, 9.999, 250.0, -0.3, 0.0])
def test_a_price_slider_reaches_today_and_twice_it_on_its_steps(today: float, best: Plan) -> None:
    buyer = RICH.buyers[planned.REFINER]
    quotes = tuple(replace(q, price=planned.exact(today)) for q in buyer.quotes)
    it = what_if(
        planned.with_buyer(RICH, planned.REFINER, quotes=quotes), best, SliderTexts(lot="refiner/aluminium")
    ).price
    assert it is not None
    assert it.least <= it.today <= it.most
    assert it.most - it.least >= 2 * abs(today) - 1e-9
    assert 30 <= (it.most - it.least) / it.step <= 160
    landed = it.least + it.step * round((it.today - it.least) / it.step)  # where a browser puts it
    moved = what_if(
        planned.with_buyer(RICH, planned.REFINER, quotes=quotes),
        best,
        SliderTexts(lot="refiner/aluminium", was="refiner/aluminium", price=f"{landed:.6f}"),
    )
    assert not moved.changed


@pytest.mark.parametrize(
    "given",
    [
        SliderTexts(bench="-1"),
        SliderTexts(bench="ten"),
        SliderTexts(bench="nan"),
        SliderTexts(away="1e99"),
        SliderTexts(lot="nobody/iron"),
        SliderTexts(lot="yard"),
        SliderTexts(price="inf", was=""),
        SliderTexts(price="<b>"),
    ],
    ids=str,
)
def test_what_is_no_number_on_a_slider_is_refused(given: SliderTexts, best: Plan) -> None:
    with pytest.raises(Refused):
        what_if(RICH, best, given)
