"""Random tiny scenarios with the limits that buyers, days and backs have, for tests/brute.py to try everything.

The scenarios are those of `tiny` and `drawn_loads`; here they get the most that a buyer takes of a grade, hours of one
trip, and the most that one person lifts. All of it is invented. A seed gives the same scenario every time.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

import tiny
from brute_pieces import Bench, Prices
from drawn_loads import load
from tiny_ways import detours

from partway.things.scenario import Buyer, Quote, Scenario


def timed(seed: int) -> Scenario:
    """A tiny scenario, or one with errands or detours on roads, whose buyers have opening hours on a Saturday."""
    rng = random.Random(f"hours {seed}")
    it = (tiny.scenario, tiny.errands, detours)[seed % 3](seed)
    leave = rng.choice([None, 7.5, 8.0, 11.0])
    found = tuple(replace(b, open=hours(rng, leave or 8.0)) if rng.random() < 0.7 else b for b in it.buyers)
    limits = replace(it.hours, leave=leave, trip=rng.choice([None, None, 0.8]))
    return replace(it, buyers=found, hours=limits)


def hours(rng: random.Random, leave: float) -> tuple[str, ...]:
    """Opening hours: all day, closed that day, till soon, from soon on, or with a break."""
    near = [leave + rng.uniform(0.05, 0.6) for _ in range(2)]
    first, last = (f"{int(t)}:{int(t % 1 * 60):02d}" for t in sorted(near))
    return rng.choice(
        [
            ("mon-sat 6:00-23:00",),
            ("mon-fri 8:00-16:30",),
            ("mon-fri 8:00-16:30", f"sat 6:00-{last}"),
            (f"sat {first}-22:00",),
            (f"sat 6:00-{first}", f"sat {last}-22:00"),
        ]
    )


def limited(seed: int) -> Scenario:
    """One scenario; the odd seeds have loads that are small beside what is loaded whole."""
    rng = random.Random(f"limits {seed}")
    it = load(seed) if seed % 2 else tiny.scenario(seed)
    if rng.random() < 0.7:
        it = replace(it, buyers=tuple(wanting_little(rng, buyer) for buyer in it.buyers))
    if rng.random() < 0.5:
        it = replace(it, buyers=tuple(counting(rng, buyer) for buyer in it.buyers))
    if rng.random() < 0.6:
        it = replace(it, hours=replace(it.hours, trip=rng.uniform(0.1, 0.45)))
    if it.vehicle is not None and rng.random() < 0.4:
        lifting = replace(it.vehicle, lift_kg=rng.uniform(1.0, 6.0))
        it = replace(it, vehicle=lifting, hours=replace(it.hours, helpers=rng.choice([0, 0, 0, 1])))
    return it


def wanting_little(rng: random.Random, buyer: Buyer) -> Buyer:
    """A buyer with a most for some of its grades, said with one of its prices."""
    return replace(buyer, quotes=tuple(_little(rng, quote) for quote in buyer.quotes))


def counting(rng: random.Random, buyer: Buyer) -> Buyer:
    """A buyer that counts the pieces of some grade: it pays by the piece, or takes only so many, or both."""
    alone = [q.grade for q in buyer.quotes if sum(other.grade == q.grade for other in buyer.quotes) == 1]
    if not alone:
        return buyer
    grade, each, most = rng.choice(alone), rng.random() < 0.6, rng.choice([None, 1, 1, 2])
    one, most = rng.uniform(2.0, 7.0), most if each else most or 2
    counted = (replace(q, piece_kg=one, each=each, most_pieces=most) for q in buyer.quotes if q.grade == grade)
    return replace(buyer, quotes=(*(q for q in buyer.quotes if q.grade != grade), *counted))


def _little(rng: random.Random, quote: Quote) -> Quote:
    if rng.random() < 0.5:
        return quote
    return replace(quote, most_kg=quote.least_kg + rng.choice([0.0, rng.uniform(0.5, 4.0), rng.uniform(2.0, 9.0)]))


# --- what a scenario holds, so that a test can count it --------------------------------------------


def _too_heavy(it: Scenario) -> bool:
    prices = Prices(it)
    benches = [Bench(it, prices, find) for find in it.finds]
    return any(bench.sales(p.id) and not bench.lifted(p.id) for bench in benches for p in bench.anatomy.pieces)


FEATURES: dict[str, Callable[[Scenario], bool]] = {
    "the most of a grade": lambda s: any(q.most_kg is not None for b in s.buyers for q in b.quotes),
    "the most of a grade with tiers": lambda s: any(
        q.most_kg is not None and sum(other.grade == q.grade for other in b.quotes) > 1
        for b in s.buyers
        for q in b.quotes
    ),
    "the most by mail": lambda s: any(q.most_kg is not None for b in s.buyers if not b.is_visited for q in b.quotes),
    "the most on two trips": lambda s: (
        s.hours.trips == 2 and any(q.most_kg is not None for b in s.buyers if b.is_visited for q in b.quotes)
    ),
    "a price by the piece": lambda s: any(q.each for b in s.buyers for q in b.quotes),
    "so many pieces": lambda s: any(q.most_pieces is not None for b in s.buyers for q in b.quotes),
    "a counted grade in a bin": lambda s: any(q.piece_kg and q.grade in s.stock for b in s.buyers for q in b.quotes),
    "hours of one trip": lambda s: s.hours.trip is not None and s.hours.trip < s.hours.away and s.hours.trips > 0,
    "too heavy for one": _too_heavy,
    "a second person": lambda s: s.hours.helpers > 0,
}


def features(it: Scenario) -> list[str]:
    """The names of what a scenario holds."""
    return [name for name, holds in FEATURES.items() if holds(it)]
