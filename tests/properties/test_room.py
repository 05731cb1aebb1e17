"""Without a keep factor what is kept counts by the room there is: the plan against trying everything, and two laws."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest
from brute import Search
from brute_pieces import TooLarge
from brute_room import crowd
from tiny import scenario as tiny

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
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
        try:
            tried = Search(it).best().total
        except TooLarge:
            continue
        instance = build(it)
        found = search(instance, seconds=30.0, gap=1e-9)
        total = verify(instance, found.decision).money.total
        if not found.optimal or abs(total - tried) > TOLERANCE * max(1.0, abs(tried)):
            wrong[seed] = tried, total
        seen["drives"] += any(found.decision.tours)
        seen["keeps"] += any(found.decision.kept_kg.values())
        seen["opens"] += any(found.decision.opened)
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
