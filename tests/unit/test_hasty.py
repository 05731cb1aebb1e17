"""What the plan made in haste decides before anything is driven: prices of bins, depths, parts; worked out by hand.

All of it is invented: two yards, mail for boards, an oven that comes apart in six minutes.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import tiny

from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.hasty.bin_prices import BinPrices
from partway.planning.hasty.by_the_unit import sold_by_the_unit
from partway.planning.hasty.first_plan import torn_down
from partway.planning.hasty.teardown import AS_IT_IS, Teardown
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
exact = Estimate.exact
COPPER, LIGHT, IRON, BOARD = "copper-2", "copper-light", "iron", "board"


def yard(name: str, **prices: float) -> Buyer:
    """A yard five kilometres away."""
    quotes = tuple(Quote(grade.replace("_", "-"), exact(price), DAY) for grade, price in prices.items())
    return Buyer(name, "yard", km=5.0, quotes=quotes)


MAIL = Buyer(
    "mail", "mail-in", shipping=(Postage(5.0, 10.0), Postage(20.0, 20.0)), quotes=(Quote(BOARD, exact(8.0), DAY),)
)
YARDS = (yard("harbour", copper_light=4.0, iron=0.5), yard("ridge", copper_light=5.0, iron=0.4, board=3.0))


def shop(**changes: Any) -> Scenario:
    """Ten ovens of 10 kg: iron but for a kilogram of copper, which takes six minutes to get at."""
    names = ((COPPER, (LIGHT,), 1.0), (LIGHT, (), 0.5), (IRON, (), 1.0), (BOARD, (), 1.0))
    pieces = (
        Piece("whole", "oven", exact(10.0), (SaleAs(IRON, 1.0),)),
        Piece("coil", "coil", exact(1.0), (SaleAs(COPPER, 1.0),)),
        Piece("rest", "rest", exact(9.0), (SaleAs(IRON, 1.0),), changes.pop("parts", ())),
    )
    gives = (Gives("coil"), Gives("rest"))
    oven = Anatomy("oven", "oven", pieces, (Operation("open", "open", "whole", exact(6.0), gives),))
    it = Scenario(
        name="shop",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=0.35, away=4.0, wage=6.0, trips=1),
        vehicle=Vehicle(100.0, 100.0, cost_per_km=0.2),
        buyers=(*YARDS, MAIL),
        finds=(Find("oven", 10, "no"),),
        stock={IRON: 40.0, BOARD: 2.0},
        grades={name: Grade(name, name, "metal", exact(density), lower) for name, lower, density in names},
        anatomies={"oven": oven},
        keep_factor=0.5,
    )
    return replace(it, **changes)


def by_grade(instance: Instance, values: Any) -> dict[str, float]:
    return {grade: float(value) for grade, value in zip(instance.grades, values, strict=True)}


def test_a_bin_is_worth_the_best_price_and_by_mail_less_a_full_parcel_s_postage() -> None:
    """Boards: 8.00 by mail less 20.00 / 20 kg; copper by what it may be sold as; iron where it is dearest."""
    instance = build(shop())
    assert by_grade(instance, BinPrices(instance).at(0.0)) == pytest.approx(
        {COPPER: 5.0, LIGHT: 5.0, IRON: 0.5, BOARD: 7.0}
    )


def test_a_load_has_a_price_and_what_is_bulky_pays_more_of_it() -> None:
    """A load of 100 kg or 100 L at 10.00: iron pays 0.10 per kg, light copper of 0.5 kg/L 0.20; boards go by mail."""
    instance = build(shop())
    prices = by_grade(instance, BinPrices(instance).at(10.0))
    assert prices == pytest.approx({COPPER: 4.9, LIGHT: 4.8, IRON: 0.4, BOARD: 7.0})
    assert by_grade(instance, BinPrices(instance).at(1e6)) == pytest.approx(
        {COPPER: 2.5, LIGHT: 2.5, IRON: 0.25, BOARD: 7.0}
    )


@pytest.mark.parametrize(("iron", "expected"), [(40.0, 0.0), (99.0, 25.0), (90.0, 25.0)])
def test_the_price_of_a_load_is_what_the_last_thing_in_it_gains(iron: float, expected: float) -> None:
    """Ten kilograms of copper gain 2.50 each and go first; iron gains 0.25 a kilogram, 25.00 a load, if it fills it."""
    instance = build(shop())
    kg = [{COPPER: 10.0, IRON: iron}.get(grade, 0.0) for grade in instance.grades]
    assert BinPrices(instance).load(kg) == pytest.approx(expected)


def test_hours_go_as_far_as_they_go() -> None:
    """Opening gains 5.00 - 0.50 in six minutes. Of 0.35 hours three ovens are opened; the rest stay."""
    torn = torn_down(build(shop()))
    assert torn.opened == (3,)
    assert torn_down(build(shop(hours=Hours(0.5, 4.0, 6.0, 1)))).opened == (5,)
    assert torn_down(build(shop(hours=Hours(9.0, 4.0, 6.0, 1)))).opened == (10,)
    assert torn_down(build(shop(hours=Hours(9.0, 4.0, 60.0, 1)))).opened == (0,)  # six minutes cost 6.00


def test_what_is_binned_can_be_hauled_and_what_is_not_opened_may_ride_whole() -> None:
    torn = torn_down(build(shop()))
    stock = by_grade(torn.haul, torn.haul.stock)
    assert stock == pytest.approx({COPPER: 3.0, LIGHT: 0.0, IRON: 40.0 + 27.0, BOARD: 2.0})
    assert [node.found for node in torn.haul.nodes] in ([], [7])
    assert not torn.haul.openings


def test_what_rides_whole_is_hauled_as_any_grade_it_may_go_as() -> None:
    """Seven ovens are left, as 10 kg of iron or 1 kg of light copper each; 40 + 27 + 70 = 137 kg of iron could go.

    So could 3 kg of copper out of the other three, and 3 + 7 kg of light copper, as copper goes as that, too.
    """
    it = shop(vehicle=Vehicle(1000.0, 1000.0, cost_per_km=0.2))
    whole, *rest = it.anatomies["oven"].pieces
    either = replace(whole, sells=(*whole.sells, SaleAs(LIGHT, 0.1)))
    torn = torn_down(build(replace(it, anatomies={"oven": replace(it.anatomies["oven"], pieces=(either, *rest))})))
    assert [(node.found, node.most) for node in torn.haul.nodes] == [(7, 7)]
    assert [torn.instance.grade_sales[s].kg for s in torn.ridden] == [10.0, 1.0]
    assert by_grade(torn.haul, torn.haul.supply) == pytest.approx({IRON: 137.0, COPPER: 3.0, LIGHT: 10.0, BOARD: 2.0})


def test_hours_that_parts_of_the_first_look_take_are_theirs_in_the_second() -> None:
    """Two ovens sell as they are, in six minutes each: of a quarter of an hour three minutes are left, too few to open
    one. Without a second look two would be opened first, and none sold.
    """
    it = shop(hours=Hours(0.25, 4.0, 6.0, 1))
    whole, *rest = it.anatomies["oven"].pieces
    sold = replace(whole, parts=(Part(exact(30.0), 1.0, exact(6.0), most=2),))
    torn = torn_down(build(replace(it, anatomies={"oven": replace(it.anatomies["oven"], pieces=(sold, *rest))})))
    assert (torn.opened, torn.parts) == ((0,), (2,))


@pytest.mark.parametrize(("most", "hours", "expected"), [(2, 0.35, 2), (None, 0.35, 3), (2, 9.0, 2), (None, 9.0, 10)])
def test_a_part_is_sold_as_often_as_it_sells(most: int | None, hours: float, expected: int) -> None:
    """The rest of an oven brings 30.00 for sure and takes no time."""
    part = Part(exact(30.0), 1.0, exact(0.0), most=most)
    torn = torn_down(build(shop(parts=(part,), hours=Hours(hours, 4.0, 6.0, 1))))
    assert sum(torn.parts) == expected


def test_parts_that_take_time_and_openings_share_the_hours() -> None:
    part = Part(exact(30.0), 1.0, exact(6.0), most=2)
    instance = build(shop(parts=(part,)))
    torn = torn_down(instance)
    assert sum(torn.parts) >= 1
    assert 0.1 * torn.opened[0] + 0.1 * sum(torn.parts) <= 0.35


@pytest.mark.parametrize(("hours", "expected"), [(0.35, [2, 1]), (0.15, [1, 0]), (9.0, [2, 2]), (0.0, [0, 0])])
def test_parts_take_their_hours_one_after_another_and_the_dearest_come_first(hours: float, expected: list[int]) -> None:
    """Six minutes each; 30.00 and 20.00, of either at most two, out of five rests that stay."""
    parts = tuple(Part(exact(price), 1.0, exact(6.0), name=f"{price:g}", most=2) for price in (30.0, 20.0))
    instance, stay = build(shop(parts=parts)), [0, 0, 5]
    assert sold_by_the_unit(instance, stay, [0.0, 0.0, 0.0], 6.0, hours) == expected
    assert stay == [0, 0, 5 - sum(expected)]


def test_depths_are_those_of_the_dynamic_programme() -> None:
    """At one price by grade and one for an hour, each find is worth what `planning/depth` says, keeping left out."""
    same = 0
    for seed in range(40):
        it = tiny.scenario(seed)
        bare = {k: replace(a, pieces=tuple(replace(p, parts=()) for p in a.pieces)) for k, a in it.anatomies.items()}
        instance = build(replace(it, anatomies=bare))
        finds, terms = Teardown(instance), DepthTerms.expected(instance, 20.0)
        per_kg = np.maximum(terms.per_kg, terms.kept_per_kg)
        values = Programme(instance).values(replace(terms, per_kg=per_kg, kept_per_kg=per_kg))
        opened = finds.at(20.0, values_as_they_are(instance, per_kg[:, 0]))
        assert opened.worth == pytest.approx(values.worth[:, 0].tolist()), seed
        same += any(c != AS_IT_IS for c in opened.choice)
    assert same >= 15


def values_as_they_are(instance: Instance, per_kg: Any) -> list[float]:
    """Each piece at its best sale, straight from the instance; 0 where there is none."""

    def of(s: int) -> float:
        return sum(kg * float(per_kg[grade]) for grade, kg in instance.flows(instance.grade_sales[s]))

    return [max(map(of, sales), default=0.0) for sales in instance.sales_of]
