"""What a haul took along stays what it took along, and no other haul counts on the same bin."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from ledger_day import KG, Day, found, stocked, trading_day

from partway.actions.bins import bins
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.promised import scenario_to_plan
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.start_haul import accept
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.plans.plan import plan
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.reports.haul.expected_ticket import ExpectedLine, haul_sheet
from partway.valuing.trips.taken import free_stock

GRADES = shipped().grades


def town() -> Day:
    """Copper and iron to sell at the harbour, where both are quoted."""
    day = trading_day()
    stocked(day, copper_2=10, light_iron=100)
    day.do(quote, "harbour", "copper-2", "9.00 /kg")
    day.do(quote, "harbour", "light-iron", "0.20 /kg")
    return day


def lines(day: Day, haul: str, stop: int = 0) -> dict[str, ExpectedLine]:
    sheet = haul_sheet(day.book, haul, GRADES, day.now)
    assert sheet is not None
    return {line.grade: line for line in sheet.stops[stop].lines}


def test_a_haul_shows_what_it_took_along_after_the_bins_changed() -> None:
    day = town()
    day.do(hauls.start, ["harbour"])
    day.now += dt.timedelta(hours=1)
    day.do(bins.recount, "copper-2", 25 * KG)  # brought home meanwhile
    day.do(bins.recount, "light-iron", 3 * KG)
    took = lines(day, "haul-1")
    assert {grade: line.took_mg for grade, line in took.items()} == {"copper-2": 10 * KG, "light-iron": 100 * KG}
    assert took["copper-2"].amount == Decimal("90.00") and took["copper-2"].in_bin_mg == 25 * KG


def test_a_haul_that_is_over_lists_nothing_of_todays_bins() -> None:
    day = town()
    day.do(hauls.start, ["harbour", "ridge"])
    day.do(ticket, "harbour", [LineGiven("copper-2", "10 kg", "9 /kg")], haul="haul-1")
    day.do(hauls.finish)
    day.do(quote, "ridge", "light-iron", "0.30 /kg")
    assert lines(day, "haul-1", 1) == {}


def test_the_second_haul_shows_less_and_which_haul_has_it() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 4 kg at 9")
    day.do(hauls.start, ["harbour"])
    copper = lines(day, "haul-2")["copper-2"]
    assert (copper.took_mg, copper.short_mg, copper.held_by) == (6 * KG, 4 * KG, ("haul-1",))
    assert copper.amount == Decimal("54.00")  # 6 kg at 9.00
    assert lines(day, "haul-2")["light-iron"].held_by == ()
    assert lines(day, "haul-1")["copper-2"].took_mg == 4 * KG


def test_within_one_haul_a_bin_rides_to_the_stop_that_pays_most() -> None:
    day = town()
    day.do(quote, "ridge", "copper-2", "9.50 /kg")
    day.do(hauls.start, ["harbour", "ridge"])
    assert set(lines(day, "haul-1", 0)) == {"light-iron"} and set(lines(day, "haul-1", 1)) == {"copper-2"}


def test_what_one_haul_has_another_does_not_set_out_with() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 8 kg at 9")
    said = day.refuses(hauls.start, ["harbour"], "Planned: harbour copper-2 3 kg at 9")
    assert said.given == "3.0 kg of No. 2 copper"
    assert "at most the 2.0 kg" in said.expected and "haul-1 has 8.0 kg along" in said.expected
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 2 kg at 9")
    assert free_stock(day.book, GRADES, day.now.tzinfo).mg["copper-2"] == 0
    day.do(hauls.finish, "haul-1")  # home again with it
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 3 kg at 9")


def test_what_was_handed_over_is_on_board_no_more() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 8 kg at 9")
    day.do(ticket, "harbour", [LineGiven("copper-2", "8 kg", "9 /kg", own="8 kg")], haul="haul-1")
    day.do(bins.recount, "copper-2", 5 * KG)  # 2 were left, 3 came in
    assert free_stock(day.book, GRADES, day.now.tzinfo).mg["copper-2"] == 5 * KG
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 5 kg at 9")


def test_what_a_haul_that_is_over_by_now_had_then_was_not_free_then() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 8 kg at 9")
    day.do(hauls.start, ["harbour"])
    day.do(ticket, "harbour", [LineGiven("copper-2", "8 kg", "9 /kg", own="8 kg")], haul="haul-1")
    day.do(hauls.finish, "haul-1")
    assert lines(day, "haul-2")["copper-2"].took_mg == 2 * KG


def test_a_plan_does_not_count_what_a_haul_took_along_and_says_so() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 8 kg at 9; harbour light-iron 100 kg at 0.2")
    scenario = scenario_to_plan(day.book, day.now.date(), zone=day.now.tzinfo)
    assert scenario.stock == {"copper-2": 2.0}
    note = next(note for note in scenario.notes if "under way" in note)
    assert "The haul to harbour is under way" in note and "No. 2 copper (8.0 kg), Light iron (100 kg)" in note


def test_the_same_trip_is_not_set_out_on_twice() -> None:
    day = town()
    scenario = scenario_to_plan(day.book, day.now.date())
    made = plan(scenario)
    day.do(accept, made, 1, scenario)
    said = day.refuses(accept, made, 1, scenario)
    assert "haul-1 has" in said.expected


def test_setting_out_with_finds_unopened_is_asked_about() -> None:
    day = town()
    found(day, "bread-machine", count=5, works="no")
    day.do(quote, "harbour", "motors", "4.00 /kg")  # invented, so that opening pays
    scenario = scenario_from_book(day.book, day.now.date())
    made = plan(scenario)
    assert made.open
    said = day.refuses(accept, made, 1, scenario)
    assert isinstance(said, Asked) and said.option == "unopened"
    assert "still to come out of finds" in said.given and "Electric motors" in said.given
    assert day.do(accept, made, 1, scenario, unopened=True).result.haul == "haul-1"
