"""Residue goes into a bin and is ticketed at the tip; it stays one figure wherever it waits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest
from ledger_day import KG, Day, found, trading_day

from partway.actions.bench import selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.tickets import LineGiven, ticket
from partway.ledger.balance.sheet import BalanceSheet, sheet, tips_in
from partway.ledger.book import Book
from partway.ledger.events import kinds as p
from partway.reports.books.overview import Overview, report_overview
from partway.valuing.ends.diverted import Ends, ends_so_far, report_diverted
from partway.valuing.ends.flows import FlowNames, report_flows
from partway.valuing.window import window

PIECES = [PieceGiven("cover", "6 kg"), PieceGiven("tray", "3 kg")]


def with_a_tip() -> Day:
    day = trading_day()
    day.do(buyer, "hill", Terms(kind="tip", km="3"))
    return day


def whole(day: Day) -> BalanceSheet:
    return sheet(day.book.balances(), tips_in(day.book.facts("buyer:")))


def ends(day: Day) -> Ends:
    return ends_so_far(whole(day))


def today(day: Day) -> Overview:
    return report_overview(day.book, scenario_from_book(day.book, day.now.date()), day.now)


@pytest.mark.parametrize(
    "said",
    [
        {"residue": "1 kg"},
        {"gap": "residue"},
        {"pieces": [*PIECES, PieceGiven("ring", "1 kg", grade="residue")]},
        {"pieces": [*PIECES, PieceGiven("ring", "0.4 kg", grade="residue")], "residue": "0.6 kg"},
    ],
)
def test_residue_goes_into_its_bin_however_it_was_said(said: Mapping[str, Any]) -> None:
    day = with_a_tip()
    told = day.do(open_up, found(day, "microwave", mass="10 kg"), **{"pieces": PIECES, **said}).result
    assert told.residue_mg == KG and "residue" in told.new_bins and told.closed
    assert day.mg("bin:residue", "residue") == KG and day.mg("residue") == 0
    assert (whole(day).residue_mg, whole(day).stock_mg, whole(day).apart_mg) == (KG, 9 * KG, 0)


def test_it_is_ticketed_at_the_tip_and_the_share_stays_as_it_was() -> None:
    """By hand: 10 kg in, 6 to a yard, 1 residue, 3 still here. 6 of the 7 kg that left are diverted, before the tip and
    after it.
    """
    day = with_a_tip()
    day.do(open_up, found(day, "microwave", mass="10 kg"), PIECES, residue="1 kg")
    day.do(ticket, "harbour", [LineGiven("light-iron", "6 kg", "0.2 /kg")])
    assert ends(day).share == pytest.approx(6 / 7)
    assert (ends(day).residue, ends(day).tipped) == (KG, 0)
    told = day.do(ticket, "hill", [LineGiven("residue", "1 kg", "-0.11 /kg")]).result
    assert told.total < 0 and day.mg("bin:residue", "residue") == 0
    assert ends(day).share == pytest.approx(6 / 7)
    assert (ends(day).residue, ends(day).tipped, ends(day).stock) == (0, KG, 3 * KG)


def test_every_place_says_the_same_share_and_residue() -> None:
    day = with_a_tip()
    day.do(open_up, found(day, "microwave", mass="10 kg"), PIECES, residue="1 kg")
    day.do(ticket, "harbour", [LineGiven("light-iron", "6 kg", "0.2 /kg")])
    day.do(ticket, "hill", [LineGiven("residue", "0.4 kg", "-0.11 /kg", own="yard")])
    handled, all_time = today(day).handled, ends(day)
    tips = tips_in(day.book.facts("buyer:"))
    report = report_diverted(whole(day), tips, window(day.book, day.now, 1).steps)
    flows = report_flows(day.book.moved(), FlowNames({}, {}, {}, tips), None)
    assert handled.diverted_share == all_time.share == report.steps[-1].ends.share == pytest.approx(6 / 7)
    assert handled.residue_kg == flows.places["residue"].mg / 1e6 == all_time.residue / 1e6 == pytest.approx(0.6)
    assert [handled.tipped_kg, flows.places["buyer:hill"].mg / 1e6] == pytest.approx([0.4, 0.4])


def older(book: Book, day: Day) -> None:
    """An opening as it was recorded until now: its residue in a place of its own."""
    context = day.context()
    find = found(day, "kettle", mass="3 kg")
    opened = p.Opened(find, (p.PieceOut("body", 1, "light-iron", "light-iron", 2 * KG),), 3 * KG, residue_mg=KG)
    from partway.actions.recording.context import record

    record(book, context, [p.Binned("light-iron", "light-iron"), opened], None)


def test_what_older_events_keep_apart_is_residue_as_well() -> None:
    day = with_a_tip()
    older(day.book, day)
    assert day.mg("residue") == KG and whole(day).residue_mg == KG
    day.do(open_up, found(day, "microwave", mass="10 kg"), PIECES, residue="1 kg")
    assert whole(day).residue_mg == 2 * KG
    flows = report_flows(day.book.moved(), FlowNames({}, {}, {}), None)
    assert flows.places["residue"].mg == 2 * KG


def test_a_find_given_up_goes_into_the_bin_of_residue() -> None:
    day = with_a_tip()
    find = found(day, "fan", mass="3 kg")
    assert day.do(selling.discard, find).result.what == "discarded"
    assert day.mg("bin:residue", "residue") == 3 * KG and day.mg(f"find:{find}") == 0
    other = found(day, "fan")
    day.do(selling.discard, other, "2 kg")
    assert day.mg("bin:residue", "residue") == 5 * KG
    lighter = found(day, "fan", mass="3 kg")
    day.do(selling.discard, lighter, "2.5 kg")
    assert day.mg("bin:residue", "residue") == 7.5 * KG and day.mg(f"find:{lighter}") == 0
    assert whole(day).apart_mg == 0 and whole(day).loss_mg == 0


def test_what_can_still_hurt_is_put_into_no_bin() -> None:
    """A microwave not yet discharged, by the catalogue: its capacitor has to come out first."""
    day = with_a_tip()
    find = found(day, "microwave", mass="13 kg")
    day.do(selling.discard, find)
    assert day.mg("residue") == 13 * KG and "residue" not in [b for b, _ in day.book.facts("bin:")]
    assert whole(day).residue_mg == 13 * KG
