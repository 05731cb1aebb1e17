"""Drawn anatomies whose operations come one after another, and all orders of their work, tried one by one.

The tables are as a file has them. What they are worth is counted from the tables alone, by going through every order in
which the work may be done and stopping at every point: nothing here knows of pieces that steps leave. All invented.
"""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any

from partway.catalogue import read_anatomies
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario, Vehicle

KIND, DAY = "drawn", dt.date(2026, 3, 14)
PRICES = {"metal": 1.0, "better": 2.5, "muck": -0.5, "unquoted": 0.0}
Table = dict[str, Any]


def table(seed: int) -> Table:
    """A find with two to four steps on it, some after others, and up to three ways to open what they leave."""
    rng = random.Random(seed)
    pieces = [_piece(rng, "whole", 100.0)]
    work = list(_group(rng, "whole", pieces, rng.randint(2, 4)))
    inner = [one["piece"] for op in work if op["id"].startswith("whole-step") for one in op["gives"]]
    if rng.random() < 0.4:  # what a step takes off has steps of its own
        work += _group(rng, rng.choice(inner), pieces, 2, small=True)
    rng.shuffle(work)
    return {"kind": KIND, "piece": pieces, "operation": work}


def _piece(rng: random.Random, name: str, kg: float) -> Table:
    sells = [
        {"grade": g, "share": rng.choice([1.0, 0.6])} for g in rng.sample(sorted(PRICES), rng.choice([0, 1, 1, 2]))
    ]
    row: Table = {"id": name, "mass_kg": kg, "sells": sells}
    if rng.random() < 0.2:
        row["parts"] = [{"price": rng.uniform(1.0, 120.0), "chance": 1.0, "minutes": rng.uniform(1.0, 20.0)}]
    return row


def _group(rng: random.Random, on: str, pieces: list[Table], steps: int, small: bool = False) -> Iterator[Table]:
    """Steps on a piece and what opens the rest; in a quarter of them most steps are required."""
    kg = 0.2 if small else 8.0
    before: dict[str, list[str]] = {}
    required: set[str] = set()
    strict = rng.random() < 0.25
    for i in range(steps):
        name = f"{on}-step{i}"
        before[name] = [other for other in before if rng.random() < 0.35]
        if rng.random() < (0.9 if strict else 0.25) and set(before[name]) <= required:
            required.add(name)
        yield _work(
            rng, name, on, [(f"{name}.off", rng.uniform(0.2, 1.0) * kg)], pieces, before[name], name in required
        )
    ends = rng.choice([1, 1, 2, 3])
    last = len(required) == steps and rng.random() < 0.5  # nothing is sold before what is behind them
    for i in range(ends):
        after = sorted({step for step in before if i == 0 or last or rng.random() < 0.5} | required)
        gives = [(f"{on}-end{i}.{part}", rng.uniform(1.0, 7.0) * kg) for part in range(rng.choice([1, 2]))]
        yield _work(rng, f"{on}-end{i}", on, gives, pieces, after, last)


def _work(
    rng: random.Random,
    name: str,
    on: str,
    gives: list[tuple[str, float]],
    pieces: list[Table],
    after: list[str],
    required: bool,
) -> Table:
    pieces += [_piece(rng, piece, kg) for piece, kg in gives]
    op: Table = {
        "id": name,
        "on": on,
        "minutes": rng.uniform(0.5, 30.0),
        "gives": [{"piece": piece, "count": rng.choice([1, 1, 2])} for piece, _ in gives],
        "cost": rng.choice([0.0, 0.0, rng.uniform(0.1, 2.0)]),
        "required": required,
    }
    return {**op, "after": after} if after else op


def read(drawn: Table) -> Anatomy:
    """The anatomy as partway reads it."""

    def alone(name: str) -> Anatomy:
        raise KeyError(name)

    return read_anatomies([drawn], "drawn.toml", alone)[KIND]


def scenario(drawn: Table, wage: float, bench: float = 1000.0, count: int = 1) -> Scenario:
    """One yard at those prices, all of which is as good kept: nobody has to drive."""
    return Scenario(
        name="steps",
        currency="EUR",
        on=DAY,
        hours=Hours(bench, 9.0, wage),
        vehicle=Vehicle(1e6),
        buyers=(Buyer("harbour yard", "yard", km=1.0, quotes=tuple(_quotes())),),
        finds=(Find(KIND, count),),
        stock={},
        grades={g: Grade(g, g, "family", Estimate.exact(1.0)) for g in PRICES},
        anatomies={KIND: read(drawn)},
        keep_factor=1.0,
    )


def _quotes() -> Iterator[Quote]:
    return (Quote(g, Estimate.exact(price), DAY) for g, price in PRICES.items() if g != "unquoted")


Ending = tuple[float, float]  # money without wages, hours


@dataclass(frozen=True)
class Orders:
    """Every order of the work on one find, and what it comes to."""

    drawn: Table

    @property
    def rows(self) -> Mapping[str, Table]:
        """The pieces of the file."""
        return {row["id"]: row for row in self.drawn["piece"]}

    def endings(self, piece: str) -> set[Ending]:
        """All ways for a piece of the file to end; of those alike in hours the best is enough."""
        row, work = self.rows[piece], [op for op in self.drawn["operation"] if op["on"] == piece]
        parts = {(part["price"] * part["chance"], part["minutes"] / 60) for part in row.get("parts", [])}
        return _best(parts | set(self._going_on(row, work, [], row["mass_kg"])))

    def _going_on(self, row: Table, work: list[Table], order: list[str], kg: float) -> Iterator[Ending]:
        """The piece with so much done to it in this order, `kg` of it left: to stop, or anything that may follow."""
        steps = {step for op in work for step in op.get("after", [])}
        owed = any(op["required"] and op["id"] not in order for op in work)
        shut = [kg * sale["share"] * PRICES[sale["grade"]] for sale in row["sells"] if not owed]
        yield max(shut, default=0.0), 0.0
        for op in work:
            if op["id"] in order or (owed and not op["required"]):
                continue
            if op["id"] in steps and set(op.get("after", [])) <= set(order):
                off = sum(self.rows[one["piece"]]["mass_kg"] * one["count"] for one in op["gives"])
                yield from self._done(op, self._going_on(row, work, [*order, op["id"]], kg - off))
            if op["id"] not in steps and set(order) == needs(op, work):
                yield from self._done(op, [(0.0, 0.0)])

    def _done(self, op: Table, behind: Iterator[Ending] | list[Ending]) -> Iterator[Ending]:
        ends = _best(set(behind))
        for one in op["gives"]:
            for _ in range(one["count"]):
                ends = _best({(a + c, b + d) for (a, b), (c, d) in product(ends, self.endings(one["piece"]))})
        return ((money - op["cost"], hours + op["minutes"] / 60) for money, hours in ends)


def needs(op: Table, work: list[Table]) -> set[str]:
    """All that has to be done before an operation."""
    direct = set(op.get("after", []))
    return direct.union(*(needs(other, work) for other in work if other["id"] in direct))


def _best(ends: set[Ending]) -> set[Ending]:
    """Those that no quicker one equals in money."""
    found: list[Ending] = []
    for money, hours in sorted(ends, key=lambda end: (end[1], -end[0])):
        if not found or money > found[-1][0] + 1e-12:
            found.append((money, hours))
    return set(found)
