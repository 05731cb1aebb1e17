"""Without a keep factor what is kept counts by the room there is: the plan against trying everything, and two laws."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest
from brute_room import crowd
from tiny import scenario as tiny
from tried_and_planned import compare

from partway.actions.plans.flips import quote_at
from partway.planning.check.verify import verify
from partway.planning.depth.bends import _moved, zero_prices
from partway.planning.depth.reprice import Repriced
from partway.planning.instance.build import build
from partway.planning.instance.market import Market
from partway.planning.search.search import search
from partway.things.buyers import takes
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Scenario, Vehicle

SEEDS = range(160)
BLOCK = 40
TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more


def roomy(seed: int) -> Scenario:
    """A tiny scenario whose keep values follow the room; in two of three the shed is known, and often nearly full."""
    it, rng = tiny(seed), random.Random(f"room {seed}")
    stock = {grade: kg * rng.choice([1.0, 3.0]) for grade, kg in it.stock.items()}
    return replace(it, keep_factor=None, stock=stock, storage_l=rng.choice([None, 20.0, 60.0]))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    wrong, seen = {}, Counter[str]()
    for seed in range(first, first + BLOCK):
        it = roomy(seed)
        both = compare(it)
        if both is None:
            continue
        if not both.agree or both.plan is None:
            wrong[seed] = both
            continue
        decision = both.plan[1]
        seen["drives"] += any(decision.tours)
        seen["keeps"] += any(decision.kept_kg.values())
        seen["opens"] += any(decision.opened)
        seen["a shed that is filling up"] += crowd(it) > 0.0
    assert not wrong
    assert len(seen) == 4
    assert min(seen.values()) >= 3


def bulk(seed: int, storage_l: float | None = None) -> Scenario:
    """One grade in the shed, more than a full load of it, and buyers near and far that pay, take it free or charge."""
    rng = random.Random(f"bulk {seed}")
    density, payload = rng.uniform(0.1, 2.0), rng.uniform(200.0, 600.0)
    volume = rng.choice([None, rng.uniform(800.0, 3000.0)])
    load = payload if volume is None else min(payload, volume * density)
    day = tiny(0).on
    buyers = tuple(
        Buyer(f"b{i}", "yard", km=rng.uniform(1.0, 60.0), minutes=rng.choice([0.0, 20.0]),
              quotes=(Quote("bulk", Estimate.exact(rng.choice([rng.uniform(0.0, 0.5), 0.0, -0.1])), day),))
        for i in range(rng.randint(1, 3))
    )  # fmt: skip
    return Scenario(
        name=f"bulk {seed}",
        currency="EUR",
        on=day,
        hours=Hours(1.0, 24.0, rng.choice([0.0, 15.0]), 1),
        vehicle=Vehicle(payload, volume, cost_per_km=0.35),
        buyers=buyers,
        finds=(),
        stock={"bulk": load * rng.uniform(1.0, 4.0)},
        grades={"bulk": Grade("bulk", "bulk", "bulk", Estimate.exact(density))},
        anatomies={},
        storage_l=storage_l,
    )


@pytest.mark.parametrize("seed", range(40))
def test_a_full_load_of_one_grade_never_stays_whatever_it_brings(seed: int) -> None:
    instance = build(bulk(seed))
    checked = verify(instance, search(instance, 10.0, 1e-9).decision)
    assert sum(checked.decision.lots.values()) > 0.0


@pytest.mark.parametrize("seed", range(8))
def test_a_shed_that_fills_is_hauled_from_before_it_overflows(seed: int) -> None:
    rng = random.Random(f"filling {seed}")
    it = bulk(seed)
    assert it.vehicle is not None
    litres = it.vehicle.volume_l or it.vehicle.payload_kg / 0.25
    it = replace(it, storage_l=litres * rng.uniform(0.4, 3.0), stock={"bulk": 0.0})
    assert it.storage_l is not None
    holds_kg = it.storage_l * it.grades["bulk"].density.mean
    hauled = 0.0
    for _ in range(40):
        there = it.stock["bulk"] + holds_kg * rng.uniform(0.02, 0.1)
        assert there <= holds_kg, "something would be turned away"
        it = replace(it, stock={"bulk": there})
        instance = build(it)
        decision = verify(instance, search(instance, 10.0, 1e-9).decision).decision
        went = sum(decision.lots.values())
        it, hauled = replace(it, stock={"bulk": there - went}), hauled + went
    assert hauled > holds_kg


@pytest.mark.parametrize("seed", range(40))
def test_a_keep_value_as_a_curve_is_that_of_the_price_typed_in(seed: int) -> None:
    it, rng = roomy(seed), random.Random(f"curve {seed}")
    quoted = [(b, q) for b in it.buyers for q in b.quotes if takes(b, it.grades[q.grade])]
    buyer, quote = rng.choice(quoted)
    at = quote_at(it, buyer.id, quote.grade, quote.price.mean)
    low, high = quote.price.mean - 3.0, quote.price.mean + 3.0
    market = Market.of(it)
    moved = _moved(Market.of(at(low)), Market.of(at(high)), low, high)
    curves = Repriced(market, moved)
    corners = set(zero_prices(at, low, high))
    for x in [low, high, *corners, *(rng.uniform(low, high) for _ in range(6))]:
        there = Market.of(at(x))
        assert {g: curves.kept(g).at(x) for g in it.grades} == pytest.approx(
            {g: there.kept_price(g) for g in it.grades}, abs=1e-9
        )
