"""A scenario that takes long to prove: many places, a small vehicle and little time. All invented."""

from __future__ import annotations

import datetime as dt
import random
from dataclasses import replace

from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Hours, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
HOME = (30.6, -40.5)
exact = Estimate.exact


def long_haul(seed: int = 1, places: int = 18, grades: int = 18) -> Scenario:
    """Stock alone, sold in tiers at `places` yards around home, of which a trip reaches a few."""
    rng = random.Random(seed)
    names = [f"grade-{i}" for i in range(grades)]
    return Scenario(
        name="a long haul",
        currency="CAD",
        on=DAY,
        hours=Hours(5.0, 7.0, 12.0, 2),
        vehicle=Vehicle(250.0, 600.0, 0.4),
        buyers=tuple(_yard(rng, f"yard-{b}", names) for b in range(places)),
        finds=(),
        stock={name: rng.uniform(10, 90) for name in names},
        grades={name: Grade(name, name, "copper", exact(0.5)) for name in names},
        anatomies={},
        home=HOME,
    )


def endless_haul() -> Scenario:
    """One whose search has a plan in a second or two and no proof in minutes: three trips among 24 yards."""
    return replace(long_haul(places=24), hours=Hours(5.0, 10.0, 12.0, 3))


def _yard(rng: random.Random, name: str, grades: list[str]) -> Buyer:
    quotes = []
    for grade in rng.sample(grades, 5):
        price = rng.uniform(0.5, 6)
        tier = exact(price * rng.uniform(1.05, 1.3))
        quotes += [Quote(grade, exact(price), DAY), Quote(grade, tier, DAY, from_kg=rng.uniform(20, 60))]
    at = (HOME[0] + rng.uniform(-0.2, 0.2), HOME[1] + rng.uniform(-0.2, 0.2))
    return Buyer(name, "yard", at=at, minutes=15, quotes=tuple(quotes))
