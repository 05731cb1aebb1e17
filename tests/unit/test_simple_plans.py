"""Plans that need no solver, filled by hand: what gains most over keeping goes first, as far as there is room.

Copper is sold as light copper at 4.00, iron at 0.50, and each is worth half of that kept. All of it is invented.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from partway.planning.check.simple_plans import simple_plans
from partway.planning.check.verify import verify
from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.model.milp import MAIL
from partway.things.anatomy import Anatomy, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact
COPPER, LIGHT, IRON, WASTE = "copper-2", "copper-light", "iron", "residue"


def quote(grade: str, price: float, **has: Any) -> Quote:
    """What is paid per kg."""
    return Quote(grade, exact(price), DAY, **has)


YARD = Buyer("harbour", "yard", km=5.0, quotes=(quote(LIGHT, 4.0), quote(IRON, 0.5)))


def shed(*buyers: Buyer, **changes: Any) -> Scenario:
    """30 kg of copper, 50 kg of iron, and three stoves of 20 kg that are iron by nine tenths."""
    names = (COPPER, (LIGHT,), 1.0), (LIGHT, (), 1.0), (IRON, (), 0.5), (WASTE, (), 1.0)
    stove = Piece("whole", "stove", exact(20.0), (SaleAs(IRON, 0.9),))
    it = Scenario(
        name="shed",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=4.0, wage=6.0, trips=2),
        vehicle=Vehicle(100.0, 200.0, cost_per_km=0.2),
        buyers=buyers or (YARD,),
        finds=(Find("stove", 3, "no"),),
        stock={COPPER: 30.0, IRON: 50.0},
        grades={name: Grade(name, name, "metal", exact(density), lower) for name, lower, density in names},
        anatomies={"stove": Anatomy("stove", "stove", (stove,))},
        keep_factor=0.5,
    )
    return replace(it, **changes)


def plans(scenario: Scenario) -> dict[str, tuple[Instance, Decision]]:
    """Each simple plan by what it does; every one of them passes the check."""
    instance = build(scenario)
    found = dict(simple_plans(instance))
    for decision in found.values():
        verify(instance, decision)
    return {name: (instance, decision) for name, decision in found.items()}


def sold(scenario: Scenario, buyer: str = "harbour") -> dict[str, Any]:
    """Kilograms that go to a buyer, by grade; nothing where no plan sells there."""
    name = f"sell as it is to {buyer}"
    found = plans(scenario)
    if name not in found:
        return {}
    instance, decision = found[name]
    return {instance.grades[instance.lots[i].grade]: pytest.approx(kg) for (i, _, _), kg in decision.lots.items()}


def kept(instance: Instance, decision: Decision) -> dict[str, Any]:
    """Kilograms kept, by grade."""
    return {instance.grades[g]: pytest.approx(kg) for g, kg in decision.kept_kg.items()}


def test_everything_can_be_kept() -> None:
    instance, decision = plans(shed())["keep everything"]
    assert (decision.kept, decision.sold, decision.lots, decision.blocks) == ((3,), (0,), {}, {})
    assert kept(instance, decision) == {COPPER: 30.0, IRON: 50.0}
    assert decision.tours == (None, None) and decision.parcels == {}


def test_one_load_goes_to_one_buyer() -> None:
    """30 kg of copper, all the iron, and of 20 kg and 70 litres that are left one stove of 18 kg and 36 litres."""
    instance, decision = plans(shed())["sell as it is to harbour"]
    assert sold(shed()) == {LIGHT: 30.0, IRON: 68.0}
    assert (decision.sold, decision.kept, list(decision.blocks.values())) == ((1,), (2,), [1])
    ((d, kg),) = decision.downgraded.items()
    assert [instance.grades[g] for g in instance.downgrades[d]] == [COPPER, LIGHT] and kg == 30.0
    assert kept(instance, decision) == {WASTE: 2.0}
    (there, none) = decision.tours
    assert there is not None and none is None
    assert there.stops == (1,) and there.km == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"vehicle": Vehicle(100.0, 100.0)}, {LIGHT: 30.0, IRON: 35.0}),  # 30 litres and 70
        ({"vehicle": Vehicle(60.0, 200.0)}, {LIGHT: 30.0, IRON: 30.0}),
        ({"vehicle": Vehicle(98.0)}, {LIGHT: 30.0, IRON: 68.0}),
        ({"vehicle": Vehicle(97.0)}, {LIGHT: 30.0, IRON: 50.0}),
        ({"vehicle": Vehicle(20.0)}, {LIGHT: 20.0}),
        ({"stock": {}}, {IRON: 54.0}),  # three stoves
        ({"stock": {}, "vehicle": Vehicle(53.0)}, {IRON: 36.0}),
        ({"finds": ()}, {LIGHT: 30.0, IRON: 50.0}),
        ({"stock": {}, "finds": ()}, {}),
    ],
)
def test_a_load_ends_where_the_vehicle_is_full(changes: dict[str, Any], expected: dict[str, float]) -> None:
    assert sold(shed(**changes)) == expected


def test_a_buyer_gets_no_more_than_it_takes() -> None:
    some = replace(YARD, quotes=(quote(LIGHT, 4.0), quote(IRON, 0.5, most_kg=40.0)))
    assert sold(shed(some)) == {LIGHT: 30.0, IRON: 40.0}
    assert sold(shed(some, stock={})) == {IRON: 36.0}


def test_what_is_too_little_for_a_lot_is_left_out() -> None:
    least = replace(YARD, quotes=(quote(LIGHT, 4.0), quote(IRON, 0.5, minimum_kg=69.0)))
    assert sold(shed(least)) == {LIGHT: 30.0}
    assert sold(shed(replace(least, quotes=(quote(LIGHT, 4.0), quote(IRON, 0.5, minimum_kg=68.0))))) == {
        LIGHT: 30.0, IRON: 68.0,
    }  # fmt: skip
    assert sold(shed(replace(YARD, quotes=(quote(IRON, 0.5, minimum_kg=150.0),)))) == {}


def test_a_lot_is_paid_by_the_tier_that_it_reaches() -> None:
    def tier(least: float) -> int:
        buyer = replace(YARD, quotes=(quote(IRON, 0.5), quote(IRON, 0.6, from_kg=least)))
        _, decision = plans(shed(buyer))["sell as it is to harbour"]
        ((_, t, k),) = decision.lots
        assert k == 0
        return t

    assert [tier(60.0), tier(86.0), tier(99.0)] == [1, 1, 0]  # 50 kg and two stoves are 86


def test_what_gains_most_over_keeping_it_goes_first() -> None:
    """At the ridge iron is worth 9, and so is keeping it worth 4.5: at the harbour it is kept for that."""
    ridge = Buyer("ridge", "yard", km=9.0, quotes=(quote(IRON, 9.0),))
    assert sold(shed(YARD, ridge)) == {LIGHT: 30.0}
    assert sold(shed(YARD, ridge, vehicle=Vehicle(60.0)), "ridge") == {IRON: 50.0}
    cheap = replace(YARD, quotes=(quote(LIGHT, 4.0), quote(IRON, 20.0)))
    assert sold(shed(cheap, vehicle=Vehicle(60.0))) == {LIGHT: 10.0, IRON: 50.0}
    even = Buyer("even", "yard", km=9.0, quotes=(quote(IRON, 0.25),))
    assert sold(shed(YARD, even), "even") == {}, "what pays no more than keeping is kept"


def test_a_grade_goes_where_it_is_paid_most_as_itself_or_a_step_lower() -> None:
    for price, expected in ((5.0, {COPPER: 30.0}), (3.0, {LIGHT: 30.0})):
        both = replace(YARD, quotes=(quote(COPPER, price), quote(LIGHT, 4.0)))
        _, decision = plans(shed(both, finds=()))["sell as it is to harbour"]
        assert sold(shed(both, finds=())) == expected
        assert sum(decision.downgraded.values()) == (30.0 if LIGHT in expected else 0.0)


def test_a_find_is_sold_as_what_brings_more_in_all() -> None:
    """18 kg of iron at 0.50, or 2 or 4 of light copper at 4.00, over the better of the two kept: 8 each, or 4.50."""
    for share, expected in ((0.2, {LIGHT: 12.0}), (0.1, {IRON: 54.0})):
        stove = Piece("whole", "stove", exact(20.0), (SaleAs(IRON, 0.9), SaleAs(LIGHT, share)))
        it = shed(stock={}, anatomies={"stove": Anatomy("stove", "stove", (stove,))}, vehicle=Vehicle(100.0))
        assert sold(it) == expected


def test_what_is_left_of_a_find_counts_with_its_sign() -> None:
    """What is left of a stove, 2 kg, costs 8 to be rid of: kept as well as sold, so that it decides nothing."""
    tip = Buyer("tip", "tip", km=3.0, quotes=(quote(WASTE, -4.0),))
    instance, decision = plans(shed(YARD, tip))["sell as it is to harbour"]
    assert kept(instance, decision)[WASTE] == 2.0
    light = Piece("whole", "stove", exact(20.0), (SaleAs(IRON, 0.9), SaleAs(LIGHT, 0.1)))
    dear = shed(YARD, tip, stock={}, anatomies={"stove": Anatomy("stove", "stove", (light,))})
    assert sold(dear) == {IRON: 54.0}, "sold as copper 18 kg would be left, at 4 a kilogram"


@pytest.mark.parametrize(
    ("copper", "parcels"),
    [(30.0, {(0, 0): 3}), (20.0, {(0, 1): 1}), (21.0, {(0, 0): 3}), (9.0, {(0, 0): 1}), (40.0, {(0, 1): 2})],
)
def test_what_is_posted_goes_in_parcels_of_the_one_size_that_costs_least(
    copper: float, parcels: dict[tuple[int, int], int]
) -> None:
    """10 kg for 5 and 20 kg for 8."""
    boards = Buyer("boards", "mail-in", shipping=(Postage(10.0, 5.0), Postage(20.0, 8.0)), quotes=(quote(LIGHT, 4.0),))
    _, decision = plans(shed(boards, stock={COPPER: copper}, vehicle=None))["sell as it is to boards"]
    assert decision.parcels == parcels
    assert {k for _, _, k in decision.lots} == {MAIL}
    assert decision.tours == (None, None)


def test_parcels_hold_more_than_the_vehicle_does() -> None:
    boards = Buyer("boards", "mail-in", shipping=(Postage(10.0, 5.0),), quotes=(quote(IRON, 4.0),))
    assert sold(shed(boards, finds=(), vehicle=Vehicle(5.0, 5.0)), "boards") == {IRON: 50.0}


def test_each_buyer_that_anything_can_be_sold_to_has_a_plan() -> None:
    brass = Buyer("hill", "yard", km=9.0, quotes=(quote(COPPER, 3.0),))
    none = Buyer("none", "yard", km=9.0)
    assert list(plans(shed(YARD, none, brass))) == [
        "keep everything", "sell as it is to harbour", "sell as it is to hill",
    ]  # fmt: skip
