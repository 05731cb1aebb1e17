"""A haul under way: what was planned is remembered in its note, and each ticket is held against it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ledger_day import KG, Day, stocked, trading_day

from partway.actions.books import money
from partway.actions.buyers.quoting import quote
from partway.actions.haul import hauls
from partway.actions.haul.scenario import scenario_from_book
from partway.actions.haul.start_haul import accept
from partway.actions.haul.tickets import LineGiven, ticket
from partway.actions.home.settings import set_
from partway.actions.plans.plan import plan
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.events.fields import LONGEST_TEXT
from partway.reports.haul.expected_ticket import HaulSheet, haul_sheet
from partway.reports.haul.plan import Plan
from partway.reports.haul.plan_lines import SaleLine
from partway.things.units import ShownUnits
from partway.valuing.planned_lots import Drive, PlannedLot, drive_in, planned_in, planned_note
from partway.valuing.trips.ticket_sums import worked_out

GRADES = shipped().grades


def town() -> Day:
    """Copper and iron to sell at the harbour, where both are quoted."""
    day = trading_day()
    stocked(day, copper_2=10, light_iron=100, li_ion=2)
    day.do(quote, "harbour", "copper-2", "9.00 /kg")
    day.do(quote, "harbour", "light-iron", "0.20 /kg")
    return day


def planned_day() -> tuple[Day, Plan]:
    day = town()
    scenario = scenario_from_book(day.book, day.now.date())
    made = plan(scenario)
    day.do(accept, made, 1, scenario)
    return day, made


def sheet(day: Day, haul: str = "haul-1") -> HaulSheet:
    found = haul_sheet(day.book, haul, GRADES, day.now)
    assert found is not None
    return found


def test_an_accepted_trip_is_a_haul_whose_note_says_what_for() -> None:
    day, made = planned_day()
    started = day.payloads("hauled")[0]
    assert started.stops == made.trips[0].stops
    lots, _, road = started.note.rpartition("; ")
    assert lots == "Planned: harbour copper-2 10 kg at 9; harbour light-iron 100 kg at 0.2"
    assert drive_in(started.note) == Drive(round(Decimal(made.trips[0].km), 1), round(made.trips[0].hours * 60))
    assert road == f"{made.trips[0].km:g} km in {made.trips[0].hours * 60:.0f} min"
    now = sheet(day)
    assert now.planned and now.status == "started"
    lines = now.stops[0].lines
    assert [(line.grade, line.planned_mg, line.price, line.bin) for line in lines] == [
        ("copper-2", 10 * KG, Decimal(9), "copper-2"),
        ("light-iron", 100 * KG, Decimal("0.2"), "light-iron"),
    ]
    assert now.expected == Decimal("110.00")


def test_a_trip_the_plan_does_not_make_is_not_set_out_on() -> None:
    day = town()
    scenario = scenario_from_book(day.book, day.now.date())
    made = plan(scenario)
    assert "a trip from 1 to 1" in day.refuses(accept, made, 2, scenario).expected
    assert "drives somewhere" in day.refuses(accept, replace(made, trips=()), 1, scenario).expected


def test_a_ticket_is_held_against_scale_plan_and_quote() -> None:
    day, _ = planned_day()
    lines = [
        LineGiven("copper-2", "9 kg", "8.50 /kg", own="10 kg"),  # half a kilogram two honest scales may differ by
        LineGiven("light-iron", "100 kg", "0.20 /kg", amount="19.00"),
    ]
    day.do(ticket, "harbour", lines, haul="haul-1", number="77", as_printed=True)
    seen = sheet(day).stops[0].tickets[0]
    copper, iron = seen.lines
    assert {d.what: d.money for d in copper.doubts} == {
        "short": Decimal("8.50"),  # 1 kg at 8.50
        "below-quote": Decimal("4.50"),  # 9 kg at 0.50
        "below-plan": Decimal("4.50"),
    }
    assert {d.what: d.money for d in iron.doubts} == {"amount": Decimal("-1.00")}
    assert (seen.number, seen.total, seen.gap, seen.open) == ("77", Decimal("95.50"), Decimal(0), Decimal("95.50"))
    day.do(money.paid, "harbour", "90", "ticket-1")
    now = sheet(day)
    assert (now.paid, now.stops[0].tickets[0].open) == (Decimal(90), Decimal("5.50"))


def test_a_gap_that_the_scales_division_explains_is_no_doubt() -> None:
    day, _ = planned_day()
    day.do(set_, "division", "20 g")
    day.do(ticket, "harbour", [LineGiven("copper-2", "9.98 kg", "9 /kg", own="10 kg")], haul="haul-1")
    day.do(ticket, "harbour", [LineGiven("light-iron", "99.9 kg", "0.2 /kg", own="100 kg")], haul="haul-1")
    first, second = sheet(day).stops[0].tickets
    assert first.lines[0].doubts == ()
    assert [d.what for d in second.lines[0].doubts] == ["short"]


def test_a_quote_heard_after_the_ticket_is_not_held_against_it() -> None:
    day, _ = planned_day()
    day.do(ticket, "harbour", [LineGiven("copper-2", "10 kg", "9 /kg")], haul="haul-1")
    day.now += dt.timedelta(days=3)
    day.do(quote, "harbour", "copper-2", "11 /kg")
    line = sheet(day).stops[0].tickets[0].lines[0]
    assert line.quoted == 9 and line.doubts == ()


def test_what_was_not_planned_is_said_to_be_so() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 10 kg at 9")
    day.do(ticket, "harbour", [LineGiven("light-iron", "100 kg", "0.2 /kg")], haul="haul-1")
    assert [d.what for d in sheet(day).stops[0].tickets[0].lines[0].doubts] == ["not-planned"]


def test_without_a_plan_the_bins_and_quotes_say_what_to_expect() -> None:
    day = town()
    day.do(hauls.start, ["harbour"], "to the harbour on the way to the shops")
    now = sheet(day)
    assert not now.planned
    lines = {line.grade: line for line in now.stops[0].lines}
    assert set(lines) == {"copper-2", "light-iron"}  # nobody quotes the batteries
    assert all(line.planned_mg is None for line in lines.values())
    assert lines["copper-2"].amount == Decimal("90.00")


def test_prices_are_per_the_unit_they_were_said_in() -> None:
    """1 lb is 0.45359237 kg exactly (international pound, 1959): 10 kg at 4.00 a pound are 22.0462 lb, 88.18."""
    day = trading_day()
    stocked(day, copper_2=10)
    day.do(quote, "harbour", "copper-2", "4.00 /lb")
    day.do(hauls.start, ["harbour"], "")
    (line,) = sheet(day).stops[0].lines
    assert (line.price, line.unit, line.amount) == (Decimal(4), "lb", Decimal("88.18"))
    assert sheet(day).expected == sheet(day).stops[0].expected == Decimal("88.18")
    day.do(hauls.finish)  # while it is under way, what it took along is promised to nobody else
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 5 lb at 4; harbour light-iron 2 kg at 0.2")
    assert [line.amount for line in sheet(day, "haul-2").stops[0].lines] == [Decimal(20), Decimal("0.40")]
    assert sheet(day, "haul-2").expected == Decimal("20.40")


def test_quote_and_plan_are_held_against_a_ticket_in_its_own_unit() -> None:
    """9.00 a kg is 4.0823 a pound (0.45359237 kg): 0.0823 less on 10 lb is 82 cents; the plan's 4.20 makes it 2.00."""
    day = town()
    day.do(hauls.start, ["harbour"], "Planned: harbour copper-2 10 lb at 4.2")
    day.do(ticket, "harbour", [LineGiven("copper-2", "10 lb", "4.00 /lb", own="yard")], haul="haul-1")
    line = sheet(day).stops[0].tickets[0].lines[0]
    assert line.quoted is not None and round(line.quoted, 4) == Decimal("4.0823")
    assert {d.what: d.money for d in line.doubts} == {"below-quote": Decimal("0.82"), "below-plan": Decimal("2.00")}


def test_a_ticket_that_was_taken_back_is_gone_and_a_stop_off_the_way_is_there() -> None:
    day, _ = planned_day()
    from partway.actions.books.corrections import correct

    done = day.do(ticket, "harbour", [LineGiven("copper-2", "10 kg", "9 /kg")], haul="haul-1")
    day.do(correct, str(done.undo[0]), "typed twice")
    assert sheet(day).stops[0].tickets == ()
    day.do(hauls.finish, "haul-1", "22", "1 h 10")
    now = sheet(day)
    assert (now.status, now.km, now.minutes) == ("finished", Decimal(22), 70)


def test_no_haul_of_that_name() -> None:
    assert haul_sheet((day := town()).book, "haul-9", GRADES, day.now) is None


def test_coins_of_a_currency() -> None:
    # 2.5 kg at 3.331: 8.3275; yen have no hundredths, dinars have thousandths (ISO 4217)
    assert worked_out(2_500_000, Decimal("3.331"), "kg", "CAD") == Decimal("8.33")
    assert worked_out(2_500_000, Decimal("3.331"), "kg", "JPY") == Decimal(8)
    assert worked_out(2_500_000, Decimal("3.331"), "kg", "KWD") == Decimal("8.328")


sales = st.lists(
    st.builds(
        lambda buyer, grade, kg, price: (buyer, grade, kg, price),
        st.sampled_from(["harbour-yard", "ridge-yard", "town-depot-2"]),
        st.sampled_from(sorted(GRADES)),
        st.floats(0.001, 5000.0),
        st.floats(-2.0, 60.0),
    ),
    max_size=60,
)


@given(sales, st.sampled_from(["kg", "lb"]))
def test_what_is_kept_in_a_note_is_read_again(given: list[tuple[str, str, float, float]], unit: str) -> None:
    lines = tuple(
        SaleLine(1, buyer, grade, kg, price, kg * price, line)
        for line, (buyer, grade, kg, price) in enumerate(given, start=1)
    )
    note = planned_note(lines, ShownUnits(unit))
    assert len(note) <= LONGEST_TEXT
    lots = planned_in(note)
    if "smaller ones" not in note:
        assert len(lots) == len(given)
    whole = {(lot.buyer, lot.grade, lot.mass_mg) for lot in lots}
    per = {"kg": 1.0, "lb": 0.45359237}[unit]
    known = {(b, g): [(kg, p) for bb, gg, kg, p in given if (b, g) == (bb, gg)] for b, g, *_ in given}
    for lot in lots:
        near = [
            (kg, p)
            for kg, p in known[lot.buyer, lot.grade]
            if abs(kg * 1e6 - lot.mass_mg) <= 0.0006e6 * per and abs(p * per - float(lot.price)) <= 0.00006
        ]
        assert near, whole


@pytest.mark.parametrize(
    ("note", "lots"),
    [
        ("", 0),
        ("to the harbour", 0),
        ("Planned: ", 0),
        ("Planned: harbour copper-2 10 kg at 9; and the sofa", 1),
        ("Planned: harbour copper-2 10 stone at 9", 0),
        ("Planned: harbour copper-2 99999999 kg at 9", 0),
        ("planned: harbour copper-2 10 kg at 9", 0),
    ],
)
def test_a_note_by_hand_is_read_as_far_as_it_is_one(note: str, lots: int) -> None:
    assert len(planned_in(note)) == lots


def test_a_lot_in_words() -> None:
    assert planned_in("Planned: harbour copper-2 10.5 lb at -4.1") == (
        PlannedLot("harbour", "copper-2", 4_762_720, Decimal("-4.1"), "lb"),  # 10.5 x 0.45359237 kg
    )


def test_a_note_longer_than_the_ledger_takes_is_refused() -> None:
    day = town()
    with pytest.raises(Refused, match="at most 2000"):
        hauls.start(day.book, day.context(), ["harbour"], "x" * 2001)
