"""The sheet of a trip: what is handed over where, hazards first, what it should pay; and two plans side by side."""

from __future__ import annotations

import math
from dataclasses import replace

import planned
import pytest

from partway.actions.plans.flips import quote_at
from partway.actions.plans.plan import plan
from partway.errors import Refused
from partway.ledger.events.kinds import Traded
from partway.ledger.fold.standing import BinNow
from partway.reports.haul.changes import changes
from partway.reports.haul.load_sheet import PAPERS, load_sheet
from partway.reports.haul.plan import Plan
from partway.things.estimate import Estimate

RICH = planned.rich_scenario()


@pytest.fixture(scope="module")
def best() -> Plan:
    return plan(RICH)


def test_stops_come_in_driving_order_and_carry_all_lots_of_the_trip(best: Plan) -> None:
    for trip in best.trips:
        sheet = load_sheet(RICH, best, trip.trip)
        assert tuple(stop.buyer for stop in sheet.stops) == trip.stops
        assert [stop.turn for stop in sheet.stops] == [1, 2]
        assert sheet.load_order == tuple(stop.name for stop in reversed(sheet.stops))
        lots = {(stop.buyer, lot.grade): lot.mass_kg for stop in sheet.stops for lot in stop.lots}
        assert lots == {(s.buyer, s.grade): s.mass_kg for s in best.sales if s.trip == trip.trip}
        assert math.fsum(stop.mass_kg for stop in sheet.stops) == pytest.approx(trip.load_kg)
        assert math.fsum(stop.litres for stop in sheet.stops) == pytest.approx(trip.load_litres)
        assert sheet.mass_kg <= sheet.payload_kg + 1e-6 and sheet.volume_l is not None


def test_what_can_hurt_comes_first(best: Plan) -> None:
    # Dearer than the pack, and yet after it.
    scenario = replace(RICH, cautions=RICH.cautions)
    other = replace(best, sales=tuple(replace(s, buyer="depot") if s.trip == 2 else s for s in best.sales))
    sheet = load_sheet(scenario, other, 2)
    depot = next(stop for stop in sheet.stops if stop.buyer == "depot")
    assert [lot.grade for lot in depot.lots] == ["pack", "iron"]
    assert depot.lots[0].amount < depot.lots[1].amount
    assert depot.lots[0].hazards == ("lithium",)
    assert [caution.id for caution in sheet.cautions] == ["li-ion"]


def test_the_note_of_a_grade_is_said_only_where_something_spoils_it(best: Plan) -> None:
    noted = {g: replace(grade, note=f"About {g}.") for g, grade in RICH.grades.items()}
    noted["iron"] = replace(noted["iron"], spoilers=("rubber left on it",))
    for trip in best.trips:
        for stop in load_sheet(replace(RICH, grades=noted), best, trip.trip).stops:
            for lot in stop.lots:
                spoiled = bool(noted[lot.grade].spoilers)
                assert lot.note == (f"About {lot.grade}." if spoiled else "")
    assert {grade.id for grade in noted.values() if grade.spoilers} & {sale.grade for sale in best.sales}


def test_bins_and_what_to_bring_come_from_the_ledger(best: Plan) -> None:
    bins = {
        "crate": BinNow("crate", "aluminium", 6_000_000, "blue crate"),
        "old": BinNow("old", "aluminium", 0),
        "pile": BinNow("pile", "iron", 60_000_000),
    }
    cards = {"refiner": Traded("refiner", "yard", note="ring at the side gate")}
    sheet = load_sheet(RICH, best, 1, bins, cards)
    refiner = next(stop for stop in sheet.stops if stop.buyer == "refiner")
    assert refiner.lots[0].bins == ("blue crate",)
    assert refiner.bring == ("ring at the side gate", PAPERS)
    yard = next(stop for stop in sheet.stops if stop.buyer == "yard")
    assert yard.bring == (PAPERS,)
    assert {lot.grade: lot.bins for lot in yard.lots}["copper-light"] == ()  # it comes down from another grade


def test_what_a_stop_pays_is_the_sum_of_its_lots_within_its_range() -> None:
    wide = Estimate(0.5, 0.8, 1.4)
    yard = RICH.buyers[planned.YARD]
    quotes = tuple(replace(q, price=wide) if q.grade == "iron" else q for q in yard.quotes)
    scenario = planned.with_buyer(RICH, planned.YARD, quotes=quotes)
    made = plan(scenario)
    for trip in made.trips:
        for stop in load_sheet(scenario, made, trip.trip).stops:
            assert stop.expected == pytest.approx(math.fsum(lot.amount for lot in stop.lots))
            iron = any(lot.grade == "iron" for lot in stop.lots)
            assert (stop.low < stop.expected < stop.high) if iron else stop.low == pytest.approx(stop.high)
    assert math.fsum(stop.expected for stop in made.stops) == pytest.approx(math.fsum(s.amount for s in made.sales))


def test_a_trip_that_is_not_made_is_refused(best: Plan) -> None:
    with pytest.raises(Refused, match="a trip from 1 to 2"):
        load_sheet(RICH, best, 3)


def test_a_plan_against_itself_changes_nothing(best: Plan) -> None:
    same = changes(best, best)
    assert same.same
    assert (same.money, same.opened, same.sales, same.kept, same.routes) == ((), (), (), (), None)
    assert (same.objective.change, same.bench, same.away) == (0.0, 0.0, 0.0)


def test_at_another_price_the_money_that_changes_is_what_the_plans_say() -> None:
    before = plan(RICH)
    at = quote_at(RICH, "refiner", "aluminium", 3.0)
    after = plan(at(0.1))
    found = changes(before, after)
    assert not found.same
    assert found.objective.change == pytest.approx(after.objective - before.objective)
    assert math.fsum(m.change for m in found.money) == pytest.approx(found.objective.change, abs=0.05)
    gone = next(s for s in found.sales if (s.buyer, s.grade) == ("refiner", "aluminium"))
    assert (gone.before_kg, gone.after_kg, gone.after) == (6.0, 0.0, 0.0)
    stays = next(k for k in found.kept if k.grade == "aluminium")
    assert (stays.before_kg, stays.after_kg) == (0.0, 6.0)
    assert found.routes == (before.routes, after.routes)


def test_with_less_time_at_the_bench_less_is_opened() -> None:
    before = plan(RICH)
    after = plan(replace(RICH, hours=replace(RICH.hours, bench=0.05)))
    found = changes(before, after)
    assert found.bench == pytest.approx(after.hours.bench - before.hours.bench) and found.bench < 0
    assert found.opened and all(line.after < line.before for line in found.opened)
