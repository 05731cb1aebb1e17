"""Seeded scenarios of four sizes, built straight from the dataclasses: all invented, source `demo`."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from partway.things.anatomy import Anatomy, Gives, Operation, Part, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Postage, Quote, Scenario, Vehicle

DAY = dt.date(2026, 3, 14)


@dataclass(frozen=True)
class Size:
    """How big a scenario is: kinds of finds, finds a kind on average, grades, buyers and trips."""

    kinds: int
    per_kind: float
    grades: int
    buyers: int
    trips: int
    bench: float
    away: float
    payload: float


SIZES = {
    "day": Size(kinds=10, per_kind=2.5, grades=16, buyers=3, trips=1, bench=5.0, away=4.0, payload=350.0),
    "week": Size(kinds=40, per_kind=4.5, grades=40, buyers=6, trips=2, bench=25.0, away=8.0, payload=500.0),
    "month": Size(kinds=200, per_kind=4.5, grades=70, buyers=12, trips=2, bench=100.0, away=12.0, payload=1500.0),
    "depot": Size(kinds=1000, per_kind=4.5, grades=90, buyers=25, trips=3, bench=500.0, away=24.0, payload=5000.0),
}


def scenario(size: str, seed: int) -> Scenario:
    """One scenario; the same size and seed give the same one."""
    return _Maker(SIZES[size], np.random.default_rng([seed, len(size), SIZES[size].kinds])).make(f"{size}-{seed}")


class _Maker:
    def __init__(self, size: Size, rng: np.random.Generator) -> None:
        self.size, self.rng = size, rng
        self.value: dict[str, float] = {}

    def make(self, name: str) -> Scenario:
        grades = self._grades()
        anatomies = {f"kind-{i}": self._anatomy(f"kind-{i}", list(grades)) for i in range(self.size.kinds)}
        size = self.size
        return Scenario(
            name=name,
            currency="GBP",
            on=DAY,
            hours=Hours(size.bench, size.away, 11.0, size.trips),
            vehicle=Vehicle(size.payload, size.payload * 4.0, 0.3, 45.0),
            buyers=tuple(self._buyer(b, list(grades)) for b in range(size.buyers)),
            finds=tuple(self._finds(list(anatomies))),
            stock={g: self._between(2.0, 60.0) for g in grades if self.rng.random() < 0.4},
            grades=grades,
            anatomies=anatomies,
            home=(54.0, -3.0),
        )

    def _between(self, low: float, high: float) -> float:
        return round(float(self.rng.uniform(low, high)), 3)

    def _estimate(self, likely: float) -> Estimate:
        likely = max(likely, 0.01)
        return Estimate(round(likely * 0.7, 4), round(likely, 4), round(likely * 1.5, 4))

    def _grades(self) -> dict[str, Grade]:
        grades: dict[str, Grade] = {}
        for i in range(self.size.grades):
            grade = f"grade-{i}"
            self.value[grade] = float(np.exp(self.rng.normal(0.0, 1.2))) * (0.1 if self.rng.random() < 0.3 else 1.0)
            lower = [g for g in grades if self.value[g] < self.value[grade] * 0.8]
            down = (str(self.rng.choice(lower)),) if lower and self.rng.random() < 0.5 else ()
            grades[grade] = Grade(grade, grade, "demo", Estimate.exact(self._between(0.2, 2.0)), downgrades=down)
        grades["residue"] = Grade("residue", "residue", "demo", Estimate.exact(0.2))
        self.value["residue"] = -0.12
        return grades

    def _anatomy(self, kind: str, grades: list[str]) -> Anatomy:
        self.pieces: list[Piece] = []
        self.operations: list[Operation] = []
        self._piece("whole", self._between(2.0, 25.0), 0, grades)
        return Anatomy(kind, kind, tuple(self.pieces), tuple(self.operations))

    def _piece(self, name: str, kg: float, depth: int, grades: list[str]) -> None:
        opens = depth == 0 or (depth < 3 and self.rng.random() < 0.35)
        by_value = sorted(grades, key=lambda g: self.value[g])
        pool = by_value[: len(grades) // 2] if opens else grades
        chosen = self.rng.choice(pool, size=1 + int(self.rng.random() < 0.3), replace=False)
        sells = tuple(SaleAs(str(g), 1.0 if self.rng.random() < 0.8 else 0.9) for g in chosen)
        parts = ()
        if self.rng.random() < 0.12:
            price = self._estimate(kg * self._between(0.5, 3.0) + 4.0)
            parts = (Part(price, self._between(0.2, 0.8), self._estimate(15.0), fee=0.14, postage=4.0, most=2),)
        self.pieces.append(Piece(name, name, self._estimate(kg), sells, parts))
        for way in range(1 + int(self.rng.random() < 0.4) if opens else 0):
            self._operation(name, way, kg, depth, grades)

    def _operation(self, on: str, way: int, kg: float, depth: int, grades: list[str]) -> None:
        shares = self.rng.dirichlet(np.ones(int(self.rng.integers(2, 6))))
        gives = []
        for i, share in enumerate(shares):
            child = f"{on}-{way}{i}" if on != "whole" else f"p{way}{i}"
            self._piece(child, kg * float(share), depth + 1, grades)
            gives.append(Gives(child))
        minutes = self._estimate(self._between(1.0, 4.0) + kg * self._between(0.3, 1.5))
        self.operations.append(Operation(f"{on}-{way}", on, on, minutes, tuple(gives)))

    def _buyer(self, b: int, grades: list[str]) -> Buyer:
        mail = b % 6 == 5
        taste = self._between(0.35, 0.7)
        quotes = [q for g in grades if self.rng.random() < taste for q in self._quotes(g, 1.15 if mail else 1.0)]
        place = (54.0 + float(self.rng.normal(0, 0.09)), -3.0 + float(self.rng.normal(0, 0.15)))
        return Buyer(
            id=f"buyer-{b}",
            kind="mail-in" if mail else "yard",
            at=None if mail else place,
            minutes=10.0 if mail else self._between(12.0, 30.0),
            shipping=(Postage(5.0, 8.0), Postage(20.0, 17.0)) if mail else (),
            quotes=tuple(quotes),
        )

    def _quotes(self, grade: str, factor: float) -> list[Quote]:
        price = self.value[grade] * factor * float(np.exp(self.rng.normal(0.0, 0.15)))
        minimum = self._between(5.0, 60.0) if self.rng.random() < 0.12 else 0.0
        quotes = [Quote(grade, Estimate.exact(round(price, 4)), DAY, minimum_kg=minimum)]
        if price > 0 and self.rng.random() < 0.2:
            start = minimum + self._between(20.0, 120.0)
            quotes.append(Quote(grade, Estimate.exact(round(price * 1.08, 4)), DAY, from_kg=start))
        return quotes

    def _finds(self, kinds: list[str]) -> list[Find]:
        return [Find(kind, 1 + int(self.rng.poisson(self.size.per_kind - 1.0)), "yes") for kind in kinds]
