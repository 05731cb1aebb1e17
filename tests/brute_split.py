"""Trying everything, last part: the best split of kilograms, the one thing left to linear programming (see brute)."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from brute_bounds import Bounds, Floats
from brute_pieces import SLACK, Prices
from brute_selling import Choice
from scipy.optimize import linprog

Taken = tuple[float, ...]  # kg of whole pieces in each lot


@dataclass(frozen=True)
class Dual:
    """A price for each kilogram of each grade and for each limit: with them no split is worth more than `above` says.

    Lagrange: at whatever prices, lots, downgrades and kept kilograms together bring at most what all limits cost and
    what each of them gains apart from the others. Any prices will do; those of a solved programme are near the best.
    """

    grades: Floats
    gains: Floats  # of a kilogram in each lot, over what it costs at these prices
    rest: float  # what limits cost, and what downgrades and kept kilograms gain at most

    def above(self, masses: Floats, low: Floats, high: Floats) -> float:
        """At least what the best split of these kilograms is worth."""
        return float(self.grades @ masses + np.maximum(self.gains * low, self.gains * high).sum() + self.rest)


@dataclass
class Split:
    """The kilograms of one choice. Unknowns: kg of each lot, of each downgrade, and kept of each grade."""

    bounds: Bounds
    prices: Prices
    choice: Choice
    most_kg: float
    known: list[Dual] = field(default_factory=list)

    def __post_init__(self) -> None:
        grades, lots = self.bounds.grades, self.choice.lots
        arcs = [(grades.index(g), grades.index(h)) for g in grades for h in self.prices.downgrades(g)]
        n, a, m = len(lots), len(arcs), len(grades)
        self.at = [grades.index(lot.step.grade) for lot in lots]
        self.low = np.array([lot.step.low for lot in lots])
        self.high = np.array([lot.step.high for lot in lots])
        self.worth = np.array([*(lot.step.price for lot in lots), *[0.0] * a, *self.bounds.kept])
        self.balance = np.zeros((m, n + a + m))
        self.balance[self.at, range(n)] = 1.0
        for i, (g, h) in enumerate(arcs):
            self.balance[g, n + i] += 1.0
            self.balance[h, n + i] -= 1.0
        self.balance[:, n + a :] = np.eye(m)
        self.rows, self.limits = limits(self.bounds, self.choice)

    def masses(self, loose: Floats, taken: Taken) -> Floats:
        """Kilograms of each grade; those in whole pieces are in the grade of their lot from the start."""
        masses = loose.copy()
        np.add.at(masses, self.at, taken)
        return masses

    def ends(self, taken: Taken, exactly: Taken | None = None) -> tuple[Floats, Floats]:
        """Kilograms that each lot has at least (its lower end, or the whole pieces in it) and at most.

        `exactly`: what a lot has where its pieces are counted; not a number where they are not.
        """
        least: Floats = np.minimum(np.maximum(self.low, taken), self.high)
        if exactly is None:
            return least, self.high
        fixed = np.array(exactly)
        return np.where(np.isnan(fixed), least, fixed), np.where(np.isnan(fixed), self.high, fixed)

    def possible(self, loose: Floats, taken: Taken, exactly: Taken | None = None) -> bool:
        """Whether there is any split at all: one in which each lot has no more than it must, and the rest is kept."""
        least = self.ends(taken, exactly)[0]
        need = np.zeros(len(loose))
        np.add.at(need, self.at, least)
        within = (self.rows @ least <= np.array(self.limits) + SLACK).all()
        return bool(within) and self.bounds.suffice(self.masses(loose, taken), need)

    def above(self, loose: Floats, taken: Taken, exactly: Taken | None = None) -> float:
        """At least what the best split is worth, by prices known from others of this choice."""
        masses, (low, most) = self.masses(loose, taken), self.ends(taken, exactly)
        high = np.minimum(most, self.most_kg)
        return min((dual.above(masses, low, np.maximum(low, high)) for dual in self.known), default=math.inf)

    def best(self, loose: Floats, taken: Taken, exactly: Taken | None = None) -> float:
        """The best money of lots and kept kilograms; minus infinity if impossible."""
        if not self.bounds.grades:
            return 0.0
        others = len(self.worth) - len(self.at)
        answer = linprog(
            -self.worth,
            A_ub=np.hstack([self.rows, np.zeros((len(self.rows), others))]) if len(self.rows) else None,
            b_ub=self.limits if len(self.rows) else None,
            A_eq=self.balance,
            b_eq=self.masses(loose, taken),
            bounds=[*zip(*self.ends(taken, exactly), strict=True), *[(0.0, None)] * others],
        )
        assert answer.status in (0, 2), answer.message
        if answer.status == 2:
            return -math.inf
        self.known.append(self.dual(-answer.eqlin.marginals, -answer.ineqlin.marginals))
        return -float(answer.fun or 0.0)

    def dual(self, grades: Floats, limits: Floats) -> Dual:
        """What is known from these prices of grades and limits, whatever the solver meant by them."""
        n, limits = len(self.at), np.maximum(limits, 0.0)
        gains = self.worth - grades @ self.balance
        gains[:n] -= limits @ self.rows if len(self.rows) else 0.0
        rest = float(limits @ np.array(self.limits)) if len(self.rows) else 0.0
        return Dual(grades, gains[:n], rest + self.most_kg * float(np.maximum(gains[n:], 0.0).sum()))


def limits(bounds: Bounds, choice: Choice) -> tuple[Floats, list[float]]:
    """What each trip may weigh and fill, and what goes into parcels: kilograms of each lot by limit, and the limits."""
    rows: list[list[float]] = []
    limits: list[float] = []
    vehicle = bounds.scenario.vehicle
    for k in range(choice.trips):
        assert vehicle is not None
        rows.append([float(lot.trip == k) for lot in choice.lots])
        limits.append(vehicle.payload_kg)
        if vehicle.volume_l is not None:
            density = [bounds.scenario.grades[lot.step.grade].density.mean for lot in choice.lots]
            rows.append([(lot.trip == k) / d for lot, d in zip(choice.lots, density, strict=True)])
            limits.append(vehicle.volume_l)
    for buyer, room in choice.room.items():
        if math.isfinite(room):
            rows.append([float(lot.trip is None and lot.step.buyer == buyer) for lot in choice.lots])
            limits.append(room)
    return np.array(rows).reshape(len(rows), len(choice.lots)), limits
