"""The plan of the solver is worth exactly what trying everything is worth, on hundreds of tiny scenarios.

The other side is tests/brute.py, which shares no code with planning (docs/model.md). They
agree to 1e-6 on at least 200 random scenarios.
"""

from __future__ import annotations

import math
from collections import Counter
from functools import cache

import numpy as np
import pytest
from tiny import FEATURES, errands, features, scenario
from tried_and_planned import Both, compare, wrong

from partway.planning.instance.frozen import Instance
from partway.planning.tours.fronts import tours
from partway.planning.tours.tours import Tour

SEEDS = range(480)
BLOCK = 40
MEANS = (
    "opens",
    "sells pieces by grade",
    "sells parts",
    "keeps pieces",
    "keeps kilograms",
    "drives",
    "drives twice",
    "stops twice on a trip",
    "sends parcels",
    "downgrades",
    "takes a quicker, dearer way round",  # too rare here; it has a test of its own
    "reaches a lower end",
    "reaches a second tier",
    "uses up a part's cap",
)


@cache
def compared(seed: int) -> Both | None:
    """Both answers; None where there is too much to try."""
    return compare(scenario(seed))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    assert wrong(compared, range(first, first + BLOCK)) == {}


def used(both: Both) -> list[str]:
    """What the plan does, so that agreement is not only about keeping everything."""
    assert both.plan is not None
    instance, decision = both.plan
    made = [tour for tour in decision.tours if tour is not None]
    tiers = {(lot, tier) for lot, tier, _ in decision.lots}
    units: Counter[int] = Counter()
    for c, cap in enumerate(instance.caps):
        units[c] = cap.most - sum(decision.parts[s] for s in cap.sales)
    facts = {
        "opens": any(decision.opened),
        "sells pieces by grade": any(decision.sold),
        "sells parts": any(decision.parts),
        "keeps pieces": any(decision.kept),
        "keeps kilograms": any(kg > 1e-6 for kg in decision.kept_kg.values()),
        "drives": bool(made),
        "drives twice": len(made) > 1,
        "stops twice on a trip": any(len(tour.stops) > 1 for tour in made),
        "sends parcels": any(decision.parcels.values()),
        "downgrades": any(kg > 1e-6 for kg in decision.downgraded.values()),
        "takes a quicker, dearer way round": any(dearer(instance, tour) for tour in made),
        "reaches a lower end": any(instance.lots[lot].tiers[tier].low > 0.0 for lot, tier in tiers),
        "reaches a second tier": any(instance.lots[lot].tiers[tier].quote.from_kg > 0.0 for lot, tier in tiers),
        "uses up a part's cap": any(left == 0 for left in units.values()),
    }
    assert set(facts) == set(MEANS)
    return [name for name, holds in facts.items() if holds]


def dearer(instance: Instance, tour: Tour) -> bool:
    """Whether some other order of the same stops is cheaper, time included."""

    def money(t: Tour) -> float:
        return instance.drive_money(t) + instance.scenario.hours.wage * t.hours

    same = [t for t in tours_of(instance) if set(t.stops) == set(tour.stops)]
    return min(map(money, same)) < money(tour) - 1e-6


def tours_of(instance: Instance) -> list[Tour]:
    """Every tour worth considering if there were time for all."""
    if instance.roads is None or instance.scenario.vehicle is None:
        return []
    hours, vehicle = instance.scenario.hours, instance.scenario.vehicle
    on_site = np.zeros(len(instance.roads.places))
    return tours(instance.roads, vehicle.cost_per_km, hours.wage, on_site, math.inf)


def test_there_are_enough_scenarios_and_every_rule_occurs_in_many_of_them() -> None:
    seeds = [seed for seed in SEEDS if compared(seed) is not None]
    assert len(seeds) >= 400
    count = Counter(name for seed in seeds for name in features(scenario(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 25} == {}


def test_a_quicker_dearer_way_round_is_taken_where_there_is_no_time_for_the_cheapest() -> None:
    both = [compare(errands(seed)) for seed in range(60)]
    assert all(it is not None and it.agree for it in both), both
    count = Counter(name for it in both if it is not None for name in used(it))
    assert count["takes a quicker, dearer way round"] >= 5
    assert count["stops twice on a trip"] >= 20


def test_the_best_plans_use_every_means_there_is() -> None:
    both = [it for seed in SEEDS if (it := compared(seed)) is not None]
    count = Counter(name for it in both for name in used(it))
    few = {"stops twice on a trip": 10, "drives twice": 15, "takes a quicker, dearer way round": 0}
    assert {name: count[name] for name in MEANS if count[name] < few.get(name, 25)} == {}
