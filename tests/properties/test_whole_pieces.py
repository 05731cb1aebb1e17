"""Whole finds and heavy pieces are loaded whole: the plan against trying everything, and cases worked out by hand.

The other side is tests/brute.py, which assigns every whole piece to a lot and packs parcels for real.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from drawn_loads import FEATURES, load
from planned import DAY, best, exact, quote
from tried_and_planned import Both, compare, wrong

from partway.actions.plans.plan import plan
from partway.planning.check.verify import verify
from partway.planning.model.highs import EXACT, Solver
from partway.planning.model.milp import formulate
from partway.reports.haul.load_sheet import load_sheet
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

SEEDS = range(240)
BLOCK = 30


@cache
def both(seed: int) -> Both | None:
    """Both answers; None where there is too much to try."""
    return compare(load(seed))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_every_loading_is_worth(first: int) -> None:
    assert wrong(both, range(first, first + BLOCK)) == {}


def test_every_choice_occurs_in_many_scenarios_and_decides_many_plans() -> None:
    seeds = [seed for seed in SEEDS if both(seed) is not None]
    assert len(seeds) >= 200
    count = Counter(name for seed in seeds for name, holds in FEATURES.items() if holds(load(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 25} == {}
    used = Counter(name for seed in seeds for name in means(seed))
    assert {name: n for name, n in used.items() if n < 25} == {}
    assert set(used) == {"a plan that cutting would improve", "pieces on two trips or at two buyers", "a piece kept"}


def means(seed: int) -> list[str]:
    """What the rule does in the best plan of a scenario."""
    answer = both(seed)
    assert answer is not None and answer.plan is not None
    instance, decision = answer.plan
    cut = Solver(formulate(instance, loose=True).linear, options=EXACT).run(30.0, 1e-9).objective
    lots = {(instance.lots[i].buyer, k) for _, i, k in decision.blocks}
    whole = {n for n, node in enumerate(instance.nodes) if node.found}
    facts = {
        "a plan that cutting would improve": cut > answer.planned + 1e-4,
        "pieces on two trips or at two buyers": len(lots) > 1,
        "a piece kept": any(decision.kept[n] for n in whole),
    }
    return [name for name, holds in facts.items() if holds]


# --- by hand ---------------------------------------------------------------------------------------

GRADE = Grade("shell", "appliance shell", "ferrous", exact(1.0))


def fridges(*masses: float, payload: float = 50.0, trips: int = 1, buyers: tuple[Buyer, ...] = ()) -> Scenario:
    """Fridges of these masses, and a yard 5 km away that pays 1 a kg for them."""
    yard = Buyer("yard", "yard", km=5.0, quotes=(quote("shell", 1.0),))
    kind = Anatomy("fridge", "fridge", (Piece("whole", "fridge", exact(80.0), (SaleAs("shell"),)),), ())
    return Scenario(
        name="fridges",
        currency="CAD",
        on=DAY,
        hours=Hours(bench=0.0, away=50.0, wage=0.0, trips=trips),
        vehicle=Vehicle(payload_kg=payload, cost_per_km=0.1),
        buyers=buyers or (yard,),
        finds=tuple(Find("fridge", 1, "no", kg) for kg in masses),
        stock={},
        grades={"shell": GRADE},
        anatomies={"fridge": kind},
        keep_factor=0.5,
    )


@pytest.mark.parametrize("trips", [1, 2])
def test_a_fridge_above_the_payload_stays(trips: int) -> None:
    """50 kg of an 80 kg fridge were sold. By hand: nothing can be sold."""
    report = plan(fridges(80.0, trips=trips))
    assert report.sales == () and report.routes == ()
    assert report.objective == pytest.approx(80.0 * 0.5)  # kept, at half its price
    (kept,) = report.kept
    assert (kept.kind, kept.count, kept.mass_kg) == ("fridge", 1, 80.0)
    assert "too large" in kept.reason
    assert any("Loaded whole" in note and "80.0 kg" in note for note in report.notes)


def test_two_trips_take_what_does_not_fit_one() -> None:
    """30 and 40 kg: together above 50 kg, so each rides by itself. By hand: 70 - 2 x 10 km x 0.1."""
    report = plan(fridges(30.0, 40.0, trips=2))
    assert sorted(sale.mass_kg for sale in report.sales) == [30.0, 40.0]
    assert report.objective == pytest.approx(70.0 - 2.0)


def test_one_trip_takes_the_pieces_that_fill_it_best() -> None:
    """A knapsack by hand: of 30, 28 and 21 kg a load of 50 kg takes 28 + 21, the 30 kg one stays at half its price."""
    instance, found = best(fridges(30.0, 28.0, 21.0))
    assert verify(instance, found.decision).money.total == pytest.approx(49.0 - 1.0 + 15.0)
    loaded = sorted(instance.grade_sales[s].kg for s, _, _ in found.decision.blocks)
    assert loaded == pytest.approx([21.0, 28.0])


def test_stock_fills_the_load_up_to_its_last_kilogram() -> None:
    """Loose material is cut as ever: 30 kg in one piece and 20 of 35 kg of stock."""
    instance, found = best(replace(fridges(30.0), stock={"shell": 35.0}))
    assert list(found.decision.lots.values()) == pytest.approx([50.0])
    assert list(found.decision.kept_kg.values()) == pytest.approx([15.0])
    assert list(found.decision.blocks.values()) == [1]
    verify(instance, found.decision)


def test_a_parcel_holds_whole_pieces_only() -> None:
    """Three of 12 kg are 36 kg, which two parcels of 20 kg have room for; each holds one. By hand: 3 x (24 - 5)."""
    post = Buyer("post", "mail-in", shipping=(Postage(20.0, 5.0),), quotes=(quote("shell", 2.0),))
    instance, found = best(fridges(12.0, 12.0, 12.0, buyers=(post,)))
    assert sum(found.decision.parcels.values()) == 3
    assert verify(instance, found.decision).money.total == pytest.approx(3 * (24.0 - 5.0))


def test_pieces_that_the_parcels_hold_by_mass_and_count_are_packed_for_real() -> None:
    """7.7, 7.7 and 5.2 kg: two parcels of 12.5 kg weigh and count enough, and hold 7.7 + 5.2 = 12.9 in none of them.

    By hand, at 1 a kg: 20.6 in three parcels at 2 is 14.6; 15.4 in two and 5.2 kept at .5 x (1 - 2/12.5) is 13.58.
    """
    post = Buyer("post", "mail-in", shipping=(Postage(12.5, 2.0),), quotes=(quote("shell", 1.0),))
    instance, found = best(fridges(7.7, 7.7, 5.2, buyers=(post,)))
    assert sum(found.decision.parcels.values()) == 3
    assert verify(instance, found.decision).money.total == pytest.approx(14.6)


def test_a_minimum_lot_is_reached_by_whole_pieces_or_not_at_all() -> None:
    """40 kg at least, 30 kg each, 50 kg a load: two are too many and one is too few."""
    yard = Buyer("yard", "yard", km=1.0, quotes=(quote("shell", 5.0, minimum=40.0),))
    _, found = best(fridges(30.0, 30.0, buyers=(yard,)))
    assert found.decision.lots == {} and sum(found.decision.kept) == 2


def test_a_lower_tier_ends_below_the_next_ones_start() -> None:
    """By hand: 50 kg at 2 a kg below 40 kg and 1 from there; kept at half of 2.

    Sold to the last milligram below 40 kg: 2 x 39.999999 + 1 x 10.000001. All 50 kg at 1 would be 50, 40 kg at 2
    nobody pays.
    """
    near = Buyer("near", "yard", km=0.0, quotes=(quote("shell", 2.0), Quote("shell", exact(1.0), DAY, from_kg=40.0)))
    it = replace(fridges(payload=100.0, buyers=(near,)), finds=(), stock={"shell": 50.0})
    report = plan(it)
    (sale,) = report.sales
    assert sale.mass_kg == pytest.approx(39.999999, abs=1e-9) and sale.price_per_kg == 2.0
    assert report.objective == pytest.approx(2 * 39.999999 + 10.000001, abs=1e-9)


def test_a_piece_of_exactly_a_tiers_start_is_paid_that_tier() -> None:
    """One fridge of 40 kg cannot be a milligram lighter: 1 a kg, so it is kept at .5 x 2."""
    near = Buyer("near", "yard", km=0.0, quotes=(quote("shell", 2.0), Quote("shell", exact(0.9), DAY, from_kg=40.0)))
    report = plan(fridges(40.0, buyers=(near,)))
    assert report.sales == () and report.objective == pytest.approx(40.0)
    report = plan(fridges(39.999, buyers=(near,)))
    assert [sale.price_per_kg for sale in report.sales] == [2.0]


def test_pieces_above_the_stated_mass_are_whole_and_lighter_ones_are_loose() -> None:
    """A piece of 30 kg that is no find: whole by default (25 kg), loose where the scenario says 30 kg."""
    scenario = fridges(60.0)
    assert scenario.vehicle is not None
    pieces = (
        Piece("whole", "fridge", exact(80.0)),
        Piece("drum", "drum", exact(80.0), (SaleAs("shell"),)),
    )
    opened = Operation("open", "open", "whole", exact(0.0), (Gives("drum"),))
    scenario = replace(scenario, anatomies={"fridge": Anatomy("fridge", "fridge", pieces, (opened,))})
    assert plan(scenario).sales == () and scenario.vehicle is not None
    assert any("drum of fridge" in note for note in plan(scenario).notes)
    loose = replace(scenario, vehicle=replace(scenario.vehicle, whole_above_kg=60.0))
    assert [sale.mass_kg for sale in plan(loose).sales] == pytest.approx([50.0])


def test_the_sheet_of_a_trip_lists_things_that_are_loaded_whole() -> None:
    scenario = replace(fridges(30.0), stock={"shell": 35.0})
    sheet = load_sheet(scenario, plan(scenario), 1)
    ((lot,),) = (stop.lots for stop in sheet.stops)
    ((thing),) = lot.whole
    assert (thing.name, thing.count) == ("fridge", 1) and thing.mass_kg == pytest.approx(30.0)


def test_what_is_worth_as_much_kept_is_handed_over_where_there_is_room() -> None:
    """A drop-off takes fridges for nothing and they count nothing kept: driven there anyway, they go along."""
    depot = Buyer("depot", "drop-off", km=5.0, quotes=(quote("shell", 0.0), quote("copper", 9.0)))
    copper = Grade("copper", "copper", "copper", exact(1.0))
    it = replace(fridges(30.0, 30.0, buyers=(depot,)), stock={"copper": 10.0})
    _, found = best(replace(it, grades={"shell": GRADE, "copper": copper}))
    assert sum(found.decision.blocks.values()) == 1  # 10 kg of copper and 30 kg of a fridge: no second one
