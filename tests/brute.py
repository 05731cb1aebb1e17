"""The best plan of a tiny scenario by trying everything, for holding the real plan against.

Written from docs/model.md and the dataclasses of partway.things alone: it shares no code with
planning, neither its instance nor its prices, roads, tours or tiers, and knows no integer programme.
Every whole-number choice is listed (how each single piece ends, which buyers each trip visits and in
what order, which price step each lot takes, how many parcels of each size, and the lot of each piece that
has to be loaded whole); only the split of
kilograms, which is continuous, is left to scipy's linear programming, once for each combination that
a plain upper bound cannot rule out.

The parts of it: brute_pieces (prices, and how pieces end), brute_selling (driving, lots, parcels), and
here the search. Good for about three finds of a few pieces, three buyers and two trips.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from brute_pieces import NOTHING_BARRED, SLACK, Barred, End, Prices, Tally, TooLarge, all_ends
from brute_selling import Choice, Selling, packs, takes_whole
from numpy.typing import NDArray
from scipy.optimize import linprog

from partway.things.scenario import Scenario

Floats = NDArray[np.float64]
Whole = tuple[tuple[str, float], ...]  # grade and kilograms of each piece that is loaded whole
MOST_CHOICES = 20_000  # combinations of trips, price steps and parcels
MOST_PROGRAMMES = 2_500  # linear programmes that the bound leaves to solve


def best_total(scenario: Scenario) -> float:
    """The objective of the best plan, in currency units; raises TooLarge."""
    return Search(scenario).best().total


@dataclass(frozen=True, slots=True)
class Best:
    """The best plan found, for a look at what it does."""

    total: float
    end: End
    choice: Choice
    programmes: int


def margin(total: float) -> float:
    """Less than this is no improvement."""
    return 1e-9 * max(1.0, abs(total))


class Search:
    """Every end of the pieces with every choice of selling, the most promising first; `barred` is left out."""

    def __init__(self, scenario: Scenario, barred: Barred = NOTHING_BARRED) -> None:
        self.scenario, self.barred = scenario, barred
        self.prices = Prices(scenario)
        ends = all_ends(scenario, self.prices, barred)
        wage = scenario.hours.wage
        by_kg: dict[tuple[Tally, Whole], tuple[float, End]] = {}
        for end in ends:
            money, key = end.money - wage * end.hours, (end.kg, end.whole)
            if key not in by_kg or money > by_kg[key][0]:
                by_kg[key] = (money, end)
        self.ends = [end for _, end in by_kg.values()]
        self.money = np.array([money for money, _ in by_kg.values()])
        direct = {str(g) for kg, _ in by_kg for g, _ in kg} | {g for _, whole in by_kg for g, _ in whole}
        direct |= set(scenario.stock)
        self.grades = sorted(set().union(*(self.prices.reaches(g) for g in direct)))
        stock = np.array([scenario.stock.get(g, 0.0) for g in self.grades])
        loose = np.array([[dict(kg).get(g, 0.0) for g in self.grades] for kg, _ in by_kg])
        self.loose = loose.reshape(len(by_kg), len(self.grades)) + stock
        pieces = np.array([[sum(kg for h, kg in whole if h == g) for g in self.grades] for _, whole in by_kg])
        self.masses = self.loose + pieces.reshape(len(by_kg), len(self.grades))
        self.kept = np.array([self.prices.kept[g] for g in self.grades])
        # becomes[i, j]: whether grade i may be sold as grade j
        self.becomes = np.array([[h in self.prices.reaches(g) for h in self.grades] for g in self.grades])
        self.becomes = self.becomes.reshape(len(self.grades), len(self.grades))
        self.programmes = 0

    def best(self) -> Best:
        """Goes down the upper bounds until the best plan found beats all that is left."""
        most_kg = float(self.masses.sum(axis=1).max(initial=0.0))
        whole = {(h, kg) for end in self.ends for g, kg in end.whole for h in self.prices.reaches(g)}
        most_whole = max(len(end.whole) for end in self.ends)
        selling = Selling(self.barred.selling(self.scenario), set(self.grades), most_kg, frozenset(whole), most_whole)
        choices = list(itertools.islice(selling.choices(), MOST_CHOICES + 1))
        if len(choices) > MOST_CHOICES:
            raise TooLarge(f"{len(choices)} ways to sell")
        highest = [float(self.bounds(choice).max()) for choice in choices]
        nothing = self.money + self.masses @ self.kept
        nothing[[bool(end.whole) for end in self.ends]] = -np.inf  # what is to be loaded whole is sold
        first = int(np.argmax(nothing))
        best = Best(float(nothing[first]), self.ends[first], Choice(0, (), {}, 0.0), 0)
        for c in np.argsort(-np.array(highest)):
            if highest[c] <= best.total + margin(best.total):
                break
            bounds = self.bounds(choices[c])
            for e in np.argsort(-bounds):
                if bounds[e] <= best.total + margin(best.total):
                    break
                for taken in self.loadings(choices[c], self.ends[e].whole):
                    total = self.money[e] - choices[c].cost + self.split(choices[c], self.loose[e], taken)
                    if total > best.total:
                        best = Best(float(total), self.ends[e], choices[c], 0)
        return Best(best.total, best.end, best.choice, self.programmes)

    def loadings(self, choice: Choice, whole: Whole) -> Iterator[tuple[float, ...]]:
        """Kilograms of whole pieces in each lot, for every way to share them out that lots and loads have room for."""
        buyers = {b.id: b for b in self.scenario.buyers}
        able = [
            [
                i
                for i, lot in enumerate(choice.lots)
                if lot.step.grade in self.prices.reaches(g) and takes_whole(buyers[lot.step.buyer], kg)
            ]
            for g, kg in whole
        ]
        seen: set[tuple[float, ...]] = set()
        for lots in itertools.product(*able):
            taken = [0.0] * len(choice.lots)
            for i, (_, kg) in zip(lots, whole, strict=True):
                taken[i] += kg
            key = tuple(round(kg, 9) for kg in taken)
            if key not in seen and self.fits(choice, taken, whole, lots):
                seen.add(key)
                yield tuple(taken)

    def fits(self, choice: Choice, taken: list[float], whole: Whole, lots: tuple[int, ...]) -> bool:
        """Whether whole pieces alone keep within lots, payload and parcels; what is mailed is packed for real."""
        if any(kg > lot.step.high + SLACK for kg, lot in zip(taken, choice.lots, strict=True)):
            return False
        vehicle = self.scenario.vehicle
        for k in range(choice.trips):
            load = sum(kg for kg, lot in zip(taken, choice.lots, strict=True) if lot.trip == k)
            if vehicle is not None and load > vehicle.payload_kg + SLACK:
                return False
        for buyer, sizes in choice.sizes.items():
            mine = [choice.lots[i].trip is None and choice.lots[i].step.buyer == buyer for i in lots]
            pieces = [kg for (_, kg), here in zip(whole, mine, strict=True) if here]
            if sizes and not packs(pieces, sizes):
                return False
        return True

    def bounds(self, choice: Choice) -> Floats:
        """For every end, more than this choice can bring: each kilogram at its best price, limits apart.

        Of all limits it keeps the payload (filled with whatever gains most over keeping or posting),
        the room in the parcels, and that a lower end needs as much material as it says.
        """
        if not self.grades:
            return np.asarray(self.money - choice.cost)
        kept, posted, driven = (np.full(len(self.grades), -np.inf) for _ in range(3))
        for i in range(len(self.grades)):
            kept[i] = self.kept[self.becomes[i]].max()
        need = np.zeros(len(self.grades))
        for lot in choice.lots:
            j = self.grades.index(lot.step.grade)
            need[j] += lot.step.low
            prices = posted if lot.trip is None else driven
            prices[self.becomes[:, j]] = np.maximum(prices[self.becomes[:, j]], lot.step.price)
        load = math.inf if self.scenario.vehicle is None else self.scenario.vehicle.payload_kg * choice.trips
        room = sum(choice.room.values())
        shut = np.maximum(kept, posted)  # parcels without limit, loads with
        either = self.masses @ shut + self.filled(driven - shut, load)
        apart = self.masses @ kept + self.filled(driven - kept, load) + self.filled(posted - kept, room)
        bound = self.money - choice.cost + np.minimum(either, apart)
        possible = (self.masses @ self.becomes >= need - SLACK).all(axis=1)
        return np.where(possible, bound, -np.inf)

    def filled(self, gain: Floats, room: float) -> Floats:
        """For every end, the most gained by moving `room` kg, the most gainful kilograms first."""
        total, left = np.zeros(len(self.masses)), np.full(len(self.masses), room)
        for g in np.argsort(-gain):
            if gain[g] > 0.0:
                moved = np.minimum(left, self.masses[:, g])
                total += gain[g] * moved
                left = left - moved
        return total

    def split(self, choice: Choice, loose: Floats, taken: tuple[float, ...]) -> float:
        """The best money of lots and kept kilograms by linear programming; minus infinity if impossible.

        Unknowns: kg of each lot, of each downgrade, and kept of each grade. Each lot holds at least the kilograms
        `taken` that it gets in whole pieces; these are in its own grade from the start.
        """
        self.programmes += 1
        if self.programmes > MOST_PROGRAMMES:
            raise TooLarge(f"more than {MOST_PROGRAMMES} linear programmes")
        if not self.grades:
            return 0.0
        arcs = [(g, h) for g in self.grades for h in self.prices.downgrades(g)]
        n, a, m = len(choice.lots), len(arcs), len(self.grades)
        worth = [lot.step.price for lot in choice.lots] + [0.0] * a + list(self.kept)
        balance = np.zeros((m, n + a + m))
        for i, lot in enumerate(choice.lots):
            balance[self.grades.index(lot.step.grade), i] = 1.0
        for i, (g, h) in enumerate(arcs):
            balance[self.grades.index(g), n + i] += 1.0
            balance[self.grades.index(h), n + i] -= 1.0
        balance[:, n + a :] = np.eye(m)
        masses = loose.copy()
        for kg, lot in zip(taken, choice.lots, strict=True):
            masses[self.grades.index(lot.step.grade)] += kg
        rows, limits = self.limits(choice)
        answer = linprog(
            -np.array(worth),
            A_ub=np.hstack([rows, np.zeros((len(rows), a + m))]) if len(rows) else None,
            b_ub=limits if len(rows) else None,
            A_eq=balance,
            b_eq=masses,
            bounds=[
                (min(max(lot.step.low, kg), lot.step.high), lot.step.high)
                for lot, kg in zip(choice.lots, taken, strict=True)
            ]
            + [(0.0, None)] * (a + m),
        )
        assert answer.status in (0, 2), answer.message
        return -math.inf if answer.status == 2 else -float(answer.fun or 0.0)

    def limits(self, choice: Choice) -> tuple[Floats, list[float]]:
        """What each trip may weigh and fill, and what goes into each mail-in's parcels."""
        rows: list[list[float]] = []
        limits: list[float] = []
        vehicle = self.scenario.vehicle
        for k in range(choice.trips):
            assert vehicle is not None
            rows.append([float(lot.trip == k) for lot in choice.lots])
            limits.append(vehicle.payload_kg)
            if vehicle.volume_l is not None:
                density = [self.scenario.grades[lot.step.grade].density.mean for lot in choice.lots]
                rows.append([(lot.trip == k) / d for lot, d in zip(choice.lots, density, strict=True)])
                limits.append(vehicle.volume_l)
        for buyer, room in choice.room.items():
            if math.isfinite(room):
                rows.append([float(lot.trip is None and lot.step.buyer == buyer) for lot in choice.lots])
                limits.append(room)
        return np.array(rows).reshape(len(rows), len(choice.lots)), limits
