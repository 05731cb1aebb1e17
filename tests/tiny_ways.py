"""Random tiny scenarios whose short roads are slow and whose quick roads are long and lead past other places.

All of it is invented. A seed gives the same scenario every time.
"""

from __future__ import annotations

import random

from brute_selling import HOME
from tiny import DAY, exact, grades

from partway.things.scenario import Buyer, Hours, Quote, Road, Scenario, Vehicle

WANTED = ("copper-2", "iron", "shell", "residue")
CROSSING = "b0"  # all quick roads lead there


def detours(seed: int) -> Scenario:
    """Three or four yards, each wanting something of its own; nobody sells at the crossing in half of them.

    Roads that do not lead to the crossing are short and slow. Hours away are few, a kilometre costs something or
    nothing, an hour is worth something or nothing, and now and then there are two trips.
    """
    rng = random.Random(seed)
    count = rng.choice([3, 3, 4])
    trips = rng.choice([1, 1, 2]) if count == 3 else 1
    found = tuple(_yard(rng, i) for i in range(count))
    places = (HOME, *(b.id for b in found))
    ways = tuple(_road(rng, a, b) for i, a in enumerate(places) for b in places[:i])
    stock = {grade: rng.uniform(3.0, 9.0) for grade in WANTED[:count]}
    return Scenario(
        name=f"detours {seed}",
        currency="EUR",
        on=DAY,
        hours=Hours(1.0, rng.uniform(0.3, 1.2), rng.choice([0.0, 0.5, 2.0]), trips),
        vehicle=Vehicle(payload_kg=rng.choice([100.0, 12.0]), cost_per_km=rng.choice([0.0, 0.1, 0.3])),
        buyers=found,
        finds=(),
        stock=stock,
        grades=grades(rng),
        anatomies={},
        roads=ways,
        keep_factor=0.0,
    )


def _yard(rng: random.Random, i: int) -> Buyer:
    quotes = (Quote(WANTED[i], exact(rng.uniform(0.5, 4.0)), DAY),)
    silent = f"b{i}" == CROSSING and rng.random() < 0.5
    return Buyer(f"b{i}", "yard", minutes=rng.choice([0.0, 2.0]), quotes=() if silent else quotes)


def _road(rng: random.Random, a: str, b: str) -> Road:
    if CROSSING in {a, b}:
        return Road(a, b, rng.uniform(6.0, 12.0), rng.uniform(4.0, 9.0))
    return Road(a, b, rng.uniform(3.0, 11.0), rng.uniform(12.0, 35.0))
