"""Random AND/OR graphs of at most eight pieces, and three ways to value one that share no code with planning.

A seed gives one scenario with one find. Its values are read straight from the scenario (docs/model.md and
4.3), never from planning's instance, prices or programme. Masses need not close: the arithmetic does not
ask. All of it is invented.
"""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, reduce
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Caution, Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)
KIND = "box"
PACK = "pack"  # a hazard that has to come out first
USUAL = {"copper-2": 8.0, "copper-light": 6.0, "brass": 4.0, "iron": 0.3, "pack": 0.5, "residue": -0.2}
MOST_POLICIES = 60_000
Floats = NDArray[np.float64]


# --- one find ------------------------------------------------------------------------------------


def estimate(rng: random.Random, about: float) -> Estimate:
    """A lopsided range around a value, sometimes exact; the value may be negative."""
    if rng.random() < 0.25:
        return Estimate.exact(about)
    a, b = sorted((about * rng.uniform(0.5, 1.0), about * rng.uniform(1.0, 2.0)))
    return Estimate(a, about, b)


def mean(it: Estimate) -> float:
    """PERT mean, written out."""
    return (it.low + 4 * it.likely + it.high) / 6


def scenario(seed: int) -> Scenario:
    """One find of one kind, two to eight pieces, two yards and a mail-in; the same for the same seed."""
    rng = random.Random(seed)
    grades = _grades(rng)
    return Scenario(
        name=f"graph {seed}",
        currency="EUR",
        on=DAY,
        hours=Hours(bench=9.0, away=9.0, wage=rng.choice([0.0, 3.0, 12.0, 30.0])),
        vehicle=Vehicle(payload_kg=300.0),
        buyers=_buyers(rng),
        finds=(Find(KIND, 1, rng.choice(["yes", "no", "unknown"]), rng.choice([None, rng.uniform(1.0, 30.0)])),),
        stock={},
        grades=grades,
        anatomies={KIND: _anatomy(rng)},
        cautions={PACK: Caution(PACK, "pack", "fire", "take it out whole", out_first=True)},
        keep_factor=rng.choice([0.0, 0.5, 0.8, 1.0]),
    )


def _grades(rng: random.Random) -> dict[str, Grade]:
    lower: dict[str, tuple[str, ...]] = {
        "copper-2": ("copper-light",),
        "copper-light": ("brass",),
        "brass": ("iron",),
    }
    return {
        g: Grade(
            g,
            g,
            "family",
            estimate(rng, 1.0),
            lower.get(g, ()) if rng.random() < 0.5 else (),
            (PACK,) if g == "pack" else (),
        )
        for g in (*USUAL, "rumour")  # a grade that nobody quotes
    }


def _buyers(rng: random.Random) -> tuple[Buyer, ...]:
    def quotes(chance: float) -> tuple[Quote, ...]:
        sign = [1.0, 1.0, 1.0, 1.0, -0.3]
        return tuple(
            Quote(g, estimate(rng, price * rng.uniform(0.5, 1.6) * rng.choice(sign)), DAY)
            for g, price in USUAL.items()
            if rng.random() < chance
        )

    postage = (Postage(2.0, 3.0), Postage(10.0, 9.0))
    return (
        Buyer("harbour yard", "yard", km=3.0, quotes=quotes(0.8)),
        Buyer("ridge yard", "yard", km=6.0, refuses=rng.choice([(), (PACK,), ("brass",)]), quotes=quotes(0.5)),
        Buyer("mail-in", "mail-in", shipping=postage, quotes=quotes(0.3)),
    )


def _anatomy(rng: random.Random) -> Anatomy:
    n = rng.randint(2, 8)
    ids = [f"p{i}" for i in range(n)]
    operations = []
    for i in range(n - 1):
        required = rng.random() < 0.12
        for k in range(rng.choice([0, 1, 1, 2]) if i else rng.choice([1, 1, 2])):
            children = rng.sample(ids[i + 1 :], min(n - 1 - i, rng.choice([1, 2, 2, 3])))
            gives = tuple(Gives(c, rng.choice([1, 1, 1, 2, 3])) for c in children)
            minutes = estimate(rng, rng.uniform(0.5, 20.0))
            cost = rng.choice([0.0, 0.0, rng.uniform(0.1, 2.0)])
            operations.append(Operation(f"{i}-{k}", "open", ids[i], minutes, gives, cost=cost, required=required))
    opened = {op.on for op in operations}
    pieces = []
    for i, piece_id in enumerate(ids):
        mass = estimate(rng, rng.uniform(0.5, 20.0) / (1 + i))
        sales = tuple(
            SaleAs(g, rng.choice([1.0, 1.0, 0.7, 0.4]), rng.random() < 0.2)
            for g in rng.sample([*USUAL, "rumour"], rng.choice([0, 1, 1, 2, 3]))
        )
        parts = (_part(rng),) if rng.random() < 0.25 else ()
        stop = PACK if piece_id not in opened and rng.random() < 0.15 else None
        pieces.append(Piece(piece_id, piece_id, mass, sales, parts, stop))
    test = Estimate(1.0, rng.uniform(1.0, 9.0), 9.0)
    return Anatomy(KIND, KIND, tuple(pieces), tuple(operations), works=rng.uniform(0.1, 0.9), test_minutes=test)


def _part(rng: random.Random) -> Part:
    return Part(
        price=estimate(rng, rng.uniform(1.0, 40.0)),
        chance=rng.choice([0.0, 0.4, 0.75, 1.0]),
        minutes=estimate(rng, rng.uniform(1.0, 20.0)),
        fee=rng.choice([0.0, 0.14]),
        postage=rng.choice([0.0, 2.0]),
        needs=rng.choice([None, "works"]),
        in_copper=rng.random() < 0.2,
    )


# --- what it is worth, from the scenario alone ---------------------------------------------------


def most(values: Iterable[Any]) -> Any:
    """The highest of some values; of arrays, place by place."""

    def higher(a: Any, b: Any) -> Any:
        return np.maximum(a, b) if isinstance(a, np.ndarray) or isinstance(b, np.ndarray) else max(a, b)

    return reduce(higher, values)


@dataclass(frozen=True)
class Worths:
    """The ways to end a piece and to open it, each with its money, at some wage and prices.

    `prices` are the best quotes of some grades in place of the scenario's own. The wage or a price may be many in an
    array; so are all that follow from it.
    """

    scenario: Scenario
    wage: float
    prices: Mapping[str, float] = field(default_factory=dict)
    works: str | None = None

    @property
    def find(self) -> Find:
        """The only find."""
        return self.scenario.finds[0]

    @property
    def anatomy(self) -> Anatomy:
        """Its anatomy."""
        return self.scenario.anatomies[self.find.kind]

    @cached_property
    def quoted(self) -> dict[str, float]:
        """Best mean price per kg of each grade, a mail-in's less the cheapest full parcel."""
        best: dict[str, float] = {}
        for b in self.scenario.buyers:
            post = min((p.cost / p.up_to_kg for p in b.shipping), default=0.0)
            for q in b.quotes:
                g = self.scenario.grades[q.grade]
                if not {g.id, g.family, *g.hazards} & set(b.refuses):
                    best[g.id] = max(best.get(g.id, -math.inf), mean(q.price) - post)
        return {**best, **self.prices}

    def below(self, grade: str) -> set[str]:
        """The grade and all it may be sold as that names its hazards and leads to a quote."""
        hazards = set(self.scenario.grades[grade].hazards)
        found = {grade}
        for lower in self.scenario.grades[grade].downgrades:
            if hazards <= set(self.scenario.grades[lower].hazards) and self.below(lower) & self.quoted.keys():
                found |= self.below(lower)
        return found

    def kept_per_kg(self, grade: str) -> Any:
        """Keep factor times the quote, 0 where there is none, or that of something it may be sold as."""
        if grade not in self.scenario.grades:
            return 0.0
        factor = self.scenario.keep_factor
        assert factor is not None
        return most(factor * self.quoted.get(g, 0.0) for g in self.below(grade))

    def sold_per_kg(self, grade: str) -> Any:
        """The better of the best quote and keeping; a grade that leads to no quote is only kept."""
        return most([self.kept_per_kg(grade), *(self.quoted[g] for g in self.below(grade) if g in self.quoted)])

    def kg(self, piece: Piece) -> float:
        """PERT mean mass, stretched where the find was weighed."""
        weighed = self.find.mass_kg
        scale = 1.0 if weighed is None else weighed / mean(self.anatomy.pieces[0].mass)
        return scale * mean(piece.mass)

    def inside(self, piece: str) -> set[str]:
        """The piece and everything any operation could lay bare in it."""
        direct = {g.piece for op in self.anatomy.operations if op.on == piece for g in op.gives}
        return {piece}.union(*(self.inside(child) for child in direct))

    def sales(self, piece: Piece) -> list[SaleAs]:
        """The sales that no required operation and no hidden hazard forbids."""
        required = any(op.required for op in self.anatomy.operations if op.on == piece.id)
        grades = self.scenario.grades
        held = [self.anatomy.piece(p) for p in self.inside(piece.id)]
        named = {h for p in held for s in p.sells for h in grades[s.grade].hazards} | {p.stop for p in held}
        hidden = {h for h, caution in self.scenario.cautions.items() if h in named and caution.out_first}
        return [
            s for s in piece.sells if s.before_required or (not required and hidden <= set(grades[s.grade].hazards))
        ]

    def as_grade(self, piece: Piece, sale: SaleAs, kept: bool) -> Any:
        """Money of one sale, what is left of the mass being residue."""
        price = self.kept_per_kg if kept else self.sold_per_kg
        return self.kg(piece) * (sale.share * price(sale.grade) + (1 - sale.share) * price("residue"))

    def ends(self, piece: Piece) -> list[float]:
        """Money of every way to leave a piece shut: keep, sell by grade, sell as a part."""
        sales = self.sales(piece)
        kept = most([self.as_grade(piece, s, True) for s in sales] or [0.0])
        found = [kept, *(self.as_grade(piece, s, False) for s in sales)]
        paid = [self.quoted[g] for g in self.below("copper-2") if g in self.quoted]
        copper = most(paid) if paid else None
        for part in piece.parts:
            unit = copper if part.in_copper else 1.0
            if unit is None or (part.needs == "works" and (self.works or self.find.works) != "yes"):
                continue
            sold = part.chance * unit * (mean(part.price) * (1 - part.fee) - part.postage)
            found.append(sold + (1 - part.chance) * kept - self.wage * self.hours(part.minutes))
        return found

    def hours(self, minutes: Estimate) -> float:
        """Hours at the PERT mean."""
        return mean(minutes) / 60

    def openings(self, piece: str) -> list[Operation]:
        """The operations that may come first."""
        there = [op for op in self.anatomy.operations if op.on == piece]
        return [op for op in there if op.required] or there

    def fee(self, op: Operation) -> float:
        """What one run costs: hours at the wage and money."""
        return self.wage * self.hours(op.minutes) + op.cost

    # -- three ways to the best --------------------------------------------------------------------

    @cached_property
    def policies(self) -> int:
        """Ways to fix, for every piece, what is done with it."""
        return math.prod(len(self.ends(p)) + len(self.openings(p.id)) for p in self.anatomy.pieces)

    def by_trying_everything(self) -> Floats:
        """The find's worth under every policy: one axis a piece, one place on it for each thing to do.

        Nothing is left out as poor on the way: only the reader takes the maximum.
        """
        pieces = self.anatomy.pieces
        worth: dict[str, Floats] = {}
        for axis in reversed(range(len(pieces))):
            ways: list[Floats] = [np.full((1,) * len(pieces), end) for end in self.ends(pieces[axis])]
            for op in self.openings(pieces[axis].id):
                total = np.full((1,) * len(pieces), -self.fee(op))
                for g in op.gives:
                    total = total + g.count * worth[g.piece]
                ways.append(total)
            worth[pieces[axis].id] = np.concatenate(np.broadcast_arrays(*ways), axis=axis) if len(ways) > 1 else ways[0]
        return worth[pieces[0].id]

    def by_linear_programme(self) -> float:
        """Flow form: of every piece, found + made = opened + ended; every amount may be a fraction."""
        index = {p.id: i for i, p in enumerate(self.anatomy.pieces)}
        money: list[float] = []
        entries: list[tuple[int, int, float]] = []  # row, column, value
        for p in self.anatomy.pieces:
            for end in self.ends(p):
                entries.append((index[p.id], len(money), 1.0))
                money.append(end)
            for op in self.openings(p.id):
                entries.append((index[p.id], len(money), 1.0))
                entries += [(index[g.piece], len(money), -float(g.count)) for g in op.gives]
                money.append(-self.fee(op))
        flow = np.zeros((len(index), len(money)))
        for row, column, value in entries:
            flow[row, column] += value
        found = np.zeros(len(index))
        found[0] = 1.0
        answer = linprog(-np.array(money), A_eq=flow, b_eq=found, method="highs")
        assert answer.fun is not None, answer.message
        return -float(answer.fun)

    def best(self, piece: str | None = None, leave_out: str | None = None) -> Any:
        """Plain recursion, for break-evens; `leave_out` names an operation not to use on `piece`."""
        it = self.anatomy.pieces[0] if piece is None else self.anatomy.piece(piece)
        ways = self.ends(it)
        ways += [self.run(op) for op in self.openings(it.id) if op.id != leave_out]
        return most(ways)

    def run(self, op: Operation) -> Any:
        """One operation with the best of all that it gives."""
        return sum(g.count * self.best(g.piece) for g in op.gives) - self.fee(op)

    def margin(self, op: Operation) -> Any:
        """What an operation is worth above the best other thing to do with its piece."""
        return self.run(op) - self.best(op.on, leave_out=op.id)


def small_seeds(wanted: int) -> list[int]:
    """The first seeds whose graph has few enough policies to try them all."""
    found: list[int] = []
    seed = 0
    while len(found) < wanted:
        if Worths(scenario(seed), 0.0).policies <= MOST_POLICIES:
            found.append(seed)
        seed += 1
    return found
