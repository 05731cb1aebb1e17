"""Tiny scenarios of the odd kind, in which a solver once called a wrong plan the best there is.

Hardly any time at the bench, parts that take longer than all of it, grades that may be sold as others that are quoted
too, equal prices, whole kilograms, nothing that takes a minute, keeping that counts for nothing or for everything.
All of it is invented. A seed gives the same scenario every time.
"""

from __future__ import annotations

import datetime as dt
import random
from collections import Counter
from collections.abc import Callable

from brute_pieces import Prices

from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

exact = Estimate.exact
DAY = dt.date(2026, 3, 14)
GRADES = ("g-a", "g-b", "g-c", "g-d")  # each may be sold as a later one only
PRICES = (0.0, 2.0, 2.0, 5.0, 5.4, 6.0, 6.0)
MINUTES = (0.0, 0.0, 1.0, 3.0)
BENCHES = (0.0, 0.05, 0.1, 0.1, 0.2)


def grades(rng: random.Random) -> dict[str, Grade]:
    """Four grades down a staircase with some steps missing; no hazards."""
    found = {}
    for i, name in enumerate(GRADES):
        lower = tuple(g for g in GRADES[i + 1 :] if rng.random() < 0.5)
        found[name] = Grade(name, name, f"family-{name}", exact(1.0), lower, ())
    return found


def part(rng: random.Random) -> Part:
    """A part worth about as much as its piece, mostly too long for the bench."""
    return Part(
        price=exact(rng.choice([0.0, 5.0, 20.0, 40.0])),
        chance=rng.choice([0.3, 0.5, 1.0]),
        minutes=exact(rng.choice([0.0, 5.0, 10.0, 15.0, 30.0])),
        most=rng.choice([None, None, 1]),
    )


def piece(rng: random.Random, name: str, kg: float, usual: str, parted: float = 0.5) -> Piece:
    """A piece sold as the usual grade of its find or as others, now and then as none, and sometimes as a part."""
    grades = {usual} if rng.random() < 0.5 else set(rng.sample(GRADES, rng.choice([0, 1, 1, 2])))
    sells = tuple(SaleAs(g, rng.choice([1.0, 1.0, 1.0, 0.5])) for g in sorted(grades))
    return Piece(name, name, exact(kg), sells, (part(rng),) if rng.random() < parted else ())


def anatomy(rng: random.Random, kind: str) -> Anatomy:
    """A whole of whole kilograms that opens into two or three pieces, one of which may open again."""
    a, b = float(rng.randint(1, 5)), float(rng.randint(1, 3))
    rest = float(rng.randint(0, 1))
    outside, inside = rng.choice(GRADES), rng.choice(GRADES)
    pieces = [
        piece(rng, "whole", a + b + rest, outside, 0.2),
        piece(rng, "a", a, inside),
        piece(rng, "b", b, inside, 0.2),
    ]
    gives = [Gives("a"), Gives("b")]
    if rest:
        pieces.append(Piece("rest", "rest", exact(rest)))
        gives.append(Gives("rest"))
    opened = [Operation("open", "open", "whole", exact(rng.choice(MINUTES)), tuple(gives), loss=0.0)]
    if rng.random() < 0.2:
        inner = Operation("again", "again", "a", exact(rng.choice(MINUTES)), (Gives("core"),), loss=0.0)
        pieces.append(piece(rng, "core", a, inside, 0.2))
        opened.append(inner)
    return Anatomy(kind, kind, tuple(pieces), tuple(opened))


def buyers(rng: random.Random) -> tuple[Buyer, ...]:
    """One to three yards with prices from one short list, so that many are equal."""
    found = []
    for i in range(rng.randint(1, 3)):
        quoted = rng.sample(GRADES, rng.randint(1, 4))
        rows = [Quote(g, exact(rng.choice(PRICES)), DAY) for g in quoted]
        if rng.random() < 0.2:
            rows.append(Quote(quoted[0], exact(rng.choice(PRICES)), DAY, from_kg=float(rng.randint(2, 6))))
        found.append(Buyer(f"b{i}", "yard", km=20.0, minutes=rng.choice([0.0, 0.0, 15.0]), quotes=tuple(rows)))
    return tuple(found)


def scenario(seed: int) -> Scenario:
    """One scenario; in half of them nobody drives anywhere."""
    rng = random.Random(f"odd {seed}")
    kinds = ["k", "l"][: rng.choice([1, 1, 1, 2])]
    known = grades(rng)
    trips = rng.choice([0, 0, 1])
    return Scenario(
        name=f"odd {seed}",
        currency="CAD",
        on=DAY,
        hours=Hours(
            bench=rng.choice(BENCHES),
            away=rng.choice([0.0, 0.95, 3.0]) if trips else 0.0,
            wage=rng.choice([0.0, 0.0, 6.0]),
            trips=trips,
        ),
        vehicle=Vehicle(payload_kg=rng.choice([5.0, 10.0, 100.0]), cost_per_km=rng.choice([0.0, 0.1])),
        buyers=buyers(rng),
        finds=tuple(Find(kind, rng.choice([1, 1, 2])) for kind in kinds),
        stock={g: float(rng.randint(1, 6)) for g in GRADES if rng.random() < 0.15},
        grades=known,
        anatomies={kind: anatomy(rng, kind) for kind in kinds},
        keep_factor=rng.choice([0.0, 1.0, 1.0, 0.5]),
    )


# --- what a scenario holds, so that a test can count it --------------------------------------------


def _parts(it: Scenario) -> list[Part]:
    return [p for kind in it.anatomies.values() for piece in kind.pieces for p in piece.parts]


def _quoted_downgrade(it: Scenario) -> bool:
    prices = Prices(it)
    return any(lower in prices.quoted for g in prices.quoted for lower in prices.downgrades(g))


def _tie(it: Scenario) -> bool:
    """Two different quotes that pay the same, or one that pays what keeping counts."""
    rows = [(b.id, q.grade, q.price.mean) for b in it.buyers for q in b.quotes]
    kept = Prices(it).kept
    return max(Counter(price for _, _, price in rows).values()) > 1 or any(kept[g] == price for _, g, price in rows)


def _no_minutes(it: Scenario) -> bool:
    return any(op.minutes.mean == 0.0 for kind in it.anatomies.values() for op in kind.operations)


FEATURES: dict[str, Callable[[Scenario], bool]] = {
    "less than a quarter of an hour at the bench": lambda s: s.hours.bench < 0.25,
    "no time at the bench": lambda s: s.hours.bench == 0.0,
    "a part longer than the whole bench": lambda s: any(p.minutes.mean > 60.0 * s.hours.bench for p in _parts(s)),
    "a part that brings nothing": lambda s: any(p.price.mean == 0.0 for p in _parts(s)),
    "a quoted grade that may be sold as another quoted one": _quoted_downgrade,
    "a tie": _tie,
    "an operation of no minutes": _no_minutes,
    "a price of nothing": lambda s: any(q.price.mean == 0.0 for b in s.buyers for q in b.quotes),
    "keeping counts for nothing": lambda s: s.keep_factor == 0.0,
    "keeping counts in full": lambda s: s.keep_factor == 1.0,
    "no trip": lambda s: s.hours.trips == 0,
    "a trip": lambda s: s.hours.trips == 1,
}


def features(it: Scenario) -> list[str]:
    """The names of what a scenario holds."""
    return [name for name, holds in FEATURES.items() if holds(it)]
