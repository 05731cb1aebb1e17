"""Random tiny scenarios, small enough for tests/brute.py to try everything, rich enough to meet every rule.

All of it is invented. A seed gives the same scenario every time.
"""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Callable
from dataclasses import replace

from brute_pieces import Bench, Prices, refused
from brute_selling import HOME

from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade
from partway.things.scenario import Buyer, Find, Hours, Point, Postage, Quote, Road, Scenario, Vehicle

exact = Estimate.exact
DAY = dt.date(2026, 3, 14)
HERE = (47.0, 9.0)
PACK = "pack"  # the hazard
USUAL = {"copper-2": 6.0, "copper-light": 4.5, "iron": 0.4, "shell": 0.9, "pack": 0.6, "residue": -0.3}


def estimate(rng: random.Random, about: float) -> Estimate:
    """A range around a value, often lopsided, sometimes exact."""
    if rng.random() < 0.3 or about == 0.0:
        return exact(about)
    ends = sorted((about * rng.uniform(0.6, 1.0), about * rng.uniform(1.0, 1.8)))
    return Estimate(ends[0], sorted((*ends, about))[1], ends[1])


def grades(rng: random.Random) -> dict[str, Grade]:
    """Six grades; which may be sold as which differs."""

    def grade(name: str, family: str, density: float, lower: tuple[str, ...] = (), *hazards: str) -> Grade:
        return Grade(name, name, family, estimate(rng, density), lower, hazards)

    some = rng.random() < 0.6
    return {
        g.id: g
        for g in (
            grade("copper-2", "copper", 1.2, ("copper-light",) if some else ()),
            grade("copper-light", "copper", 0.8, ("iron",) if rng.random() < 0.3 else ()),
            grade("iron", "ferrous", 0.5),
            grade("shell", "ferrous", 0.2, ("iron", "residue") if rng.random() < 0.5 else ("iron",)),
            # iron does not name the hazard, so nothing may flow there
            grade("pack", "batteries", 1.5, ("iron",) if rng.random() < 0.3 else (), PACK),
            grade("residue", "inert", 0.3),
        )
    }


def part(rng: random.Random, about: float) -> Part:
    """A part worth about as much as the piece, with every field used now and then."""
    in_copper = rng.random() < 0.2
    unit = 1.0 / USUAL["copper-2"] if in_copper else 1.0
    return Part(
        price=estimate(rng, about * unit * rng.uniform(0.8, 2.5)),
        chance=rng.choice([0.4, 0.75, 1.0]),
        minutes=estimate(rng, rng.uniform(1.0, 12.0)),
        fee=rng.choice([0.0, 0.14]),
        postage=rng.choice([0.0, 0.5]) * about * unit,
        needs="works" if rng.random() < 0.3 else None,
        most=rng.choice([None, 0, 1, 1, 2]),
        in_copper=in_copper,
    )


def anatomy(rng: random.Random, kind: str) -> Anatomy:
    """A whole find of two to four pieces, sometimes with a hazard inside that has to come out first."""
    mass = rng.uniform(1.0, 9.0)
    hazardous = rng.random() < 0.4
    required = hazardous and rng.random() < 0.6
    whole_sales = [SaleAs("shell", rng.choice([1.0, 0.8]), before_required=required and rng.random() < 0.3)]
    if rng.random() < 0.2:
        whole_sales.append(SaleAs("iron"))
    if hazardous and rng.random() < 0.5:
        whole_sales.append(SaleAs("pack", 0.9))
    core_share = rng.uniform(0.2, 0.6)
    core_sales = [SaleAs(rng.choice(["copper-light", "iron"]), rng.choice([1.0, 0.7]))]
    if rng.random() < 0.4:
        core_sales.append(SaleAs("copper-2", 0.5))
    core = Piece("core", "core", estimate(rng, mass * core_share), tuple(core_sales), _parts(rng, 5.0, 0.4))
    case_sales = (SaleAs("iron", rng.choice([1.0, 0.6])),)
    case = Piece("case", "case", estimate(rng, mass * (1 - core_share)), case_sales)
    pieces = [
        Piece("whole", "whole", estimate(rng, mass), tuple(whole_sales), _parts(rng, 8.0, 0.4)),
        core,
        case,
    ]
    minutes = [estimate(rng, rng.uniform(2.0, 15.0)) for _ in range(4)]
    operations = []
    if hazardous:
        shut = rng.random() < 0.5  # either its grade or the reason it stays shut names the hazard
        sells = () if shut and rng.random() < 0.5 else (SaleAs("pack"),)
        if rng.random() < 0.3:
            sells = (*sells, SaleAs("iron"))  # better paid at times, and never allowed
        pieces.append(Piece("pack", "pack", estimate(rng, 0.5), sells, stop=PACK if shut else None))
        gives: tuple[Gives, ...] = (Gives("pack"), Gives("core"), Gives("case"))
        operations.append(Operation("take out", "take out", "whole", minutes[0], gives, required=required))
    else:
        gives = (Gives("core", rng.choice([1, 1, 2])), Gives("case"))
        operations.append(Operation("open", "open", "whole", minutes[0], gives, cost=rng.choice([0.0, 0.4])))
    if rng.random() < 0.3:
        operations.append(Operation("break", "break", "whole", minutes[1], (Gives("core"),), loss=0.9))
    if not hazardous and rng.random() < 0.5:
        copper = Piece("copper", "copper", estimate(rng, mass * core_share * 0.3), (SaleAs("copper-2"),))
        iron = Piece("rest", "rest", estimate(rng, mass * core_share * 0.7), (SaleAs("iron"),))
        pieces += [copper, iron]
        gives = (Gives("copper"), Gives("rest"))
        operations.append(Operation("strip", "strip", "core", minutes[2], gives, cost=rng.choice([0.0, 0.3])))
    return Anatomy(kind, kind, tuple(pieces), tuple(operations))


def _parts(rng: random.Random, about: float, chance: float) -> tuple[Part, ...]:
    return (part(rng, about),) if rng.random() < chance else ()


def quotes(rng: random.Random, few: bool) -> tuple[Quote, ...]:
    """Prices of some grades, with a minimum lot or a tier here and there."""
    rows: list[Quote] = []
    stepped = 0
    for grade in rng.sample(sorted(USUAL), rng.randint(1, 3 if few else 4)):
        price = USUAL[grade] * rng.uniform(0.6, 1.5)
        if rng.random() < 0.1:
            price = -abs(price) * 0.3
        minimum = rng.uniform(0.5, 6.0) if stepped < 2 and rng.random() < 0.25 else 0.0
        rows.append(Quote(grade, estimate(rng, price) if price > 0 else exact(price), DAY, minimum))
        if stepped < 2 and rng.random() < 0.3:
            step = rng.uniform(1.0, 8.0)
            better = exact(price + abs(price) * rng.uniform(-0.1, 0.6))
            rows.append(Quote(grade, better, DAY, rng.choice([0.0, step * 1.2]), step))
        stepped += minimum > 0.0 or rows[-1].from_kg > 0.0
    rng.shuffle(rows)
    return tuple(rows)


def point(rng: random.Random) -> Point:
    """Somewhere within a few kilometres of home."""
    return (HERE[0] + rng.uniform(-0.03, 0.03), HERE[1] + rng.uniform(-0.04, 0.04))


def buyers(rng: random.Random, count: int, few: bool) -> tuple[Buyer, ...]:
    """Yards, a tip, a mail-in; some refuse what they have a price for."""
    found: list[Buyer] = []
    for i in range(count):
        mail = rng.random() < 0.25 and not any(b.kind == "mail-in" for b in found)
        refuses = (rng.choice([PACK, "copper", "iron", "shell"]),) if rng.random() < 0.25 else ()
        found.append(
            Buyer(
                id=f"b{i}",
                kind="mail-in" if mail else rng.choice(["yard", "yard", "tip", "drop-off"]),
                km=None if mail else rng.uniform(0.5, 6.0),
                at=point(rng) if not mail and rng.random() < 0.3 else None,
                minutes=rng.choice([0.0, 5.0, 15.0]),
                refuses=refuses,
                shipping=_shipping(rng) if mail and rng.random() < 0.8 else (),
                quotes=quotes(rng, few),
            )
        )
    return tuple(found)


def _shipping(rng: random.Random) -> tuple[Postage, ...]:
    small = Postage(rng.uniform(1.0, 3.0), rng.uniform(0.3, 3.0))
    if rng.random() < 0.4:
        return (small,)
    return (small, Postage(small.up_to_kg * rng.uniform(1.5, 4.0), small.cost * rng.uniform(1.1, 4.0)))


def roads(rng: random.Random, found: tuple[Buyer, ...]) -> tuple[Road, ...]:
    """Ways between some places, half of them with minutes of their own."""
    places = [HOME, *(b.id for b in found if b.kind != "mail-in")]
    pairs = [(a, b) for i, a in enumerate(places) for b in places[:i]]
    return tuple(
        Road(a, b, rng.uniform(0.5, 8.0), rng.uniform(1.0, 25.0) if rng.random() < 0.5 else None)
        for a, b in pairs
        if rng.random() < 0.5
    )


def finds(rng: random.Random, kinds: list[str]) -> tuple[Find, ...]:
    """None to three finds."""
    return tuple(
        Find(
            kind=rng.choice(kinds),
            count=rng.choice([1, 1, 2]),
            works=rng.choice(["yes", "no", "unknown"]),
            mass_kg=rng.uniform(1.0, 10.0) if rng.random() < 0.3 else None,
        )
        for _ in range(rng.choice([0, 1, 2, 2]))
    )


def scenario(seed: int) -> Scenario:
    """One tiny scenario. Half of them are lively: driving is cheap, keeping is poor, loads are small."""
    rng = random.Random(seed)
    lively = rng.random() < 0.5
    trips = rng.choice([1, 1, 2, 2] if lively else [0, 1, 1, 2])
    found = buyers(rng, rng.randint(2 if lively else 1, 2 if trips == 2 else 3), few=trips == 2)
    anatomies = {kind: anatomy(rng, kind) for kind in ("fan", "mixer")[: rng.randint(1, 2)]}
    stock = rng.sample(sorted(USUAL), rng.choice([1, 2, 3] if lively else [0, 1, 2]))
    small = rng.uniform(2.0, 10.0)
    vehicle = Vehicle(
        payload_kg=rng.choice([300.0, small, small] if lively else [300.0, 300.0, small]),
        volume_l=rng.choice([None, None, rng.uniform(4.0, 40.0)]),
        cost_per_km=rng.choice([0.0, 0.1] if lively else [0.2, 0.5]),
        kmh=rng.choice([30.0, 45.0]),
    )
    hours = Hours(
        bench=rng.choice([3.0, rng.uniform(0.05, 0.6)]),
        away=rng.choice([4.0, rng.uniform(0.2, 1.2)]),
        wage=rng.choice([0.0, 1.0, 3.0] if lively else [0.0, 3.0, 8.0]),
        trips=trips,
    )
    return Scenario(
        name=f"tiny {seed}",
        currency="EUR",
        on=DAY,
        hours=hours,
        vehicle=vehicle,
        buyers=found,
        finds=finds(rng, sorted(anatomies)),
        stock={grade: rng.uniform(1.0, 9.0) for grade in stock},
        grades=grades(rng),
        anatomies=anatomies,
        cautions={PACK: Caution(PACK, "pack", "fire", "take it out whole", out_first=True)},
        roads=roads(rng, found) if rng.random() < 0.4 else (),
        home=HERE if rng.random() < 0.5 else None,
        keep_factor=rng.choice([0.5, 0.2, 0.0] if lively else [0.8, 0.8, 1.0]),
    )


def with_tests(seed: int) -> Scenario:
    """A tiny scenario with one find that nobody tested, whose whole is dear where it works; minutes to find out.

    Loads are large: what fits only if it is cut is not what this is about.
    """
    it, rng = scenario(seed), random.Random(f"tests {seed}")
    anatomies = {}
    for kind, found in it.anatomies.items():
        dear = replace(part(rng, 12.0), needs="works", most=rng.choice([None, None, 1]))
        whole = replace(found.whole, parts=(dear,))
        works, minutes = rng.uniform(0.2, 0.8), estimate(rng, rng.uniform(1.0, 6.0))
        anatomies[kind] = replace(found, pieces=(whole, *found.pieces[1:]), works=works, test_minutes=minutes)
    find = Find(rng.choice(sorted(anatomies)), rng.choice([1, 1, 2]), "unknown")
    buyers = tuple(replace(b, shipping=()) for b in it.buyers)
    vehicle = None if it.vehicle is None else replace(it.vehicle, payload_kg=300.0, volume_l=None)
    return replace(it, anatomies=anatomies, finds=(find,), buyers=buyers, vehicle=vehicle)


def errands(seed: int) -> Scenario:
    """Three yards and home joined by roads whose minutes have little to do with their kilometres.

    Each yard wants something of its own and there is hardly time for all of them.
    """
    rng = random.Random(seed)
    known = grades(rng)
    wanted = ("copper-2", "iron", "residue")
    found = tuple(
        Buyer(f"b{i}", "yard", minutes=2.0, quotes=(Quote(grade, exact(rng.uniform(0.5, 3.0)), DAY),))
        for i, grade in enumerate(wanted)
    )
    places = (HOME, *(b.id for b in found))
    ways = tuple(
        Road(a, b, rng.uniform(2.0, 9.0), rng.uniform(3.0, 25.0)) for i, a in enumerate(places) for b in places[:i]
    )
    return Scenario(
        name=f"errands {seed}",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=1.0, away=rng.uniform(0.5, 1.0), wage=0.5),
        vehicle=Vehicle(payload_kg=100.0, cost_per_km=0.3),
        buyers=found,
        finds=(),
        stock={grade: rng.uniform(3.0, 9.0) for grade in wanted},
        grades=known,
        anatomies={},
        roads=ways,
        keep_factor=0.0,
    )


# --- what a scenario holds, so that a test can count it --------------------------------------------

Feature = Callable[[Scenario], bool]


def _pieces(it: Scenario) -> list[Piece]:
    return [piece for kind in {f.kind for f in it.finds} for piece in it.anatomies[kind].pieces]


def _parts_in(it: Scenario) -> list[Part]:
    return [p for piece in _pieces(it) for p in piece.parts]


def _operations(it: Scenario) -> list[Operation]:
    return [op for kind in {f.kind for f in it.finds} for op in it.anatomies[kind].operations]


def _quotes(it: Scenario) -> list[Quote]:
    return [q for b in it.buyers for q in b.quotes]


def _hides(it: Scenario) -> bool:
    prices = Prices(it)
    for find in it.finds:
        bench = Bench(it, prices, find)
        for piece in bench.anatomy.pieces:
            if bench.hidden(piece.id) and not bench.required(piece.id) and piece.sells:
                return True
    return False


FEATURES: dict[str, Feature] = {
    "two or more finds": lambda s: sum(f.count for f in s.finds) >= 2,
    "two kinds": lambda s: len({f.kind for f in s.finds}) >= 2,
    "a weighed find": lambda s: any(f.mass_kg for f in s.finds),
    "a share below 1": lambda s: any(sale.share < 1 for p in _pieces(s) for sale in p.sells),
    "two grades for a piece": lambda s: any(len(p.sells) > 1 for p in _pieces(s)),
    "a piece given twice": lambda s: any(g.count > 1 for op in _operations(s) for g in op.gives),
    "two operations on a piece": lambda s: len({op.on for op in _operations(s)}) < len(_operations(s)),
    "a second level": lambda s: any(op.on != "whole" for op in _operations(s)),
    "an operation with a cost": lambda s: any(op.cost for op in _operations(s)),
    "a required operation": lambda s: any(op.required for op in _operations(s)),
    "a sale before a required one": lambda s: any(x.before_required for p in _pieces(s) for x in p.sells),
    "a hidden hazard": _hides,
    "a part": lambda s: bool(_parts_in(s)),
    "a part that needs a find that works": lambda s: any(p.needs for p in _parts_in(s)),
    "a part with a cap": lambda s: any(p.most is not None for p in _parts_in(s)),
    "a part priced in copper": lambda s: any(p.in_copper for p in _parts_in(s)),
    "stock": lambda s: bool(s.stock),
    "downgrades": lambda s: any(Prices(s).downgrades(g) for g in s.grades),
    "a downgrade that would lose a hazard": lambda s: (
        bool(s.grades["pack"].downgrades) and any(q.grade == "pack" for q in _quotes(s))
    ),
    "a negative price": lambda s: any(q.price.mean < 0 for q in _quotes(s)),
    "a minimum lot": lambda s: any(q.minimum_kg for q in _quotes(s)),
    "a tier": lambda s: any(q.from_kg for q in _quotes(s)),
    "a refusal": lambda s: any(refused(s, b, q.grade) for b in s.buyers for q in b.quotes),
    "a mail-in": lambda s: any(b.kind == "mail-in" for b in s.buyers),
    "two sizes of parcel": lambda s: any(len(b.shipping) > 1 for b in s.buyers),
    "three buyers": lambda s: len(s.buyers) >= 3,
    "no trip": lambda s: s.hours.trips == 0,
    "two trips": lambda s: s.hours.trips == 2,
    "three places": lambda s: sum(b.kind != "mail-in" for b in s.buyers) >= 3 and s.hours.trips > 0,
    "points on a map": lambda s: s.home is not None and any(b.at is not None for b in s.buyers),
    "minutes on a road": lambda s: any(r.minutes is not None for r in s.roads),
    "few bench hours": lambda s: s.hours.bench < 1.0 and bool(s.finds),
    "few hours away": lambda s: s.hours.away < 2.0,
    "a small payload": lambda s: s.vehicle is not None and s.vehicle.payload_kg < 20.0,
    "a volume": lambda s: s.vehicle is not None and s.vehicle.volume_l is not None,
    "no wage": lambda s: s.hours.wage == 0.0,
}


def features(it: Scenario) -> list[str]:
    """The names of what a scenario holds."""
    return [name for name, holds in FEATURES.items() if holds(it)]
