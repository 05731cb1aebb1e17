"""Random tiny scenarios in which loads are small beside the pieces that have to be loaded whole. All invented.

Kinds and grades are those of `tiny`; what differs is that a load, a parcel or a lot holds few pieces, that two
buyers or two trips are open to most of them, and that prices fall with mass about as often as they rise.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import tiny
from brute_pieces import Bench, Prices
from brute_selling import takes_whole

from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle


def quotes(rng: random.Random) -> tuple[Quote, ...]:
    """Prices of what whole finds are sold as and of two other grades; at most one of them with a step."""
    rows: list[Quote] = []
    stepped = rng.choice(["shell", "iron", "copper-light", None, None])
    for grade in ("shell", *rng.sample(["iron", "copper-light", "residue"], rng.choice([0, 1]))):
        if grade == "shell" and rng.random() < 0.15:
            continue
        price = tiny.USUAL[grade] * rng.uniform(0.6, 1.5)
        rows.append(Quote(grade, tiny.exact(price), tiny.DAY, rng.uniform(2.0, 9.0) if rng.random() < 0.1 else 0.0))
        if grade == stepped:
            factor = rng.choice([rng.uniform(0.5, 0.95), rng.uniform(1.05, 1.6)])
            rows.append(Quote(grade, tiny.exact(price * factor), tiny.DAY, 0.0, rng.uniform(3.0, 14.0)))
    return tuple(rows)


def parcel_post(rng: random.Random) -> Buyer:
    """A mail-in whose parcels hold a piece or two."""
    small = Postage(rng.uniform(2.0, 6.0), rng.uniform(0.1, 0.5))
    large = Postage(small.up_to_kg * rng.uniform(1.3, 2.5), small.cost * rng.uniform(1.1, 2.0))
    return Buyer("post", "mail-in", shipping=(small, large)[: rng.randint(1, 2)], quotes=quotes(rng))


def load(seed: int) -> Scenario:
    """One scenario; the same seed gives the same one."""
    rng = random.Random(f"loads {seed}")
    trips = rng.choice([1, 1, 2])
    yards = [
        Buyer(f"b{i}", "yard", km=rng.uniform(0.5, 3.0), minutes=5.0, quotes=quotes(rng))
        for i in range(rng.randint(1, 2))
    ]
    mail = [parcel_post(rng)] if rng.random() < 0.3 else []
    anatomies = {kind: tiny.anatomy(rng, kind) for kind in ("fan", "mixer")}
    finds = tuple(
        Find(kind, rng.choice([1, 1, 2]), "no", rng.uniform(2.0, 9.0)) for kind in rng.sample(sorted(anatomies), 2)
    )
    return Scenario(
        name=f"load {seed}",
        currency="EUR",
        on=tiny.DAY,
        hours=Hours(bench=rng.choice([0.0, 0.1, 0.3]), away=6.0, wage=rng.choice([0.0, 1.0]), trips=trips),
        vehicle=Vehicle(
            payload_kg=rng.uniform(3.0, 14.0),
            volume_l=rng.choice([None, None, rng.uniform(10.0, 80.0)]),
            cost_per_km=rng.choice([0.0, 0.05]),
            whole_above_kg=rng.choice([25.0, 2.0]),
        ),
        buyers=(*yards, *mail),
        finds=finds,
        stock={
            grade: rng.uniform(1.0, 6.0) for grade in rng.sample(["iron", "shell", "copper-light"], rng.choice([0, 1]))
        },
        grades=tiny.grades(rng),
        anatomies=anatomies,
        cautions={},
        keep_factor=rng.choice([0.0, 0.2, 0.5]),
    )


def whole_pieces(it: Scenario) -> list[tuple[str, float]]:
    """Grade and kilograms of each sale of a piece that rides whole, whether it is there yet or inside another."""
    found = []
    for find in it.finds:
        bench = Bench(it, Prices(it), find)
        for piece in bench.anatomy.pieces:
            if bench.is_whole(piece.id):
                found += [(sale.grade, bench.kg(piece.id) * sale.share) for sale in bench.sales(piece.id)]
    return found


def _open_to(it: Scenario, grade: str, kg: float) -> set[str]:
    """Buyers that quote a grade or one that it may be sold as, and can be brought a piece of this mass."""
    reached = Prices(it).reaches(grade)
    payload = 0.0 if it.vehicle is None else it.vehicle.payload_kg
    able = [b for b in it.buyers if (kg <= payload if b.is_visited else takes_whole(b, kg))]
    return {b.id for b in able for q in b.quotes if q.grade in reached}


FEATURES: dict[str, Callable[[Scenario], bool]] = {
    "a piece that nothing carries": lambda s: any(kg > _payload(s) for _, kg in whole_pieces(s)),
    "a piece with two trips to choose from": lambda s: (
        s.hours.trips == 2 and any(_open_to(s, g, kg) and kg > 0.5 * _payload(s) for g, kg in whole_pieces(s))
    ),
    "a piece with two buyers to choose from": lambda s: any(len(_open_to(s, g, kg)) > 1 for g, kg in whole_pieces(s)),
    "a piece that goes into a parcel": lambda s: any("post" in _open_to(s, g, kg) for g, kg in whole_pieces(s)),
    "a piece that is no find": lambda s: s.vehicle is not None and s.vehicle.whole_above_kg < 25.0,
    "a price that falls with mass": lambda s: any(
        q.from_kg and any(q.price.mean < p.price.mean for p in b.quotes if p.grade == q.grade)
        for b in s.buyers
        for q in b.quotes
    ),
}


def _payload(it: Scenario) -> float:
    return 0.0 if it.vehicle is None else it.vehicle.payload_kg
