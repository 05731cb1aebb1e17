"""What a plan made in haste takes a kilogram for, and what it sells by the unit: worked out by hand on a few numbers.

The rules are ours (src/partway/planning/hasty): no outside source but the fractional knapsack (Dantzig 1957), whose
answer for two or three things is worked out beside the case. What comes of the whole is in test_hasty.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any

import pytest

from partway.planning.hasty.bin_prices import BinPrices
from partway.planning.hasty.by_the_unit import capped, sold_by_the_unit
from partway.planning.instance.frozen import Cap
from partway.things.scenario import Postage

# --- what a kilogram is worth ----------------------------------------------------------------------------

POST = (Postage(5.0, 10.0), Postage(20.0, 20.0))  # a full parcel costs 1.00 a kilogram


def bins(
    lots: Sequence[tuple[int, int | None, tuple[float, ...]]],
    kept: tuple[float, ...],
    litres: tuple[float, ...] = (1.0, 1.0, 1.0),
    vehicle: tuple[float, float | None] | None = (100.0, 100.0),
    **changes: Any,
) -> BinPrices:
    """Lots by grade, place (None for the post) and the price of each step; a vehicle by its kilograms and litres."""
    van = None if vehicle is None else SimpleNamespace(payload_kg=vehicle[0], volume_l=vehicle[1])
    hours = SimpleNamespace(trips=changes.pop("trips", 1))
    instance: Any = SimpleNamespace(
        kept_price=kept,
        grades=list(kept),
        lots=[
            SimpleNamespace(grade=g, buyer=i, tiers=[SimpleNamespace(price=price) for price in prices])
            for i, (g, _, prices) in enumerate(lots)
        ],
        stops=[place for _, place, _ in lots],
        buyers=[SimpleNamespace(shipping=POST)] * len(lots),
        downgrades=changes.pop("downgrades", ()),
        litres_per_kg=litres[: len(kept)],
        scenario=SimpleNamespace(vehicle=van, hours=hours),
    )
    return BinPrices(instance)


def test_a_lot_counts_at_its_dearest_step_driven_and_posted() -> None:
    assert bins([(0, 1, (2.0, 3.0, 2.5))], (0.5,)).at(0.0).tolist() == [3.0]
    assert bins([(0, None, (4.0, 6.0))], (0.5,)).at(0.0).tolist() == [5.0], "6.00 less 1.00 of postage"
    assert bins([(0, None, (1.2,))], (0.5,)).at(0.0).tolist() == [0.5], "kept it is worth more than 0.20"


@pytest.mark.parametrize("place", [1, None])
@pytest.mark.parametrize("arcs", [((0, 1), (1, 2)), ((1, 2), (0, 1))])
def test_what_may_be_sold_as_something_that_may_be_sold_as_a_third_is_worth_the_third(
    place: int | None, arcs: tuple[tuple[int, int], ...]
) -> None:
    """In whichever order that is said; not the other way round."""
    price = 4.0 if place else 5.0  # posted, 1.00 of it is postage
    assert bins([(2, place, (price,))], (0.5,) * 3, downgrades=arcs).at(0.0).tolist() == [4.0] * 3
    assert bins([(0, place, (price,))], (0.5,) * 3, downgrades=arcs).at(0.0).tolist() == [4.0, 0.5, 0.5]


def test_a_share_of_a_load_is_by_mass_or_volume_whichever_is_more() -> None:
    """Of 100 kg and 50 L: a kilogram of 0.2 L is 1 in 100, one of 2 L is 4 in 100."""
    lots = [(0, 1, (9.0,)), (1, 1, (9.0,))]
    assert bins(lots, (0.0, 0.0), (0.2, 2.0), (100.0, 50.0)).share.tolist() == pytest.approx([0.01, 0.04])
    assert bins(lots, (0.0, 0.0), (0.2, 2.0), (100.0, None)).share.tolist() == pytest.approx([0.01, 0.01])


def test_without_a_vehicle_a_load_has_no_price() -> None:
    posted = bins([(0, None, (6.0,))], (0.5,), vehicle=None)
    assert posted.at(0.0).tolist() == posted.at(1e6).tolist() == [5.0] and posted.load([10.0]) == 0.0
    assert posted.share.tolist() == [0.0]


@pytest.mark.parametrize(("kg", "trips", "expected"), [
    ((60.0, 20.0, 0.0), 1, 100.0),  # 0.6 of a load, then 0.8: the bulky one fills it
    ((120.0, 20.0, 0.0), 1, 300.0),
    ((60.0, 20.0, 0.0), 2, 0.0),  # 1.4 of 2
    ((160.0, 20.0, 0.0), 2, 100.0),
    ((60.0, 0.0, 100.0), 1, 0.0),  # what loses by being driven takes no place
    ((0.0, 30.0, 0.0), 1, 100.0),
])  # fmt: skip
def test_the_last_place_in_a_load_goes_by_gain_for_its_share(
    kg: tuple[float, ...], trips: int, expected: float
) -> None:
    """A kilogram of the first gains 3.00 for 0.01 of a load, of the second 4.00 for 0.04; the third loses 1.00."""
    lots = [(0, 1, (3.5,)), (1, 1, (4.5,)), (2, 1, (1.0,))]
    prices = bins(lots, (0.5, 0.5, 2.0), (0.1, 4.0, 0.1), trips=trips)
    assert prices.load(kg) == pytest.approx(expected)


# --- by the unit -----------------------------------------------------------------------------------------


def parts(*sales: tuple[int, float, float, float, int | None], caps: tuple[Cap, ...] = (), share: float = 1.0) -> Any:
    """Part sales by node, income, worth unsold, hours and step."""
    names = ("node", "income", "unsold_value", "hours", "step")
    return SimpleNamespace(
        part_sales=[SimpleNamespace(**dict(zip(names, sale, strict=True))) for sale in sales],
        caps=caps,
        units=lambda _: share,
    )


@pytest.mark.parametrize(
    ("income", "unsold", "as_it_is", "hour", "sold"),
    [
        (5.0, 2.0, 6.0, 5.0, 1),  # 5 + 2 - 6 - 0.5 = 0.5
        (5.0, 0.0, 6.0, 5.0, 0),
        (5.0, 2.0, 7.0, 5.0, 0),
        (5.0, 2.0, 6.0, 11.0, 0),
        (5.0, 2.0, 6.5, 5.0, 0),  # just as much
        (5.0, 2.0, 6.5, 4.0, 1),
    ],
)
def test_one_is_sold_by_the_unit_where_that_brings_more_than_leaving_it(
    income: float, unsold: float, as_it_is: float, hour: float, sold: int
) -> None:
    """It takes 0.1 hours."""
    instance = parts((0, income, unsold, 0.1, None), caps=(Cap(1, (0,)),))
    stay = [3]
    assert sold_by_the_unit(instance, stay, [as_it_is], hour, 9.0) == [sold]
    assert stay == [3 - sold]


@pytest.mark.parametrize(("share", "expected"), [(1.0, [2, 0]), (0.5, [3, 1]), (0.25, [3, 3])])
def test_what_only_some_finds_have_counts_by_its_share_in_a_cap_of_several(share: float, expected: list[int]) -> None:
    """At most 2 of both, of three pieces each: of halves 3 are 1.5, which leaves one more."""
    instance = parts((0, 9.0, 0.0, 0.0, None), (1, 8.0, 0.0, 0.0, None), caps=(Cap(2, (0, 1)),), share=share)
    assert sold_by_the_unit(instance, [3, 3], [0.0, 0.0], 0.0, 0.0) == expected


@pytest.mark.parametrize(("share", "expected"), [(1.0, 1), (0.5, 2), (0.4, 2)])
def test_a_step_is_of_one_unit(share: float, expected: int) -> None:
    assert sold_by_the_unit(parts((0, 9.0, 0.0, 0.0, 0), share=share), [5], [0.0], 0.0, 0.0) == [expected]


def test_steps_and_what_has_a_cap_are_limited_and_nothing_else() -> None:
    instance = parts(*((0, 1.0, 0.0, 0.0, step) for step in (None, 0, None)), caps=(Cap(2, (2,)),))
    assert capped(instance) == [False, True, True]
    assert sold_by_the_unit(instance, [9], [0.0], 0.0, 0.0)[0] == 0, "what is not limited is decided elsewhere"


@pytest.mark.parametrize(("hours", "expected"), [(-0.5, [0, 2]), (0.05, [0, 2]), (0.1, [1, 2]), (0.25, [2, 2])])
def test_hours_that_are_over_keep_what_takes_none(hours: float, expected: list[int]) -> None:
    """Three of each node; the first takes 0.1 hours."""
    caps = (Cap(2, (0,)), Cap(2, (1,)))
    instance = parts((0, 9.0, 0.0, 0.1, None), (1, 8.0, 0.0, 0.0, None), caps=caps)
    assert sold_by_the_unit(instance, [3, 3], [0.0, 0.0], 0.0, hours) == expected
