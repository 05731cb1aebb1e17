"""One plan in three worlds, its money added up by hand; and what the draws of many worlds have in common.

All of it is invented, down to the luck. Where a rule is no definition its source stands beside the check.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from planned import rich_scenario
from scipy import stats

from partway.errors import PlanUnsound
from partway.planning.check.rules.material import grade_inflow
from partway.planning.check.verify import verify
from partway.planning.depth.spread import draw, generator
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import MAIL
from partway.planning.search.search import search
from partway.planning.worlds.again import _different, _planned, scenario_at
from partway.planning.worlds.draws import WorldDraws, draw_worlds
from partway.planning.worlds.fixed import FixedLot, FixedPlan, _upper_first
from partway.planning.worlds.outcome import Outcome, Worlds
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.defaults import KEPT_SHARE
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact
WORLDS = 3
COPPER, IRON, LIGHT, WASTE = "copper-2", "iron", "copper-light", "residue"
WHOLE, MOTOR, CASE = range(3)
PRICES = {
    ("harbour", COPPER, 0.0): [5.0, 4.0, 6.0],
    ("harbour", COPPER, 12.0): [6.0, 5.0, 7.0],
    ("harbour", IRON, 0.0): [0.5, 0.4, 0.6],
    ("harbour", LIGHT, 0.0): [4.0, 3.0, 5.0],
    ("harbour", WASTE, 0.0): [-0.2, -0.1, -0.3],
    ("boards", LIGHT, 0.0): [7.0, 7.5, 4.0],
}
SIZES = [[1.0, 1.2, 0.9], [1.0, 1.5, 0.5], [1.0, 0.9, 1.3]]


def priced(grade: str, price: float, least: float = 0.0) -> Quote:
    """What somebody pays per kg from a lot of so many on."""
    return Quote(grade, exact(price), DAY, from_kg=least)


def drills(**changes: Any) -> Scenario:
    """Two drills of 2 kg, sold whole as iron or opened into a motor, four fifths of it copper, and a case of iron."""
    names = (COPPER, (LIGHT,)), (IRON, ()), (LIGHT, ()), (WASTE, ())
    grades = {name: Grade(name, name, "metal", exact(0.5 if name == IRON else 1.0), lower) for name, lower in names}
    pieces = (
        Piece("whole", "drill", exact(2.0), (SaleAs(IRON),), (Part(exact(50.0), 0.6, exact(10.0), name="drill"),)),
        Piece("motor", "motor", exact(1.0), (SaleAs(COPPER, 0.8),)),
        Piece("case", "case", exact(1.0), (SaleAs(IRON),)),
    )
    operation = Operation("open", "open it", "whole", exact(6.0), (Gives("motor"), Gives("case")), cost=0.5)
    quotes = (
        *(priced(COPPER, price, least) for price, least in ((5.0, 0.0), (6.0, 12.0))),
        *(priced(grade, price) for grade, price in ((IRON, 0.5), (LIGHT, 4.0), (WASTE, -0.2))),
    )
    it = Scenario(
        name="two drills",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=2.0, away=4.0, wage=6.0, trips=2),
        vehicle=Vehicle(payload_kg=50.0, volume_l=100.0, cost_per_km=0.2),
        buyers=(
            Buyer("harbour", "yard", km=5.0, quotes=quotes),
            Buyer("boards", "mail-in", shipping=(Postage(10.0, 5.0),), quotes=(priced(LIGHT, 7.0),)),
        ),
        finds=(Find("drill", 2, "no"),),
        stock={COPPER: 11.4, IRON: 60.0},
        grades=grades,
        anatomies={"drill": Anatomy("drill", "drill", pieces, (operation,))},
        keep_factor=0.5,
    )
    return replace(it, **changes)


def worlds(scenario: Scenario | None = None) -> Worlds:
    """Three worlds that differ in all there is."""
    prices = {key: np.array(it) for key, it in PRICES.items()}
    drawn = WorldDraws(WORLDS, 1, prices, np.array(SIZES), np.array([[1.0, 2.0, 0.5]]), {})
    return Worlds(build(drills() if scenario is None else scenario), drawn)


def lot(instance: Instance, grade: str, share: float, **has: Any) -> FixedLot:
    """A share of a grade to the harbour yard on the first trip, at its first price."""
    return replace(FixedLot(instance.grades.index(grade), ("harbour", grade, 0.0), 0, share), **has)


def plan(*lots: FixedLot, opened: int = 1, parts: int = 0, lowered: Any = (), **changes: Any) -> FixedPlan:
    """One drill opened, its pieces sold, the other kept; 3 for the way, an hour and a quarter of work apart."""
    kept = (2 - opened - parts, 0, 0)
    it = FixedPlan((opened,), (0, opened, opened), (parts,), kept, lots, lowered, -3.0, 1.0, 0.25, (("harbour",),))
    return replace(it, **changes)


def near(found: Any, *expected: float) -> bool:
    """Whether worlds have these figures."""
    return bool(found == pytest.approx(np.array(expected), rel=1e-12, abs=1e-12))


THERE = np.array([12.2, 12.6, 11.8])  # 11.4 kg of copper and 0.8 of a motor, however heavy it is
KEPT_COPPER = np.array([3.25, 3.5, 3.5])  # half of 6.5 and 7 by mail as light copper, of 7 at the yard


def test_hours_are_those_of_the_plan_and_of_each_opening_as_long_as_it_takes() -> None:
    """An hour away, a quarter for parts, and a tenth of an hour for each drill."""
    it = worlds()
    assert near(it.outcome(plan()).hours, 1.35, 1.45, 1.3)
    assert near(it.outcome(plan(opened=2)).hours, 1.45, 1.65, 1.35)
    assert near(it.outcome(plan(opened=0)).hours, 1.25, 1.25, 1.25)


def test_a_plan_is_worth_its_cash_and_what_it_keeps_less_the_wage() -> None:
    outcome = Outcome(np.array([10.0, 1.0]), np.array([2.0, 4.0]), np.array([0.5, 2.0]))
    assert near(outcome.total(6.0), 9.0, -7.0)


def test_nothing_sold_costs_the_way_and_the_opening() -> None:
    it = worlds()
    assert near(it.outcome(plan()).cash, *[-3.5] * 3)
    assert near(it.outcome(plan(opened=2)).cash, *[-4.0] * 3)


def test_what_is_there_is_the_stock_and_what_comes_of_the_pieces() -> None:
    it = worlds()
    grades = it.instance.grades
    there = dict(zip(grades, it.there(plan(opened=1)), strict=True))
    assert near(there[COPPER], *THERE)
    assert near(there[IRON], 61.0, 60.9, 61.3)
    assert near(there[WASTE], 0.2, 0.3, 0.1)
    assert near(it.there(plan(opened=2))[grades.index(COPPER)], 13.0, 13.8, 12.2)


@pytest.mark.parametrize(
    ("least", "share", "kg", "price"),
    [
        (0.0, 1.0, THERE, (6.0, 5.0, 6.0)),  # 11.8 kg reach the first price alone
        (0.0, 0.5, THERE / 2.0, (5.0, 4.0, 6.0)),
        (12.0, 0.97, (12.0, 12.222, 11.8), (6.0, 5.0, 6.0)),  # filled up to its tier as far as there is any
        (12.0, 0.5, (12.0, 12.0, 11.8), (6.0, 5.0, 6.0)),
    ],
)
def test_a_lot_is_a_share_of_what_is_there_filled_up_to_its_tier(
    least: float, share: float, kg: Any, price: tuple[float, ...]
) -> None:
    it = worlds()
    copper = lot(it.instance, COPPER, share, quote=("harbour", COPPER, least))
    sold = np.array(kg) * np.array(price)
    assert near(it.outcome(plan(copper)).cash, *(sold - 3.5))
    left = (THERE - kg) * KEPT_COPPER + 0.5 * np.array([61.0, 60.9, 61.3]) * (0.5, 0.4, 0.6)
    waste = np.array([0.2, 0.3, 0.1]) * PRICES["harbour", WASTE, 0.0] * 0.5
    whole = 2.0 * np.array(SIZES[WHOLE]) * (0.5, 0.4, 0.6) * 0.5
    assert near(it.outcome(plan(copper)).kept, *(left + waste + whole))


def test_what_reaches_no_tier_comes_home_again() -> None:
    """Nobody has a price below 12 kg."""
    it = drills()
    quotes = tuple(q for q in it.buyers[0].quotes if q.grade != COPPER or q.from_kg)
    there = worlds(replace(it, buyers=(replace(it.buyers[0], quotes=quotes), *it.buyers[1:])))
    copper = lot(there.instance, COPPER, 1.0, quote=("harbour", COPPER, 12.0))
    assert near(there.outcome(plan(copper)).cash, 12.2 * 6.0 - 3.5, 12.6 * 5.0 - 3.5, -3.5)
    nothing = there.outcome(plan()).kept - there.outcome(plan(copper)).kept
    assert near(nothing, 12.2 * KEPT_COPPER[0], 12.6 * KEPT_COPPER[1], 0.0)


def test_what_is_lowered_is_sold_as_the_lower_grade() -> None:
    it = worlds()
    upper, lower = (it.instance.grades.index(grade) for grade in (COPPER, LIGHT))
    outcome = it.outcome(plan(lot(it.instance, LIGHT, 0.5), lowered=((upper, lower, 0.1),)))
    assert near(outcome.cash, *(THERE * 0.05 * (4.0, 3.0, 5.0) - 3.5))
    same = it.outcome(plan()).kept
    light = np.maximum(4.0, np.array([7.0, 7.5, 4.0]) - 0.5), np.array([4.0, 3.0, 5.0])
    kept = np.maximum(*(np.maximum(one, np.array([4.0, 3.0, 5.0])) for one in light)) * 0.5
    copper = np.maximum(np.array([6.0, 5.0, 7.0]) * 0.5, kept)
    assert near(same - outcome.kept, *(THERE * 0.1 * copper - THERE * 0.05 * kept))


def test_pieces_that_are_counted_bring_what_they_bring_however_heavy_they_are() -> None:
    """A lot of iron in which 4 kg of cases bring 30 in all: their kilograms, 1 or 0.9 or 1.3 times as many, do not."""
    it = worlds()
    iron = lot(it.instance, IRON, 1.0, counted=((CASE, 4.0, 30.0),))
    sold = (np.array([61.0, 60.9, 61.3]) - 4.0 * np.array(SIZES[CASE])) * (0.5, 0.4, 0.6) + 30.0
    assert near(it.outcome(plan(iron)).cash, *(sold - 3.5))


def test_what_each_buyer_pays_on_each_trip() -> None:
    it = worlds()
    copper, iron = (lot(it.instance, grade, 0.5) for grade in (COPPER, IRON))
    light = replace(lot(it.instance, LIGHT, 1.0), quote=("boards", LIGHT, 0.0), trip=MAIL)
    upper, lower = (it.instance.grades.index(grade) for grade in (COPPER, LIGHT))
    found = it.stops(plan(copper, iron, replace(iron, trip=1), light, lowered=((upper, lower, 0.25),)))
    cases = 0.5 * np.array([61.0, 60.9, 61.3]) * (0.5, 0.4, 0.6)
    assert sorted(found) == [("boards", MAIL), ("harbour", 0), ("harbour", 1)]
    assert near(found["harbour", 0], *(THERE / 2.0 * (5.0, 4.0, 6.0) + cases))
    assert near(found["harbour", 1], *cases)
    assert near(found["boards", MAIL], *(0.25 * THERE * (7.0, 7.5, 4.0)))


# --- parts -------------------------------------------------------------------------------------------


def test_a_part_brings_what_it_does_on_average_and_is_kept_where_it_does_not_sell() -> None:
    """Two drills at 50 that six in ten buy: 60; 0.8 of a drill is left, 2 kg of iron at half its price."""
    it = worlds()
    outcome = it.outcome(plan(opened=0, parts=2), lucky=False)
    assert near(outcome.cash, *[57.0] * 3)
    nothing = it.outcome(plan(opened=0, parts=2, kept=(0, 0, 0)), lucky=False).kept
    assert near(outcome.kept, *nothing)
    none = it.outcome(plan(opened=0, kept=(0, 0, 0)), lucky=False).kept
    assert near(outcome.kept - none, *(2 * 0.4 * 2.0 * np.array(SIZES[WHOLE]) * (0.25, 0.2, 0.3)))


def lucky(n: int, units: int, **changes: Any) -> np.ndarray:
    """What parts bring in so many worlds, luck and all, over what all of them together bring at their price."""
    it = drills()
    whole, *others = it.anatomies["drill"].pieces
    whole = replace(whole, parts=(replace(whole.parts[0], **changes),))
    anatomy = replace(it.anatomies["drill"], pieces=(whole, *others))
    instance = build(replace(it, anatomies={"drill": anatomy}))
    found = Worlds(instance, draw_worlds(instance, n)).outcome(plan(opened=0, parts=units)).cash + 3.0
    brings: np.ndarray = found / whole.parts[0].if_sold
    return brings


def test_with_luck_each_unit_sells_or_it_does_not() -> None:
    """A binomial of 3 units and six in ten: its mean is 1.8 and its variance 3 x 0.6 x 0.4."""
    sold = lucky(20_000, 3)
    assert set(np.round(sold, 9).tolist()) == {0.0, 1.0, 2.0, 3.0}
    assert sold.mean() == pytest.approx(1.8, abs=0.03)
    assert sold.var() == pytest.approx(0.72, abs=0.03)


def test_what_is_sure_to_sell_varies_with_its_price_alone_and_all_units_alike() -> None:
    price = Estimate(40.0, 50.0, 90.0)
    sold = lucky(50, 2, chance=1.0, price=price)
    drawn = draw(price, 50, generator(20260314, "luck", "drill", "whole", "drill", "None"))
    assert sold == pytest.approx(2.0 * drawn / price.mean)


def test_what_never_sells_brings_nothing() -> None:
    assert near(lucky(3, 2, chance=0.0), 0.0, 0.0, 0.0)


def test_a_part_priced_in_copper_moves_with_the_best_price_of_copper() -> None:
    """Ten times a kilogram, at six in ten; copper is 7 by mail and as light copper, less 0.50 a kilogram: 6.5 today."""
    it = drills()
    whole, *others = it.anatomies["drill"].pieces
    whole = replace(whole, parts=(replace(whole.parts[0], in_copper=True, price=exact(10.0)),))
    there = worlds(replace(it, anatomies={"drill": replace(it.anatomies["drill"], pieces=(whole, *others))}))
    assert near(there.outcome(plan(opened=0, parts=1), lucky=False).cash + 3.0, *(6.0 * np.array([6.5, 7.0, 7.0])))


# --- kept --------------------------------------------------------------------------------------------


def test_at_home_everything_is_kept_as_it_is() -> None:
    """11.4 kg of copper as light copper by mail, 60 of iron and two drills, all at half their price."""
    copper = 11.4 * np.maximum([6.0, 5.0, 7.0], np.array([6.5, 7.0, 5.0])) * 0.5
    iron = (60.0 + 2 * 2.0 * np.array(SIZES[WHOLE])) * (0.25, 0.2, 0.3)
    assert near(worlds().at_home(), *(copper + iron))


def test_a_piece_is_kept_as_what_is_worth_most_there_and_a_piece_that_is_charged_for_in_full() -> None:
    """Half of a drill is copper, or all of it iron; the other half of the copper is waste."""
    it = drills()
    whole, *others = it.anatomies["drill"].pieces
    for sells in ((SaleAs(COPPER, 0.5), SaleAs(IRON)), (SaleAs(IRON), SaleAs(COPPER, 0.5))):
        drill = replace(it.anatomies["drill"], pieces=(replace(whole, sells=sells), *others))
        there = worlds(replace(it, anatomies={"drill": drill}, stock={}))
        one = KEPT_COPPER + 0.5 * np.array(PRICES["harbour", WASTE, 0.0])
        assert near(there.at_home(), *(2 * np.array(SIZES[WHOLE]) * one))
    drill = replace(it.anatomies["drill"], pieces=(replace(whole, sells=(SaleAs(WASTE),)), *others))
    there = worlds(replace(it, anatomies={"drill": drill}, stock={}))
    assert near(there.at_home(), *(2 * 2.0 * np.array(SIZES[WHOLE]) * PRICES["harbour", WASTE, 0.0] * 0.5))


def test_without_a_keep_factor_a_charge_counts_in_full_and_a_price_a_little_less() -> None:
    """And less the room that it takes until it is driven there, as the instance has it for its own prices."""
    it = worlds(drills(keep_factor=None, finds=(), stock={IRON: 10.0, WASTE: 5.0}))
    market = it.instance.market
    room = {g: market.room_for(market.offers[g][0]) for g in (IRON, WASTE)}
    iron = 10.0 * (KEPT_SHARE * np.array([0.5, 0.4, 0.6]) - room[IRON])
    waste = 5.0 * (np.array([-0.2, -0.1, -0.3]) - room[WASTE])
    assert near(it.at_home(), *(iron + waste))


def test_what_nobody_quotes_takes_room_and_brings_nothing() -> None:
    it = drills(keep_factor=None, finds=(), stock={"brass": 10.0})
    it = replace(it, grades={**it.grades, "brass": Grade("brass", "brass", "metal", exact(2.0))})
    there = worlds(it)
    assert near(there.at_home(), *[-10.0 * there.instance.market.room_price("brass")] * 3)


def test_a_find_on_offer_sells_as_often_as_its_instance_has_it_or_is_kept() -> None:
    """Six in ten sell at 50, the others are 2 kg of iron at half its price."""
    there = worlds(drills(finds=(Find("drill", 1, "no", listed=1),), stock={}))
    assert near(there.at_home(), *(0.6 * 50.0 + 0.4 * 2.0 * np.array(SIZES[WHOLE]) * (0.25, 0.2, 0.3)))


# --- what fits ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("grade", "share", "fits"),
    [
        (IRON, 50.9 / 61.0667, True),  # 51 kg of iron are 102 litres of 100
        (IRON, 51.1 / 61.0667, False),
    ],
)
def test_a_load_is_made_to_fit_where_it_is_two_hundredths_over(grade: str, share: float, fits: bool) -> None:
    it = worlds(drills(vehicle=Vehicle(payload_kg=500.0, volume_l=100.0)))
    assert it.carries(plan(lot(it.instance, grade, share))) == fits


def test_a_trip_carries_all_its_lots_each_trip_its_own_and_the_mail_carries_itself() -> None:
    it = worlds(drills(vehicle=Vehicle(payload_kg=50.0)))
    half = lot(it.instance, IRON, 0.45)
    copper = [lot(it.instance, COPPER, 1.0, trip=trip) for trip in (0, 1)]
    assert it.carries(plan(half, copper[0]))  # 27.5 and 12.2
    assert not it.carries(plan(half, half))  # 55
    assert it.carries(plan(half, replace(half, trip=1), copper[1]))
    assert it.carries(plan(replace(half, trip=MAIL), replace(half, trip=MAIL), half))
    assert worlds(drills(vehicle=None)).carries(plan(half, half))


# --- draws -------------------------------------------------------------------------------------------

MANY = 20_000
RANGE = Estimate(4.0, 5.0, 9.0)


def ranged() -> Scenario:
    """Two yards whose prices have a range, one of them by two tiers, and two kinds whose masses and minutes do."""
    it = drills()
    whole, motor, case = it.anatomies["drill"].pieces
    pieces = (replace(whole, mass=Estimate(1.5, 2.0, 3.0)), replace(motor, mass=Estimate(0.5, 1.0, 1.2)), case)
    opening = replace(it.anatomies["drill"].operations[0], minutes=Estimate(3.0, 6.0, 20.0))
    drill, fan = (Anatomy(kind, kind, pieces, (opening,)) for kind in ("drill", "fan"))
    quotes = tuple(replace(q, price=RANGE) if q.grade == COPPER else q for q in it.buyers[0].quotes)
    harbour = replace(it.buyers[0], quotes=quotes)
    ridge = Buyer("ridge", "yard", km=5.0, quotes=(Quote(COPPER, Estimate(3.0, 6.0, 7.0), DAY),))
    finds = Find("drill", 1, "no"), Find("fan", 1, "no", mass_kg=2.4), Find("fan", 1, "no")
    return replace(it, buyers=(harbour, ridge), finds=finds, anatomies={"drill": drill, "fan": fan})


def test_prices_of_two_buyers_share_six_tenths_of_their_spread_and_tiers_of_one_all() -> None:
    """The correlation of two normal scores with a common part of a weight is that weight."""
    drawn = draw_worlds(build(ranged()), MANY)
    harbour, ridge = (drawn.unknowns["price", buyer, COPPER] for buyer in ("harbour", "ridge"))
    assert np.corrcoef(harbour, ridge)[0, 1] == pytest.approx(0.6, abs=0.02)
    assert [harbour.mean(), ridge.mean(), harbour.var()] == pytest.approx([0.0, 0.0, 1.0], abs=0.04)
    one, tier = (drawn.prices["harbour", COPPER, least] for least in (0.0, 12.0))
    assert (np.argsort(one) == np.argsort(tier)).all() and (np.argsort(one) == np.argsort(harbour)).all()
    assert one.mean() == pytest.approx(RANGE.mean, abs=0.03)
    assert (drawn.prices["harbour", IRON, 0.0] == 0.5).all()
    assert ("price", "harbour", IRON) not in drawn.unknowns


def test_half_of_the_spread_of_minutes_is_that_of_the_hands() -> None:
    """Spearman's rank correlation of two normals is 6/pi asin(r/2): Kruskal, J. American Statistical Association 53,
    1958.
    """
    drawn = draw_worlds(build(ranged()), MANY)
    drill, fan, again = drawn.minutes
    assert stats.spearmanr(drill, fan).statistic == pytest.approx(6.0 / np.pi * np.arcsin(0.25), abs=0.02)
    assert (fan == again).all(), "one kind is opened alike whatever the find weighs"
    assert [drill.mean(), fan.mean()] == pytest.approx([1.0, 1.0], abs=0.02)
    assert drill.max() <= 20.0 / (47.0 / 6.0) and drill.min() >= 3.0 / (47.0 / 6.0)


def test_what_takes_no_time_takes_none_in_any_world() -> None:
    it = ranged()
    quick = {k: replace(a, operations=(replace(a.operations[0], minutes=exact(0.0)),)) for k, a in it.anatomies.items()}
    assert (draw_worlds(build(replace(it, anatomies=quick)), 9).minutes == 1.0).all()


def test_what_may_be_found_out_are_prices_in_a_range_and_masses_that_were_not_weighed() -> None:
    it = ranged()
    assert sorted(draw_worlds(build(it), 9).unknowns) == [
        ("mass", "drill"), ("mass", "fan"), ("price", "harbour", COPPER), ("price", "ridge", COPPER),
    ]  # fmt: skip
    weighed = replace(it, finds=(it.finds[1], replace(it.finds[0], mass_kg=2.0)))
    assert not any(name[0] == "mass" for name in draw_worlds(build(weighed), 9).unknowns)


def test_of_one_decision_only_what_it_opens_is_drawn() -> None:
    """The drill is opened, the fans are not: their pieces and minutes stay as they are on average."""
    instance = build(ranged())
    drawn = draw_worlds(instance, 50)
    some = draw_worlds(instance, 50, only=SimpleNamespace(opened=(2, 0, 0)))  # type: ignore[arg-type]
    assert (some.minutes[0] == drawn.minutes[0]).all() and (some.minutes[1:] == 1.0).all()
    assert (some.sizes[:3] == drawn.sizes[:3]).all()
    kinds = [(instance.groups[n.group].find.kind, n.piece.id, n.found) for n in instance.nodes]
    for (kind, _, found), row, full in zip(kinds, some.sizes, drawn.sizes, strict=True):
        assert (row == full).all() if kind == "drill" or found else (row == 1.0).all()
    assert set(some.unknowns) == set(drawn.unknowns)


# --- again -------------------------------------------------------------------------------------------


def test_a_world_has_the_prices_and_masses_drawn_there_and_no_ranges() -> None:
    """The kind's masses are those of the fan that nobody weighed; the room costs what it did."""
    instance = build(replace(ranged(), keep_factor=None))
    drawn = draw_worlds(instance, 5)
    there = scenario_at(instance, drawn, 3)
    for buyer in there.buyers:
        for quote in buyer.quotes:
            assert quote.price == exact(float(drawn.prices[buyer.id, quote.grade, quote.least_kg][3]))
    assert there.room == instance.market.room is not None
    for n, node in enumerate(instance.nodes):
        group = instance.groups[node.group]
        if group.find.mass_kg is None:
            piece = there.anatomies[group.find.kind].piece(node.piece.id)
            assert piece.mass == exact(node.piece.mass.mean * float(drawn.sizes[n, 3]))


def test_a_plan_made_again_in_another_shape_is_refused() -> None:
    instance = build(ranged())
    fewer = replace(instance, openings=instance.openings[:-1])
    with pytest.raises(PlanUnsound, match="other grades or pieces"):
        _planned(fewer, draw_worlds(instance, 2), 0, 1.0)


def test_of_plans_that_do_the_same_one_is_left_the_decided_first_and_the_most_frequent_next() -> None:
    def left(*what: str) -> list[Any]:
        plans: list[Any] = [SimpleNamespace(does=one, number=n) for n, one in enumerate(what)]
        different: list[Any] = list(_different(plans))
        return [(plan.does, plan.number) for plan in different]

    plans = "stay", "ridge", "harbour", "stay", "ridge", "harbour", "harbour"
    assert left(*plans) == [("stay", 0), ("harbour", 2), ("ridge", 1)]
    assert left("stay") == [("stay", 0)]


# --- fixed -------------------------------------------------------------------------------------------


def test_a_fixed_plan_is_a_decision_in_shares() -> None:
    """Each share times what is there of its grade is what was decided: of the best plan of one rich situation."""
    instance = build(rich_scenario())
    checked = verify(instance, search(instance, 300.0, 1e-9).decision)
    decision, fixed = checked.decision, FixedPlan.of(instance, checked)
    assert (fixed.opened, fixed.sold, fixed.parts, fixed.kept) == (
        decision.opened, decision.sold, decision.parts, decision.kept,
    )  # fmt: skip
    assert fixed.costs == pytest.approx(checked.money.shipping + checked.money.driving)
    assert fixed.away == checked.away_hours
    assert fixed.parts_hours == pytest.approx(sum(decision.parts) * 10.0 / 60.0)
    there = dict(zip(instance.grades, grade_inflow(instance, decision), strict=True))
    ((upper, lower, share),) = fixed.lowered
    assert (instance.grades[upper], instance.grades[lower]) == (COPPER, LIGHT)
    there[LIGHT] += there[COPPER] * share
    for made, ((i, t, k), kg) in zip(fixed.lots, decision.lots.items(), strict=True):
        quote = instance.lots[i].tiers[t].quote
        assert made.quote == (instance.buyers[instance.lots[i].buyer].id, quote.grade, quote.least_kg)
        assert (instance.grades[made.grade], made.trip, made.counted) == (quote.grade, k, ())
        assert made.share * there[quote.grade] == pytest.approx(kg)
    driven = [tuple(instance.buyers[instance.buyer_at[s]].id for s in tour.stops) for tour in decision.tours if tour]
    assert fixed.stops == tuple(driven)
    opened = tuple(o for o, times in enumerate(decision.opened) if times)
    parts = tuple(p for p, units in enumerate(decision.parts) if units)
    assert opened and parts
    assert fixed.does == (fixed.stops, opened, parts, {(it.grade, it.quote[0]) for it in fixed.lots})


def test_a_grade_flows_on_when_all_that_flows_into_it_is_there() -> None:
    arcs = [(0, (2, 3)), (1, (1, 2)), (2, (0, 2)), (3, (0, 1))]
    assert [d for d, _ in _upper_first(arcs)] == [2, 3, 1, 0] or [d for d, _ in _upper_first(arcs)] == [3, 1, 2, 0]
    assert _upper_first([]) == []
