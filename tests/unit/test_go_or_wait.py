"""Go or wait: the sentence and its figures, worked out by hand on one grade and one yard (docs/model.md)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from partway.actions.plans.plan import plan
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)  # a Saturday
TRIP = 2 * 10 * 0.5 + 10.0 * (20.0 / 40.0 + 0.5)  # 20 km at 0.50, half an hour's drive and half an hour there at 10: 20


def shed(**changes: Any) -> Scenario:
    """100 kg of a metal at 1.00 a kg and 1 kg/L, in a shed of 2000 L; 70 kg come in each week; a load is 1000 kg."""
    it = Scenario(
        name="shed",
        currency="EUR",
        on=DAY,
        hours=Hours(1.0, 3.0, 10.0, 1),
        vehicle=Vehicle(1000.0, 1000.0, cost_per_km=0.5, kmh=40.0),
        buyers=(Buyer("ridge", "yard", "ridge yard", km=10.0, minutes=30.0, quotes=(quote(1.0),)),),
        finds=(),
        stock={"metal": 100.0},
        grades={"metal": Grade("metal", "Metal", "metal", Estimate.exact(1.0))},
        anatomies={},
        storage_l=2000.0,
        inflow={"metal": 70.0},
    )
    return replace(it, **changes)


def quote(price: float, minimum: float = 0.0) -> Quote:
    """A price per kg."""
    return Quote("metal", Estimate.exact(price), DAY, minimum)


def test_wait_says_until_when_and_what_for() -> None:
    # A kilogram sold gains 1 - (0.9 - 20 / 850) = 0.12353 over keeping it, so that 20 / 0.12353 = 161.9 kg pay the
    # trip; 61.9 kg more come in in 6.19 days of 10 kg: on the seventh, with 170 kg.
    it = plan(shed())
    assert not it.sales
    assert it.go_because is not None
    because = it.go_because
    assert (because.go, because.code, because.buyer, because.by) == (False, "pays-by", "ridge", "2026-03-21")
    assert because.worth == pytest.approx(100.0 - TRIP)
    assert because.later == pytest.approx(170.0 - TRIP)
    assert because.room_weeks == pytest.approx((2000.0 - 100.0) / 70.0)
    assert it.go_or_wait == (
        "Wait: a load for ridge yard is worth EUR 80.00 now, EUR 150.00 by Saturday 21 March, when it pays its trip; "
        "the shed has room for 27 weeks."
    )
    assert [line.reason for line in it.kept] == [
        "comes with the next load: alone it is not worth the trip to ridge yard"
    ]


def test_on_the_day_it_said_the_plan_goes_and_on_the_day_before_it_does_not() -> None:
    assert plan(shed(stock={"metal": 170.0})).sales
    assert not plan(shed(stock={"metal": 160.0})).sales


def test_go_says_what_the_load_brings_and_what_a_week_would_add() -> None:
    it = plan(shed(stock={"metal": 200.0}))
    assert it.go_because is not None
    assert (it.go_because.go, it.go_because.code) == (True, "pays")
    assert it.go_because.later == pytest.approx(200.0 - TRIP + 70.0)
    assert it.go_or_wait == (
        "Go: the load brings EUR 180.00 after its drive, EUR 250.00 in a week; the shed has room for 28 weeks."
    )


def test_go_because_the_vehicle_is_full_and_because_the_shed_is() -> None:
    full = plan(shed(stock={"metal": 900.0}))
    assert full.go_or_wait.startswith("Go: the vehicle is full, and the load brings EUR 880.00 after its drive")
    # 140 of 200 L: 0.7 in use, so a kilogram costs 20 x 6 x 0.2 / 1000 = 0.024 more to keep, and 0.1475 x 140 > 20.
    filling = plan(shed(stock={"metal": 140.0}, storage_l=200.0))
    assert filling.go_or_wait.startswith("Go: the shed is filling up, and the load brings EUR 120.00 after its drive")
    assert not plan(shed(stock={"metal": 140.0})).sales, "with room enough it waits"


def test_what_decides_by_the_room_is_noted() -> None:
    it = shed(stock={"metal": 140.0}, storage_l=200.0)
    full, no_volume = (plan(one).notes for one in (it, replace(it, vehicle=Vehicle(1000.0, cost_per_km=0.5, kmh=40.0))))
    assert "The shed is 70% full: what takes room in it is hauled sooner." in full
    assert "The vehicle is taken to hold 4000 L for the price of room, at 0.25 kg/L." in no_volume
    assert not any("shed" in note or "taken to hold" in note for note in (*plan(shed()).notes, *full[1:]))


def test_a_load_that_is_charged_for_says_what_it_costs() -> None:
    charged = Buyer("hill", "tip", "hill tip", km=10.0, minutes=30.0, quotes=(quote(-0.1),))
    it = plan(shed(buyers=(charged,), stock={"metal": 1000.0}))
    assert it.go_or_wait.startswith("Go: the vehicle is full, and the load costs EUR 120.00, drive included")


def test_without_inflow_there_is_no_day_and_it_says_so() -> None:
    it = plan(shed(inflow={}, storage_l=None))
    assert it.go_or_wait == (
        "Wait: a load for ridge yard is worth EUR 80.00 now, less than it counts kept; what comes in is not known."
    )


def test_what_comes_in_is_shared_out_where_it_is_known_in_all_alone() -> None:
    said = plan(shed(inflow={}, inflow_kg_week=70.0))
    assert said.go_because == plan(shed()).go_because


def test_a_small_lot_says_when_it_will_be_reached() -> None:
    # 150 - 100 = 50 kg more, at 10 kg a day: five days.
    buyer = replace(shed().buyers[0], quotes=(quote(1.0, minimum=150.0),))
    (line,) = plan(shed(buyers=(buyer,))).kept
    assert line.reason == "ridge yard takes lots from 150 kg, reached by Thursday 19 March at 70 kg a week"
    assert line.because.by == "2026-03-19"


def test_nobody_to_drive_to_is_no_question() -> None:
    post = replace(shed().buyers[0], kind="mail-in", km=None)
    assert plan(shed(buyers=(post,))).go_because is None
    assert plan(shed(hours=Hours(1.0, 0.5, 10.0, 1))).go_because is None, "no time for any trip"
