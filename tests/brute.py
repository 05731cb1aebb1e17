"""The best plan of a tiny scenario by trying everything, for holding the real plan against.

Written from docs/model.md and the dataclasses of partway.things alone: it shares no code with
planning, neither its instance nor its prices, roads, tours or tiers, and knows no integer programme.
Every whole-number choice is listed (how each single piece ends, which buyers each trip visits and in
what order, which price step each lot takes, how many parcels of each size, and the lot of each piece that
has to be loaded whole); only the split of kilograms, which is continuous, is left to scipy's linear programming,
once for each combination that upper bounds cannot rule out. test_trying_everything.py holds the bounds.

The parts of it: brute_pieces (prices, and how pieces end), brute_selling (driving, lots, parcels), brute_bounds,
brute_split, and here the search. Good for about three finds of a few pieces, three buyers and two trips.
"""

from __future__ import annotations

import copy
import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from brute_bounds import Bounds, Floats, unlike
from brute_pieces import NOTHING_BARRED, SLACK, Barred, End, Prices, Tally, TooLarge, all_ends
from brute_selling import Choice, Selling, Step, packs, steps_of, takes_whole
from brute_split import Split, Taken

from partway.things.scenario import Scenario

Whole = tuple[tuple[str, float], ...]  # grade and kilograms of each piece that is loaded whole
MOST_CHOICES = 20_000  # combinations of trips, price steps and parcels
MOST_PROGRAMMES = 2_500  # linear programmes that the bound leaves to solve


def tried(scenario: Scenario) -> float | None:
    """The objective of the best plan, in currency units; None where there is too much to try."""
    try:
        return Search(scenario).best().total
    except TooLarge:
        return None


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
        masses = self.loose + pieces.reshape(len(by_kg), len(self.grades))
        kept = np.array([self.prices.kept[g] for g in self.grades])
        becomes = np.array([[h in self.prices.reaches(g) for h in self.grades] for g in self.grades], dtype=bool)
        becomes = becomes.reshape(len(self.grades), len(self.grades))
        self.bounds = Bounds(scenario, self.grades, self.money, masses, kept, becomes)
        self.most_kg = float(masses.sum(axis=1).max(initial=0.0))
        steps = {step for b in scenario.buyers for of in steps_of(scenario, b).values() for step in of}
        extra = {piece: self.most_extra(*piece, steps) for piece in {it for _, whole in by_kg for it in whole}}
        self.extra = np.array([sum(extra[piece] for piece in whole) for _, whole in by_kg])
        self.programmes = 0

    def most_extra(self, grade: str, kg: float, steps: set[Step]) -> float:
        """The most that a piece brings by the piece over its kilograms, wherever it may go."""
        return max((s.extra(kg) for s in steps if s.grade in self.prices.reaches(grade)), default=0.0)

    def without(self, best: Best, barred: Barred) -> Best:
        """The best without one thing, where `best` is the best with it.

        Without a lot all pieces end as they may with it, and a best plan that has no such lot anyway is the best.
        """
        if barred.lot is None:
            return Search(self.scenario, barred).best()
        if barred.lot not in {(lot.step.buyer, lot.step.grade) for lot in best.choice.lots}:
            return best
        other = copy.copy(self)
        other.barred, other.programmes = barred, 0
        return other.best()

    def best(self) -> Best:
        """Goes down the upper bounds until the best plan found beats all that is left."""
        choices = self.choices()
        highest = self.bounds.highest(choices) + max(0.0, float(self.extra.max()))
        best = self.all_kept()
        for c in np.argsort(-highest, kind="stable"):
            if highest[c] <= best.total + margin(best.total):
                break
            best = self.better(best, choices[c])
        return replace(best, programmes=self.programmes)

    def all_kept(self) -> Best:
        """The best without selling; what is to be loaded whole is sold."""
        total = self.money + self.bounds.masses @ self.bounds.kept
        total[[bool(end.whole) for end in self.ends]] = -np.inf
        first = int(np.argmax(total))
        return Best(float(total[first]), self.ends[first], Choice(0, (), {}, 0.0), 0)

    def better(self, best: Best, choice: Choice) -> Best:
        """The best so far, or a better one with this choice."""
        split = Split(self.bounds, self.prices, choice, self.most_kg)
        bounds = self.bounds.of([choice])[0] + np.maximum(self.extra, 0.0)
        for e in np.argsort(-bounds):
            enough = best.total + margin(best.total)
            if bounds[e] <= enough:
                break
            apart, loose = float(self.money[e]) - choice.cost, self.loose[e]
            for taken, exactly, extra in self.counted(choice, self.ends[e].whole):
                enough = best.total + margin(best.total)
                fixed = (loose, taken, exactly)
                if split.possible(*fixed) and apart + extra + split.above(*fixed) > enough:
                    total = apart + extra + self.solved(split, loose, taken, exactly)
                    if total > best.total:
                        best = Best(total, self.ends[e], choice, 0)
        return best

    def solved(self, split: Split, loose: Floats, taken: Taken, exactly: Taken | None = None) -> float:
        """What the best split is worth; counts the programmes."""
        self.programmes += 1
        if self.programmes > MOST_PROGRAMMES:
            raise TooLarge(f"more than {MOST_PROGRAMMES} linear programmes")
        return split.best(loose, taken, exactly)

    def choices(self) -> list[Choice]:
        """Every choice of selling."""
        whole = {(h, kg) for end in self.ends for g, kg in end.whole for h in self.prices.reaches(g)}
        most_whole = max(len(end.whole) for end in self.ends)
        scenario = self.barred.selling(self.scenario)
        selling = Selling(scenario, set(self.grades), self.most_kg, frozenset(whole), most_whole)
        choices = list(itertools.islice(selling.choices(), MOST_CHOICES + 1))
        if len(choices) > MOST_CHOICES:
            raise TooLarge(f"{len(choices)} ways to sell")
        return unlike(choices)

    def loadings(self, choice: Choice, whole: Whole) -> Iterator[Taken]:
        """Kilograms of whole pieces in each lot, for every way to share them out that lots and loads have room for."""
        yield from dict.fromkeys(taken for taken, _ in self.shared(choice, whole))

    def counted(self, choice: Choice, whole: Whole) -> Iterator[tuple[Taken, Taken | None, float]]:
        """The same, the pieces that come out of bins into each lot that is counted, and what pieces bring besides."""
        steps = [lot.step for lot in choice.lots]
        for taken, lots in self.shared(choice, whole):
            if all(step.piece_kg is None for step in steps):
                yield taken, None, 0.0
                continue
            extra = sum(steps[i].extra(kg) for i, (_, kg) in zip(lots, whole, strict=True))
            room = [step.most_pieces - lots.count(i) for i, step in enumerate(steps)]
            numbers = [
                (math.nan,)
                if step.piece_kg is None
                else [float(n) for n in range(int(self.most_kg / step.piece_kg + SLACK) + 1) if n <= room[i]]
                for i, step in enumerate(steps)
            ]
            for loose in itertools.product(*numbers):
                exact = tuple(
                    kg + n * (step.piece_kg or math.nan) for kg, n, step in zip(taken, loose, steps, strict=True)
                )
                ends = zip(exact, steps, strict=True)
                if not any(kg < step.low - SLACK or kg > step.high + SLACK for kg, step in ends):
                    yield taken, exact, extra

    def shared(self, choice: Choice, whole: Whole) -> Iterator[tuple[Taken, tuple[int, ...]]]:
        """Kilograms of whole pieces in each lot and the lot of each, one way of all that come to the same."""
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
            extra = sum(choice.lots[i].step.extra(kg) for i, (_, kg) in zip(lots, whole, strict=True))
            number = [lots.count(i) if lot.step.piece_kg else 0 for i, lot in enumerate(choice.lots)]
            key = (*(round(kg, 9) for kg in taken), round(extra, 9), *number)
            if key not in seen and self.fits(choice, taken, whole, lots):
                seen.add(key)
                yield tuple(taken), lots

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
