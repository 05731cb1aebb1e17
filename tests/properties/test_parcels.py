"""The cheapest parcels of one lot, against trying every number of each; from what mass posting pays."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from posting import enumerated

from partway.planning.instance.parcels import cheapest, for_lot, net_per_kg, pays_from
from partway.things.scenario import Postage

LB = 0.45359237  # kg, exactly: the yard and pound agreement of 1959
SIZES = (0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 20.0, 10 * LB, 40 * LB)

steps = st.lists(
    st.builds(Postage, st.sampled_from(SIZES), st.integers(0, 80).map(lambda quarter: quarter / 4)),
    min_size=1,
    max_size=4,
    unique_by=lambda step: step.up_to_kg,
).map(tuple)
masses = st.integers(1, 6_000_000).map(lambda half: 2 * half / 1e6)  # kg, in whole milligrams also by halves
prices = st.integers(0, 80).map(lambda quarter: quarter / 4)


def drawn(count: int) -> list[tuple[tuple[Postage, ...], float]]:
    """Steps and a mass, some of it exactly what parcels hold."""
    rng = random.Random(15)
    cases = []
    for _ in range(count):
        sizes = sorted(rng.sample(SIZES[2:], rng.randint(1, 3)))
        shipping = tuple(Postage(size, rng.choice([0.0, 3.0, 8.5, 12.0, 14.0, 22.0, size, 2 * size])) for size in sizes)
        exactly = sum(rng.randint(0, 2) * size for size in sizes) or sizes[0]
        cases.append((shipping, rng.choice([exactly, rng.uniform(0.01, 45.0)])))
    return cases


def test_it_is_the_cheapest_of_all_choices() -> None:
    for shipping, kg in drawn(600):
        found = cheapest(shipping, kg)
        assert found.cost == pytest.approx(enumerated(shipping, kg), abs=1e-9), (shipping, kg)
        assert found.holds_kg >= kg - 1e-6


@settings(deadline=None)
@given(steps, masses)
def test_a_heavier_lot_is_never_cheaper_and_two_lots_apart_never_either(
    shipping: tuple[Postage, ...], kg: float
) -> None:
    whole, half = cheapest(shipping, kg).cost, cheapest(shipping, kg / 2).cost
    assert half <= whole + 1e-9 <= 2 * half + 2e-9


@settings(deadline=None)
@given(steps, masses, prices)
def test_posting_pays_from_the_least_such_mass_and_not_just_below(
    shipping: tuple[Postage, ...], kg: float, price: float
) -> None:
    least = pays_from(price, shipping, kg)
    if least is None:
        full = max(step.up_to_kg for step in shipping)
        tried = [kg, *(n * step.up_to_kg for step in shipping for n in (1, 2, 5) if n * step.up_to_kg >= kg), 9 * full]
        assert all(price * mass < enumerated(shipping, mass) + 1e-9 for mass in tried)
        return
    assert least >= kg and price * least >= enumerated(shipping, least) - 1e-5  # to a milligram
    below = [kg + (least - kg) * share for share in (0.0, 0.3, 0.6, 0.9, 0.999)]
    assert all(price * mass < enumerated(shipping, mass) for mass in below if mass < least - 2e-6)


@settings(deadline=None)
@given(steps, masses, prices, st.sampled_from([0.0, 0.5, 4.0]))
def test_what_a_lot_nets_is_its_price_less_its_own_parcels(
    shipping: tuple[Postage, ...], kg: float, price: float, least: float
) -> None:
    lot = for_lot(price, shipping, least, kg)
    if lot.reached(kg):
        assert lot.net_per_kg * kg == pytest.approx(price * kg - enumerated(shipping, kg), abs=1e-6)
    else:
        assert lot.from_kg > kg
        assert lot.from_kg == least or lot.by_post


def test_by_hand() -> None:
    shipping = (Postage(10 * LB, 14.0), Postage(40 * LB, 22.0))
    assert cheapest(shipping, 11 * LB).cost == 22.0  # two small ones cost 28
    assert cheapest(shipping, 50 * LB).cost == 36.0
    assert cheapest(shipping, 40 * LB).cost == 22.0
    assert net_per_kg(10.0, shipping, 2.0) == 3.0
    assert pays_from(7.0, shipping, 0.5) == 2.0
    assert pays_from(1.0, shipping, 0.5) is None  # a full parcel costs 1.21 a kg
    assert pays_from(0.0, (), 0.5) == 0.5, "the buyer pays the postage"


def test_a_price_that_pays_for_one_parcel_may_not_pay_for_the_next() -> None:
    """At 4.10 a kg one parcel of 1 kg for 4 pays from 976 g; 1.2 kg need two, which pay from 8 / 4.1 = 1.951 kg."""
    shipping = (Postage(1.0, 4.0),)
    assert pays_from(4.1, shipping, 0.5) == pytest.approx(4.0 / 4.1)
    assert pays_from(4.1, shipping, 1.2) == pytest.approx(8.0 / 4.1)


@pytest.mark.parametrize("size", [0.001, 0.5, 19.9])
def test_a_great_many_parcels_are_counted_without_trying_them_all(size: float) -> None:
    shipping = (Postage(size, size), Postage(20.0, 20.5))
    assert cheapest(shipping, 5000.0).cost == pytest.approx(math.ceil(round(5000.0 / size, 6)) * size, abs=1e-6)
