"""The shed and what comes in, from settings and the ledger to the scenario, its file and the pages."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from ledger_day import KG, Day, stocked, trading_day
from test_actions_planning import ON, busy_day

from partway.actions.bench import finds
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.curb.curb import curb
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.home.settings import set_
from partway.planning.instance.room import litres_in_use, room_of, share_in_use, with_room
from partway.storage.scenario.scenario import read_scenario_text
from partway.storage.scenario.write import scenario_text
from partway.valuing.room.inflow import measured_inflow


def opened(day: Day, kg: float) -> None:
    """A find of which so many kilograms end in the bin of light iron."""
    find = day.do(finds.find, "toaster", mass=round(kg * KG), works="no", sure=True).result.find
    day.do(open_up, find, [PieceGiven("whole", round(kg * KG), grade="light-iron")], sure=True)


def test_settings_say_what_the_shed_holds_and_go_back_to_the_price_of_room() -> None:
    day = busy_day()
    assert "storage not set, the shed is counted as less than half full." in scenario_from_book(day.book, ON).notes
    day.do(set_, "storage", "5 m3")
    day.do(set_, "inflow", "132 lb")
    scenario = scenario_from_book(day.book, ON)
    assert scenario.storage_l == 5000.0
    assert scenario.inflow_kg_week == pytest.approx(132 * 0.45359237)
    assert scenario.keep_factor is None
    assert not any("storage" in note for note in scenario.notes)
    day.do(set_, "keep-factor", "0.8")
    assert scenario_from_book(day.book, ON).keep_factor == 0.8
    day.do(set_, "keep-factor", "Room")
    assert scenario_from_book(day.book, ON).keep_factor is None
    day.refuses(set_, "storage", "0 L")
    day.refuses(set_, "inflow", "much")
    day.refuses(set_, "keep-factor", "1.5")


def test_a_file_of_it_says_the_same() -> None:
    day = busy_day()
    day.do(set_, "storage", "77 cu ft")
    day.do(set_, "inflow", "41.3 lb")
    scenario = replace(scenario_from_book(day.book, ON), inflow={"copper-2": 1.7}, notes=())
    back = read_scenario_text(scenario_text(scenario), "back.toml")
    assert (back.storage_l, back.inflow_kg_week, back.inflow) == (
        scenario.storage_l,
        scenario.inflow_kg_week,
        scenario.inflow,
    )


def test_inflow_is_what_came_out_of_finds_in_the_last_eight_weeks() -> None:
    day = trading_day(unit="lb")
    stocked(day, light_iron=50.0)  # found by a recount: nobody brought it in this week
    opened(day, 40.0)  # too long ago to count, in ten weeks
    day.now += dt.timedelta(weeks=6)
    opened(day, 24.0)
    day.now += dt.timedelta(weeks=4)
    day.do(bins.recount, "light-iron", 500 * KG)
    on = day.now.date()
    assert measured_inflow(day.book, on) == pytest.approx({"light-iron": 24.0 / 8})
    assert scenario_from_book(day.book, on).inflow == measured_inflow(day.book, on)


def test_a_ledger_of_a_few_weeks_counts_those_and_one_of_days_says_nothing() -> None:
    day = trading_day(unit="lb")
    opened(day, 30.0)
    assert measured_inflow(day.book, day.now.date()) == {}
    day.now += dt.timedelta(weeks=3)
    began = next(iter(day.book.recorded())).happened
    weeks = (dt.datetime.combine(day.now.date(), dt.time.max, dt.UTC) - began) / dt.timedelta(weeks=1)
    assert measured_inflow(day.book, day.now.date()) == pytest.approx({"light-iron": 30.0 / weeks})


def test_bins_and_waiting_finds_take_room() -> None:
    scenario = replace(scenario_from_book(busy_day().book, ON), storage_l=1000.0)
    grades, kinds = scenario.grades, scenario.anatomies
    litres = 20.5 / grades["copper-2"].density.mean + 81.123 / grades["light-iron"].density.mean
    assert litres_in_use(replace(scenario, finds=())) == pytest.approx(litres)
    pc = kinds["desktop-pc"].whole
    waiting = 3 * pc.mass.mean / grades[pc.sells[0].grade].density.mean
    some = replace(scenario, finds=tuple(f for f in scenario.finds if f.kind == "desktop-pc"))
    assert share_in_use(some) == pytest.approx((litres + waiting) / 1000.0)


def test_room_comes_off_at_the_curb_and_more_of_it_in_a_full_shed() -> None:
    scenario = scenario_from_book(busy_day().book, ON)
    free, roomy = (curb(replace(scenario, keep_factor=f), "microwave", "no") for f in (0.8, None))
    full = curb(replace(scenario, storage_l=litres_in_use(scenario)), "microwave", "no")
    assert free.room == 0.0 < roomy.room < full.room
    for it in (roomy, full):
        assert it.shown is not None and free.shown is not None
        # a little besides, as what does not sell by the unit is kept at another value
        assert free.shown.net - it.shown.net == pytest.approx(it.room, abs=0.02)


def test_room_once_worked_out_stays_while_less_than_half_of_the_shed_is_full() -> None:
    scenario = replace(scenario_from_book(busy_day().book, ON), storage_l=1e5)
    more = replace(scenario, stock={"light-iron": 500.0})
    assert room_of(scenario) == room_of(more) != room_of(replace(scenario, storage_l=100.0))
    bare = replace(with_room(scenario), vehicle=None, stock={}, finds=())
    assert with_room(bare).room == room_of(scenario)
