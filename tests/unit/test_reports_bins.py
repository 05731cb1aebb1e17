"""Bins: what they fetch at each buyer, the next lot, how full they are, and how they came to hold it."""

from __future__ import annotations

import datetime as dt
import math
from decimal import Decimal
from pathlib import Path

import pytest
from ledger_day import KG, Day, stocked, trading_day
from sqlalchemy import event
from workspaces import made

from partway.actions.bins import bins
from partway.actions.books import corrections
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context, record
from partway.catalogue import shipped
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Quoted
from partway.planning.instance.market import Market, lot_offers
from partway.reports.bins.all import BinLine, report_bins
from partway.reports.bins.labels import report_labels
from partway.reports.bins.listed import listed
from partway.reports.bins.one import OneBin, report_bin
from partway.reports.haul.expected_ticket import haul_sheet
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace

NOW = dt.datetime(2026, 3, 14, 15, tzinfo=dt.UTC)


@pytest.fixture
def day() -> Day:
    """Two yards and a mail-in; 5 kg of No. 2 copper and 2 kg of batteries."""
    day = trading_day(unit="kg")
    stocked(day, copper_2=5.0, li_ion=2.0)
    day.do(quote, "harbour", "copper-2", "8 /kg")
    day.do(quote, "ridge", "copper-2", "9 /kg", minimum="10 kg")
    return day


def page(day: Day, bin_id: str = "copper-2") -> OneBin:
    return report_bin(day.book, bin_id, day.now)


def line(day: Day, bin_id: str = "copper-2") -> BinLine:
    return next(one for one in report_bins(day.book, day.now).lines if one.bin == bin_id)


# --- where it sells ---


def test_each_buyer_that_quotes_it_the_best_that_takes_the_lot_first(day: Day) -> None:
    at = page(day).at_buyers
    assert [(one.buyer, one.value, one.short_kg, one.best) for one in at] == [
        ("harbour", 40.0, 0.0, True),
        ("ridge", None, 5.0, False),
    ]
    assert page(day).unquoted == (("boards", "boards"),)


def test_a_lot_is_all_bins_of_a_grade_together(day: Day) -> None:
    day.do(bins.add_bin, "copper-2", "shed")
    day.do(bins.recount, "shed", 5 * KG)
    assert (page(day).lot_kg, page(day).others) == (10.0, ("shed",))
    assert [(one.buyer, one.value) for one in page(day).at_buyers] == [("ridge", 45.0), ("harbour", 40.0)]


def test_where_nobody_takes_so_little_the_smallest_lot_is_marked_and_has_no_value_yet(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "no")
    (only,) = page(day).at_buyers
    assert (only.buyer, only.value, only.short_kg, only.best) == ("ridge", None, 5.0, True)
    assert line(day).value is None and report_bins(day.book, day.now).unpriced == ("copper-2", "li-ion")


def test_it_may_sell_better_as_a_lower_grade_but_never_as_one_that_hides_a_hazard(day: Day) -> None:
    day.do(quote, "harbour", "copper-light", "8.50 /kg")
    best = page(day).at_buyers[0]
    assert (best.grade, best.value) == ("copper-light", 42.5)
    day.do(quote, "ridge", "light-iron", "99 /kg")
    assert page(day, "li-ion").at_buyers == ()


def test_postage_of_the_parcels_it_needs_is_taken_off(day: Day) -> None:
    day.do(quote, "boards", "copper-2", "10 /kg")
    boards = next(one for one in page(day).at_buyers if one.buyer == "boards")
    cheapest = min(14 / (10 * 0.45359237), 22 / (40 * 0.45359237))  # the two parcels of trading_day
    assert boards.price.net_per_kg == pytest.approx(10 - cheapest)
    assert boards.value == pytest.approx(5 * 10 - 22)  # 5 kg are 11 lb: two parcels of 10 lb for 28, or one of 40 lb


def test_a_lot_that_postage_eats_is_not_recommended_until_it_pays(day: Day) -> None:
    """0.5 kg at 8 a kg is 4, and the smallest parcel costs 14, so it pays from 14 / 8 = 1.75 kg."""
    stocked(day, board_pc=0.5)
    day.do(quote, "boards", "board-pc", "8 /kg")
    (boards,) = page(day, "board-pc").at_buyers
    assert (boards.value, boards.by_post, boards.least_kg, boards.short_kg) == (None, True, 1.75, 1.25)
    assert line(day, "board-pc").value is None and "board-pc" in report_bins(day.book, day.now).unpriced
    day.do(quote, "harbour", "board-pc", "0.5 /kg")
    assert [(one.buyer, one.value, one.best) for one in page(day, "board-pc").at_buyers] == [
        ("harbour", 0.25, True),
        ("boards", None, False),
    ]
    day.do(bins.recount, "board-pc", 2 * KG)
    assert [(one.buyer, one.value, one.best) for one in page(day, "board-pc").at_buyers] == [
        ("boards", 2 * 8.0 - 14.0, True),
        ("harbour", 1.0, False),
    ]


def test_postage_that_eats_the_price_at_any_mass_is_what_getting_rid_of_it_costs(day: Day) -> None:
    """A full parcel of 40 lb costs 22 / 18.14 kg = 1.21 a kg."""
    stocked(day, board_pc=2.0)
    day.do(quote, "boards", "board-pc", "1 /kg")
    (boards,) = page(day, "board-pc").at_buyers
    assert (boards.value, boards.by_post, boards.short_kg) == (2.0 - 14.0, False, 0.0)


def test_refused_and_no_longer_taken_are_told_from_unquoted(day: Day) -> None:
    day.do(quote, "ridge", "li-ion", "1 /kg")
    day.do(quote, "ridge", "li-ion", "no")
    turned = {one.buyer: (one.state, one.because) for one in page(day, "li-ion").turned}
    assert turned == {"harbour": ("refused", ("li-ion",)), "ridge": ("not taken", ())}
    assert page(day, "li-ion").unquoted == (("boards", "boards"),)


def test_a_buyer_without_a_known_way_still_shows_and_says_so(day: Day) -> None:
    day.do(buyer, "depot", Terms(kind="drop-off"))
    day.do(quote, "depot", "copper-2", "7 /kg")
    assert {one.buyer: one.way for one in page(day).at_buyers}["depot"] is False


def test_the_best_is_that_of_the_plans_own_market(day: Day) -> None:
    """Held against what a plan reads from the same ledger: another way to the same figures."""
    day.do(quote, "boards", "copper-2", "10 /kg")
    day.do(quote, "harbour", "copper-light", "8.50 /kg")
    scenario = scenario_from_book(day.book, day.now.date())
    (best, *_) = lot_offers(scenario, Market.of(scenario), "copper-2", 5.0)
    assert line(day).value == pytest.approx(5.0 * best.lot.net_per_kg)


@pytest.mark.parametrize("mass", [0.5, 1.74, 1.75, 4.6, 30.0])
def test_a_lot_in_two_bins_and_one_too_small_to_post_are_worth_what_they_are_in_short(day: Day, mass: float) -> None:
    stocked(day, board_pc=mass)
    day.do(bins.add_bin, "board-pc", "shed")
    day.do(bins.recount, "shed", KG // 4)
    day.do(quote, "boards", "board-pc", "8 /kg")
    at = report_bins(day.book, day.now)
    values = {one.bin: one.value for one in at.lines}
    assert {one.bin: one.best.value for one in listed(at, "CAD", "kg").lines if one.best} == {
        name: values[name] for name in ("board-pc", "shed", "copper-2")
    }
    parcels = 22.0 * math.ceil((mass + 0.25) / (40 * 0.45359237)) if mass > 20 else 14.0 if mass < 4.2 else 22.0
    if mass + 0.25 < 1.75:  # one lot of 8 a kg, the smallest parcel 14
        assert values["shed"] is None
    else:
        assert values["shed"] == pytest.approx(0.25 * (8.0 - parcels / (mass + 0.25)))


def test_a_buyer_that_no_plan_reaches_still_prices_a_bin(day: Day) -> None:
    """The page counted a depot without a known way, `stock` did not: what it pays is what the bin fetches there."""
    day.do(buyer, "depot", Terms(kind="drop-off"))
    day.do(quote, "depot", "copper-2", "12 /kg")
    (copper,) = [one for one in listed(report_bins(day.book, day.now), "CAD", "kg").lines if one.bin == "copper-2"]
    assert copper.best is not None and (copper.best.buyer, copper.best.value) == ("depot", 60.0)
    assert [one.buyer for one in page(day).at_buyers if not one.way] == ["depot"]


def test_a_point_is_no_way_as_long_as_nobody_knows_where_home_is(day: Day) -> None:
    """The plan left such a buyer out, and the page of the bin said that there is a way."""
    day.do(buyer, "depot", Terms(kind="drop-off", at="30.6, -40.5"))
    day.do(quote, "depot", "copper-2", "7 /kg")
    ways = []
    for _ in range(2):
        ways.append({one.buyer: one.way for one in page(day).at_buyers}["depot"])
        day.do(set_, "home", "30.65, -40.57")
    assert ways == [False, True]


def test_the_smallest_lot_is_named_everywhere_where_none_is_reached(day: Day) -> None:
    """`stock` named the lot that pays most however large, the page the smallest: 10 kg at 9, not 50 at 9.50."""
    day.do(quote, "harbour", "copper-2", "no")
    day.do(quote, "ridge", "copper-2", "9.5 /kg", from_lot="50 kg", minimum="50 kg")
    (copper,) = [one for one in listed(report_bins(day.book, day.now), "CAD", "kg").lines if one.bin == "copper-2"]
    assert copper.best is not None and (copper.best.least_kg, copper.best.missing_kg) == (10.0, 5.0)
    assert (page(day).line.best or 0) and page(day).at_buyers[0].least_kg == 10.0


def test_a_price_dated_later_does_not_count_yet_and_hides_none(day: Day) -> None:
    """From a device whose clock was ahead: the price before it holds, for the bin, the plan and the ticket."""
    later = day.context(day.now)
    ahead = Quoted("harbour", "copper-2", Decimal(99), "kg", day.now.date() + dt.timedelta(days=9), 0, 0, "")
    record(day.book, later, [ahead], None)
    assert line(day).value == 40.0
    scenario = scenario_from_book(day.book, day.now.date())
    assert Market.of(scenario).offers["copper-2"][0].price == 9.0  # ridge, in lots of 10 kg
    assert lot_offers(scenario, Market.of(scenario), "copper-2", 5.0)[0].lot.net_per_kg == 8.0
    assert any("Quotes heard after" in note for note in scenario.notes)
    day.do(hauls.start, ["harbour"])
    sheet = haul_sheet(day.book, "haul-1", dict(shipped().grades), day.now)
    assert sheet is not None and [one.price for one in sheet.stops[0].lines if one.grade == "copper-2"] == [8]


# --- the next lot ---


def test_what_is_missing_to_a_minimum_and_what_reaching_it_adds(day: Day) -> None:
    (lot,) = page(day).next_lots
    assert (lot.buyer, lot.what, lot.least_kg, lot.missing_kg, lot.share) == ("ridge", "minimum", 10.0, 5.0, 0.5)
    assert lot.adds == 5.0  # 5 kg at 9 rather than 8
    assert lot.adds_there == 45.0  # at this buyer, which takes nothing yet


def test_a_tier_adds_its_price_over_the_best_of_today_and_may_add_nothing(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "8.20 /kg", from_lot="20 kg")
    day.do(buyer, "depot", Terms(kind="drop-off", km="3"))
    day.do(quote, "depot", "copper-2", "6 /kg", minimum="6 kg")
    lots = {one.buyer: one for one in page(day).next_lots}
    assert lots["harbour"].what == "tier" and lots["harbour"].adds == pytest.approx(5 * 0.2)
    assert lots["depot"].adds == -10.0
    assert [one.buyer for one in page(day).next_lots] == ["ridge", "harbour", "depot"]


def test_a_tier_that_pays_less_than_what_is_reached_is_no_next_step(day: Day) -> None:
    day.do(quote, "harbour", "copper-2", "7 /kg", from_lot="20 kg")
    assert [one.buyer for one in page(day).next_lots] == ["ridge"]


# --- how full ---


def test_fill_has_the_range_of_the_bulk_density(day: Day) -> None:
    day.do(bins.add_bin, "copper-2", capacity="5 L")
    density, fill = shipped().grades["copper-2"].density, line(day).fill
    assert fill is not None
    assert fill.used_l == (5 / density.high, 5 / density.likely, 5 / density.low)
    assert fill.share[1] == 5 / density.likely / 5 and fill.holds_kg == 5 * density.likely
    assert fill.near and not fill.over
    day.do(bins.recount, "copper-2", 50 * KG)
    assert (over := line(day).fill) is not None and over.over


def test_without_a_capacity_the_fill_is_unknown(day: Day) -> None:
    assert line(day).fill is None


def test_no_figure_of_how_much_may_be_kept_is_made_up(day: Day) -> None:
    (hazard,) = line(day, "li-ion").hazards
    assert hazard.limit is None and "check your local code" in hazard.rule and hazard.first
    ((card, where),) = report_bins(day.book, day.now).hazards
    assert (card.id, where) == ("li-ion", ("li-ion",))


# --- how it came about ---


def filled(day: Day, bin_id: str, *levels: tuple[int, float]) -> None:
    """A bin that was on the scale so many days ago, each with what it held then."""
    bins.add_bin(day.book, day.context(day.now - dt.timedelta(days=levels[0][0])), bin_id)
    for days_ago, kg in levels:
        bins.recount(day.book, day.context(day.now - dt.timedelta(days=days_ago)), bin_id, round(kg * KG))


def test_age_is_that_of_the_oldest_first_in_first_out(day: Day) -> None:
    filled(day, "motors", (40, 3), (30, 7), (20, 4))  # 3 came, 4 more came, 3 went: the first 3
    assert line(day, "motors").days == 30
    filled(day, "brass-yellow", (40, 3), (30, 7), (20, 4.5))
    assert line(day, "brass-yellow").days == 40


def test_what_is_older_than_all_bins_are_looked_at_is_found_for_each() -> None:
    day = trading_day(unit="kg")
    long_ago = day.now - dt.timedelta(days=200)
    bins.add_bin(day.book, day.context(long_ago), "copper-2", holds=4 * KG)
    assert (line(day).days, line(day).older) == (200, False)
    assert (page(day).line.days, page(day).line.older) == (200, False)


def test_the_drawing_ends_at_what_is_there_and_starts_at_what_was(day: Day) -> None:
    filled(day, "motors", (70, 2), (30, 10))
    drawn = line(day, "motors").spark
    assert drawn.points[0] == (0.0, 0.8) and drawn.points[-1] == (1.0, 0.0)  # 2 kg of 10, then 10 of 10
    assert drawn.points[1:3] == ((0.5, 0.8), (0.5, 0.0))  # 30 of 60 days ago
    assert (drawn.top_kg, drawn.in_kg, drawn.out_kg) == (10.0, 8.0, 0.0)
    assert [(one.in_kg, one.held_kg) for one in drawn.days] == [(8.0, 10.0)]


def test_changes_say_where_it_went_and_a_correction_takes_them_back(day: Day) -> None:
    told = day.do(ticket, "harbour", [LineGiven("copper-2", "2 kg", "8 /kg", own="2 kg", bin="copper-2")], "16")
    first = page(day).changes[0]
    assert (first.what, first.change_kg, first.other) == ("ticketed", -2.0, "buyer:harbour")
    day.do(corrections.correct, str(told.events[0].id))
    assert page(day).changes[0].what == "recounted" and page(day).line.mass_kg == 5.0


def test_one_bin_is_not_taken_for_another_that_begins_so(day: Day) -> None:
    day.do(bins.add_bin, "copper-2", "copper-2-shed", holds=7 * KG)
    assert {change.change_kg for change in page(day).changes} == {5.0}


# --- labels ---


def test_a_label_names_what_can_hurt(day: Day) -> None:
    labels = {one.bin: one for one in report_labels(day.book, dict(shipped().grades))}
    assert [hazard.name for hazard in labels["li-ion"].hazards] == ["Lithium-ion battery"]
    assert labels["copper-2"].hazards == () and labels["copper-2"].qualifies
    assert [one.bin for one in report_labels(day.book, dict(shipped().grades), ["li-ion"])] == ["li-ion"]


def test_what_the_bins_ask_of_the_ledger_does_not_grow_with_their_number(tmp_path: Path) -> None:
    """Each is older than what is drawn, so that its age is looked up from further back: together with the others."""
    said: list[str] = []

    def asked(book: SqlBook) -> int:
        said.clear()
        ages = {one.bin: one.days for one in report_bins(book, NOW + dt.timedelta(days=100)).lines}
        assert set(ages.values()) == {100}
        return len([text for text in said if text != "BEGIN"])

    with open_workspace(made(tmp_path)) as book:
        event.listen(book.engine, "before_cursor_execute", lambda *args: said.append(args[2]))
        counts = []
        for grades in (["copper-2", "motors"], list(shipped().grades)[:20]):
            for grade in grades:
                bins.add_bin(book, Context("tester", lambda: NOW, new_id), grade, holds="3 kg")
            counts.append(asked(book))
    assert counts[0] == counts[1], counts
