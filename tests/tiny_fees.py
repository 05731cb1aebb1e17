"""Random tiny scenarios whose buyers keep back fees of their tickets, for tests/brute.py to try everything.

The scenarios are those of `tiny`, `drawn_loads` and `tiny_limits`. All of it is invented. A seed gives the same
scenario every time.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import tiny
from drawn_loads import load
from tiny_limits import limited

from partway.things.scenario import Buyer, Scenario


def with_fees(seed: int) -> Scenario:
    """One scenario; a third of the seeds have loads that are small, a third limits and prices by the piece."""
    rng = random.Random(f"fees {seed}")
    it = (tiny.scenario, load, limited)[seed % 3](seed)
    it = replace(it, buyers=tuple(_keeping_back(rng, buyer) for buyer in it.buyers))
    if rng.random() < 0.3:
        it = replace(it, keep_factor=None)  # by the price of room, which the flat fee is part of
    return it


def _keeping_back(rng: random.Random, buyer: Buyer) -> Buyer:
    flat = rng.choice([0.0, rng.uniform(0.05, 1.0), rng.uniform(1.0, 6.0)])
    return replace(buyer, ticket_fee=flat, ticket_share=rng.choice([0.0, 0.02, rng.uniform(0.05, 0.4)]))


Feature = Callable[[Scenario], bool]

FEATURES: dict[str, Feature] = {
    "a flat fee": lambda s: any(b.ticket_fee for b in s.buyers),
    "a share": lambda s: any(b.ticket_share for b in s.buyers),
    "both": lambda s: any(b.ticket_fee and b.ticket_share for b in s.buyers),
    "a flat fee and a charge": lambda s: any(
        b.ticket_fee and len({q.price.mean > 0.0 for q in b.quotes}) == 2 for b in s.buyers
    ),
    "a fee and a tier": lambda s: any(b.ticket_fee and any(q.from_kg for q in b.quotes) for b in s.buyers),
    "a fee by the piece": lambda s: any(b.ticket_share and any(q.each for q in b.quotes) for b in s.buyers),
    "a fee by mail": lambda s: any(b.ticket_fee and b.kind == "mail-in" for b in s.buyers),
    "two trips": lambda s: s.hours.trips == 2 and any(b.ticket_fee for b in s.buyers),
    "the price of room": lambda s: s.keep_factor is None and any(b.ticket_fee for b in s.buyers),
}


def features(it: Scenario) -> list[str]:
    """What a scenario holds."""
    return [name for name, holds in FEATURES.items() if holds(it)]
