"""What was spared, by hand: a day of trading, what is counted and what is not, and pieces that can hurt."""

from __future__ import annotations

import datetime as dt

import pytest
from ledger_day import Day, found, stocked, trading_day

from partway.actions.bench import selling
from partway.actions.bench.opening import open_up
from partway.actions.bench.pieces import PieceGiven
from partway.actions.books.last_act import act_of
from partway.actions.books.undoing import take_back
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.home.settings import set_
from partway.catalogue import shipped
from partway.catalogue.factors import factor_sets
from partway.reports.books.impact import NOT_SAID, ImpactReport, report_impact
from partway.valuing.window import window

SHORT_TON = 907.18474  # kg


def report(day: Day, factors: str = "epa-warm-15", months: int = 0) -> ImpactReport:
    seen = window(day.book, day.now, months)
    return report_impact(day.book, shipped(), shipped().grades, seen, factor_sets()[factors])


def a_load() -> Day:
    """To the harbour yard: 8 kg copper, 100 kg light iron, 5 kg motors. To a person: a microwave of 12 kg."""
    day = trading_day(unit="kg")
    stocked(day, copper_2=10, light_iron=100, motors=5)
    lines = [
        LineGiven("copper-2", "8 kg", "8 /kg", own="yard"),
        LineGiven("light-iron", "100 kg", "0.2 /kg"),
        LineGiven("motors", "5 kg", "0.5 /kg"),
    ]
    day.do(ticket, "harbour", lines)
    day.do(selling.sell, found(day, "microwave", mass="12 kg"), "30")
    return day


def test_a_load_by_hand() -> None:
    """Reference check 19: (4.489 + .0203) t a short ton of copper wire, (1.832 + .0203) of steel; motors have none."""
    now = report(a_load())
    by_hand = {"copper-wire": 8 * 4509.3 / SHORT_TON, "steel-cans": 100 * 1852.3 / SHORT_TON}
    assert {line.category: line.kg_co2e for line in now.spared} == pytest.approx(by_hand)
    assert now.kg_co2e == pytest.approx(sum(by_hand.values()))
    assert {line.name: line.kg for line in now.uncounted} == pytest.approx({"Electric motors": 5})
    masses = (now.came_kg, now.recycled_kg, now.reused_kg, now.counted_kg, now.uncounted_kg)
    assert masses == pytest.approx(
        (12, 113, 12, 108, 5)
    )  # a recount found the bins full: found on a scale, not brought in


def test_what_came_in_adds_up_to_where_it_went() -> None:
    """By hand: of a fan of 4 kg a cord of 0.4 kg is left, 3.6 kg are lost; a scale found 115 kg in bins."""
    day = a_load()
    day.do(open_up, found(day, "fan", mass="4 kg"), [PieceGiven("cord", "0.4 kg")], ["cord"], gap="loss")
    now = report(day)
    assert now.loss_kg == pytest.approx(3.6 - 115)
    gone = now.recycled_kg + now.reused_kg + now.residue_kg + now.loss_kg
    assert now.came_kg == pytest.approx(gone + now.stock_kg)


def test_another_set_counts_other_things_and_is_never_mixed_in() -> None:
    """Reference check 20: scrap metal 1766.70 kg a tonne, whatever metal it is."""
    now = report(a_load(), "uk-2025")
    assert {line.category: line.kg_co2e for line in now.spared} == {"scrap-metal": pytest.approx(108 * 1.7667)}
    assert now.called == "UK government conversion factors for company reporting, 2025"


def test_what_is_additional_is_for_the_user_to_say() -> None:
    day = a_load()
    assert report(day).additional_kg_co2e is None and NOT_SAID in report(day).notes
    day.do(set_, "buried", "0.25")
    now = report(day)
    assert now.additional_kg_co2e == pytest.approx(now.kg_co2e / 4) and NOT_SAID not in now.notes
    assert day.refuses(set_, "buried", "1.2").where == "buried"


def test_what_was_taken_back_spares_nothing() -> None:
    day = a_load()
    before = report(day).kg_co2e
    day.do(ticket, "ridge", [LineGiven("copper-2", "1 kg", "8 /kg", own="yard")])
    assert report(day).kg_co2e == pytest.approx(before + 4509.3 / SHORT_TON)
    day.do(take_back, [str(event.id) for event in act_of(day.book, day.context())], "typed twice")
    assert report(day).kg_co2e == pytest.approx(before)


def test_batteries_and_their_like_are_counted_by_the_piece() -> None:
    day = trading_day(unit="kg")
    for _ in range(2):
        day.do(open_up, found(day, "ups", mass="12 kg"), [PieceGiven("battery", "5 kg")], residue="7 kg")
    day.do(ticket, "harbour", [LineGiven("lead-acid", "4 kg", "0.5 /kg", own="yard")])
    (line,) = report(day).careful
    assert (line.name, line.pieces, line.out_kg, line.handed_kg) == ("Lead-acid batteries", 2, 10, 4)
    assert line.hazards == ("lead-acid",)
    day.do(take_back, [str(next(iter(day.book.events(("opened",)))).id)], "another find")
    assert [line.pieces for line in report(day).careful] == [1]


def test_a_month_counts_what_went_in_it() -> None:
    day = a_load()
    assert report(day, months=1).kg_co2e == pytest.approx(report(day).kg_co2e)
    day.now += dt.timedelta(days=40)
    assert report(day, months=1).kg_co2e == 0 and report(day, months=3).kg_co2e > 0
