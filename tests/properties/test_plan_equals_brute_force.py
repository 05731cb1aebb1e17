"""The plan of the solver is worth exactly what trying everything is worth, on hundreds of tiny scenarios.

The other side is tests/brute.py, which shares no code with planning (docs/model.md). They
agree to 1e-6 on at least 200 random scenarios.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from brute import Search
from brute_pieces import TooLarge
from tiny import FEATURES, errands, features, scenario

from partway.errors import PartwayError
from partway.planning.check.verify import verify
from partway.planning.decision import Decision
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.planning.tours.fronts import tours
from partway.planning.tours.tours import Tour
from partway.things.scenario import Scenario

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
TOLERANCE = 1e-6  # of the objective, or of one currency unit where that is more


@dataclass(frozen=True)
class Compared:
    """Both answers to one scenario."""

    tried: float
    planned: float
    optimal: bool
    used: tuple[str, ...] = ()
    failed: str = ""

    @property
    def agree(self) -> bool:
        """Whether the plan is worth what trying everything says."""
        return self.optimal and abs(self.planned - self.tried) <= TOLERANCE * max(1.0, abs(self.tried))


@cache
def tried(seed: int) -> float | None:
    """The best total by trying everything; None where that would take too long."""
    try:
        return Search(scenario(seed)).best().total
    except TooLarge:
        return None


@cache
def compared(seed: int) -> Compared | None:
    """Both answers; None where everything is too much to try."""
    best = tried(seed)
    return None if best is None else planned(scenario(seed), best)


def planned(it: Scenario, best: float) -> Compared:
    """The plan of a scenario beside the best total by trying everything."""
    instance = build(it)
    try:
        found = search(instance, seconds=30.0, gap=1e-9)
        checked = verify(instance, found.decision)
    except PartwayError as error:  # so that one failure does not hide the others of its block
        return Compared(best, math.nan, False, failed=repr(error))
    return Compared(best, checked.money.total, found.optimal, tuple(used(instance, found.decision)))


@pytest.mark.parametrize("first", SEEDS[::BLOCK])
def test_the_plan_is_worth_what_trying_everything_is_worth(first: int) -> None:
    wrong = {}
    for seed in range(first, first + BLOCK):
        both = compared(seed)
        if both is not None and not both.agree:
            wrong[seed] = both
    assert not wrong


def used(instance: Instance, decision: Decision) -> list[str]:
    """What the plan does, so that agreement is not only about keeping everything."""
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
    seeds = [seed for seed in SEEDS if tried(seed) is not None]
    assert len(seeds) >= 400
    count = Counter(name for seed in seeds for name in features(scenario(seed)))
    assert {name: count[name] for name in FEATURES if count[name] < 25} == {}


def test_a_quicker_dearer_way_round_is_taken_where_there_is_no_time_for_the_cheapest() -> None:
    both = {seed: planned(errands(seed), Search(errands(seed)).best().total) for seed in range(60)}
    assert {seed: it for seed, it in both.items() if not it.agree} == {}
    count = Counter(name for it in both.values() for name in it.used)
    assert count["takes a quicker, dearer way round"] >= 5
    assert count["stops twice on a trip"] >= 20


def test_the_best_plans_use_every_means_there_is() -> None:
    both = [it for seed in SEEDS if (it := compared(seed)) is not None]
    count = Counter(name for it in both for name in it.used)
    few = {"stops twice on a trip": 10, "drives twice": 15, "takes a quicker, dearer way round": 0}
    assert {name: count[name] for name in MEANS if count[name] < few.get(name, 25)} == {}
