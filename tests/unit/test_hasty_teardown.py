"""What a plan made in haste opens: values, hours and counts worked out by hand on instances of a few numbers.

The rules are ours (src/partway/planning/hasty): no outside source. What comes of the whole is in test_hasty.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from partway.planning.decision import Decision
from partway.planning.hasty.first_plan import TornDown, _supply
from partway.planning.hasty.teardown import AS_IT_IS, Depths, Teardown
from partway.planning.instance.frozen import Cap

# --- what to open ----------------------------------------------------------------------------------------


def opening(node: int, hours: float, *gives: tuple[int, int], cost: float = 0.0) -> Any:
    return SimpleNamespace(node=node, hours=hours, cost=cost, gives=gives)


def finds(found: tuple[int, ...], openings: list[Any], **has: Any) -> Teardown:
    """Pieces by how many were found of each, those further in last; ways are the openings alone."""
    instance: Any = SimpleNamespace(
        nodes=[SimpleNamespace(found=n) for n in found],
        openings=openings,
        part_sales=has.pop("part_sales", []),
        scenario=SimpleNamespace(hours=SimpleNamespace(wage=has.pop("wage", 0.0))),
    )
    it = object.__new__(Teardown)
    ways = {o.node: [(i, -o.cost, o.hours, o.gives)] for i, o in enumerate(openings)}
    vars(it).update(
        instance=instance, ways=ways, order=sorted(ways, reverse=True), finds=[n for n, k in enumerate(found) if k]
    )
    vars(it).update(has)
    return it


def test_ways_are_openings_by_their_cost_and_parts_without_a_limit_by_what_they_bring_sold_or_not() -> None:
    sales = [
        SimpleNamespace(node=node, income=income, unsold_value=unsold, hours=0.2, step=step)
        for node, income, unsold, step in ((0, 9.0, 1.5, None), (0, 8.0, 0.0, None), (1, 7.0, 0.0, 1))
    ]
    instance: Any = SimpleNamespace(
        part_sales=sales, caps=(Cap(2, (1,)),), openings=[opening(0, 0.5, (1, 2), cost=3.0)]
    )
    it = object.__new__(Teardown)
    it.instance = instance
    assert it._ways() == {0: [(0, -3.0, 0.5, ((1, 2),)), (1, 10.5, 0.2, ())]}


@pytest.mark.parametrize(
    ("sales", "whole", "kept", "offered", "expected"),
    [
        ([(2.0, 0, 1.0)], [True], 5.0, 0.0, (5.5, 0)),  # 2 kg at 3.00 less 1 kg of residue at 0.50
        ([(2.0, 0, 1.0)], [True], 5.5, 0.0, (5.5, AS_IT_IS)),
        ([(4.0, 0, 0.0), (2.0, 0, 0.0)], [False, True], 5.0, 0.0, (6.0, 1)),  # what goes whole is not binned
        ([(4.0, 0, 0.0), (2.0, 0, 0.0)], [False, True], 7.0, 0.0, (7.0, AS_IT_IS)),
        ([(2.0, 0, 0.0), (4.0, 0, 0.0)], [False, False], 1.0, 0.0, (12.0, 1)),
        ([(2.0, 0, 0.0)], [False], 20.0, 0.0, (6.0, 0)),  # a piece with nothing else to become is binned
        ([(2.0, 0, 0.0)], [False], 20.0, 0.3, (20.0, AS_IT_IS)),  # one that is on offer is not, if that brings more
        ([(2.0, 0, 0.0)], [False], 5.0, 0.3, (6.0, 0)),
        ([], [], 4.0, 0.0, (4.0, AS_IT_IS)),
    ],
)
def test_a_piece_as_it_is_is_worth_its_best_sale_or_what_it_is_kept_for(
    sales: list[tuple[float, int, float]], whole: list[bool], kept: float, offered: float, expected: tuple[float, int]
) -> None:
    """Sales by kilograms, grade and kilograms of residue; a kilogram of the grade is worth 3.00, of residue -0.50."""
    it = finds((1,), [], whole=whole)
    it.kg, it.left = np.array([s[0] for s in sales]), np.array([s[2] for s in sales])
    it.grade = np.array([s[1] for s in sales], dtype=int)
    node = SimpleNamespace(kept_value=kept, offered=offered)
    it.instance = SimpleNamespace(residue=1, nodes=[node], sales_of=[list(range(len(sales)))])  # type: ignore[assignment]
    assert it.as_it_is(np.array([3.0, -0.5])) == ([expected[0]], [expected[1]])


def test_an_opening_brings_what_each_of_its_pieces_is_worth_at_its_own_best() -> None:
    """At 10.00 an hour. Node 1 opened: 5 - 1 = 4 > 3. Node 0 opened: -1 - 2 + 2 x 4 + 4 = 9, in 0.2 + 2 x 0.1 hours."""
    it = finds(
        (3, 0, 0, 0), [opening(0, 0.2, (1, 2), (2, 1), cost=1.0), opening(1, 0.1, (3, 1)), opening(2, 0.5, (3, 1))]
    )
    at = it.at(10.0, [5.0, 3.0, 4.0, 5.0])
    assert at.worth == pytest.approx([9.0, 4.0, 4.0, 5.0])
    assert at.hours == pytest.approx([0.4, 0.1, 0.0, 0.0])
    assert at.choice == [0, 1, AS_IT_IS, AS_IT_IS]
    assert at.total == pytest.approx(3 * 0.4) and at.value(0) == pytest.approx(13.0)


TWO = [opening(0, 0.1, (2, 1)), opening(1, 0.1, (3, 1))]  # of ten finds each: they gain 20.00 and 30.00 an hour
LEFT = [0.0, 0.0, 2.0, 3.0]


def test_the_price_of_an_hour_is_that_at_which_the_hours_are_used() -> None:
    """In 1.25 hours all ten of the second and two of the first: the price lies at 20.00, known to one in 4096."""
    it = finds((10, 10, 0, 0), TWO)
    long, short = it.within_hours(1.25, LEFT)
    assert (long.total, short.total) == pytest.approx((2.0, 1.0))
    assert long.price <= 20.0 <= short.price + 1e-9 and short.price - long.price <= 20.0 / 4096
    counts = it.counts(1.25, long, short)
    assert (counts.opened, counts.stay) == ([2, 10], [8, 0, 2, 10])
    assert counts.hours_left == pytest.approx(0.05)


@pytest.mark.parametrize(("wage", "opened"), [(0.0, [10, 10]), (25.0, [0, 10]), (35.0, [0, 0])])
def test_where_all_that_pays_its_wage_fits_the_wage_is_the_price(wage: float, opened: list[int]) -> None:
    it = finds((10, 10, 0, 0), TWO, wage=wage)
    long, short = it.within_hours(2.5, LEFT)
    assert long is short and long.price == wage
    assert it.counts(2.5, long, short).opened == opened


def depths(price: float, worth: list[float], hours: list[float], choice: list[int], total: float) -> Depths:
    return Depths(price, worth, hours, choice, total)


def test_hours_that_are_left_go_to_what_gains_most_by_the_hour() -> None:
    """Three hours for two and two that take one each; opened they bring 1 + 5 and 4 + 5 more than as they are."""
    it = finds((2, 2), [opening(0, 1.0), opening(1, 1.0)])
    long = depths(5.0, [1.0, 4.0], [1.0, 1.0], [0, 1], 4.0)
    short = depths(10.0, [0.0, 0.0], [0.0, 0.0], [AS_IT_IS, AS_IT_IS], 0.0)
    counts = it.counts(3.0, long, short)
    assert (counts.opened, counts.stay, counts.hours_left) == ([1, 2], [1, 0], 0.0)


def test_some_of_a_find_are_opened_further_than_the_others_and_what_is_done_to_all_is_added_up() -> None:
    """All three are opened, into two pieces and one that sells by the unit; one find has its pieces opened, too."""
    openings = [opening(0, 1.0, (1, 2), (2, 1)), opening(1, 0.5, (3, 3))]
    it = finds((3, 0, 0, 0), openings, part_sales=[None])
    short = depths(10.0, [5.0, 2.0, 4.0, 1.0], [1.0, 0.0, 0.0, 0.0], [0, AS_IT_IS, 2, AS_IT_IS], 3.0)
    long = depths(5.0, [12.0, 3.0, 4.0, 1.0], [2.0, 0.5, 0.0, 0.0], [0, 1, 2, AS_IT_IS], 6.0)
    counts = it.counts(4.5, long, short)
    assert (counts.opened, counts.parts, counts.stay) == ([3, 2], [3], [0, 4, 0, 6])
    assert counts.hours_left == pytest.approx(0.5)


# --- the plan of everything ------------------------------------------------------------------------------


def test_what_rides_whole_is_added_to_what_was_binned_and_no_longer_kept() -> None:
    """Three of node 0 are binned; of seven of node 1, two go as one grade and one as another."""
    instance: Any = SimpleNamespace(grade_sales=[SimpleNamespace(node=n) for n in (0, 1, 1)])
    torn = TornDown(instance, (4,), (5,), (3, 0, 0), (0, 7), instance, (1, 2))
    haul = Decision((), (2, 1), (), (), {}, {}, {}, (), {}, {(0, 4, 0): 2, (1, 5, 1): 1})
    whole = torn.whole_plan(haul)
    assert (whole.opened, whole.parts, whole.sold, whole.kept) == ((4,), (5,), (3, 2, 1), (0, 4))
    assert whole.blocks == {(1, 4, 0): 2, (2, 5, 1): 1}


def test_the_supply_counts_each_piece_that_is_sold_as_it_is() -> None:
    """10 kg in stock; three pieces of 2 kg with 1 kg of residue, two that stay."""
    instance: Any = SimpleNamespace(stock=[10.0, 0.0], grade_sales=[(0, 2.0)], flows=lambda _: [(0, 2.0), (1, 1.0)])
    assert _supply(instance, [3, 2], [0, AS_IT_IS]) == [16.0, 3.0]
