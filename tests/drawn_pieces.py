"""Pieces drawn from the tables of the key, ways of choosing tests for them, and the best possible way by trying all.

The exhaustive search reads the key's rows itself and shares no arithmetic with what it judges: only which tests may
be asked at all (needs and bars) is taken from there.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from partway.catalogue import shipped
from partway.identify import (
    NOT_SURE,
    Answer,
    Case,
    Measured,
    bins_of,
    rates_of,
    shares,
    table,
)
from partway.things.testkey import Material, MaterialKey

Given = dict[str, Answer]
State = tuple[tuple[str, str], ...]  # the answers so far
Policy = Callable[[Case, Given], str | None]


def case_of(context: str, mass: float = 0.5, wage: float = 0.0, confirmed: Mapping[str, int] | None = None) -> Case:
    """A case of the shipped key at the catalogue's ratios: all money is in kg of No. 2 copper."""
    catalogue = shipped()
    where = catalogue.key.contexts[context]
    prior = shares(catalogue.key, where, confirmed or {})
    rates = rates_of(catalogue.grades, None)
    materials = [catalogue.key.materials[name] for name in prior]
    bins = bins_of(materials, where, catalogue.grades, rates, mass, {})
    return Case(catalogue.key, where, prior, bins, rates.copper, wage)


@dataclass(frozen=True)
class Drawn:
    """A piece whose material nobody was told, and what each test would say of it."""

    material: str
    says: Mapping[str, Answer]


def drawn(case: Case, rng: random.Random, materials: Mapping[str, float] | None = None) -> Drawn:
    """A piece by the prior (or by other shares) and its answers by the raw rows, without the smoothing."""
    among = materials or case.prior
    name = rng.choices(list(among), list(among.values()))[0]
    material = case.key.materials[name]
    return Drawn(name, {test: _said(case, test, material, rng) for test in case.tests})


def _said(case: Case, test: str, material: Material, rng: random.Random) -> Answer:
    it = case.tests[test]
    if it.measures:
        if material.density is None:
            return NOT_SURE
        off = it.spread * material.density
        value = rng.gauss(material.density, math.hypot(off, material.spread * material.density))
        return Measured(round(value, 3), round(it.spread * value, 4))
    return rng.choices([answer for answer, _ in it.answers], table(it, material))[0]


def by_gain(case: Case, answers: Given) -> str | None:
    """Ours."""
    proposal = case.next_test(answers)
    return None if proposal is None else proposal.test


def in_order(case: Case, answers: Given) -> str | None:
    """The fixed order of cost and damage, as long as some test could still change the bin."""
    if not case.proposals(answers):
        return None
    return next((test for test in case.tests if case.may_ask(test, answers)), None)


def magnet_and_file(case: Case, answers: Given) -> str | None:
    """The habit: a magnet, and a file on whatever it does not stick to; bars or not."""
    if "magnet" not in answers:
        return "magnet"
    return "colour" if answers["magnet"] != "strong" and "colour" not in answers else None


@dataclass
class Score:
    """Over all pieces drawn."""

    pieces: int = 0
    right: int = 0
    tests: int = 0
    minutes: float = 0.0
    lost: float = 0.0

    @property
    def accuracy(self) -> float:
        return self.right / self.pieces

    @property
    def mean_tests(self) -> float:
        return self.tests / self.pieces

    @property
    def mean_lost(self) -> float:
        return self.lost / self.pieces


def scored(case: Case, pieces: list[Drawn], policy: Policy) -> Score:
    """What a way of choosing tests gets right, what it asks, and what the wrong bins lose against knowing."""
    score, grades = Score(), list(case.bins.grades)
    for piece in pieces:
        answers: Given = {}
        while (test := policy(case, answers)) is not None:
            answers[test] = piece.says[test]
            score.tests += 1
            score.minutes += case.tests[test].minutes.mean
        row = case.bins.materials.index(piece.material)
        chosen = case.bin(answers)
        money = case.bins.money[row]
        score.pieces += 1
        score.right += chosen == case.bins.best[row] or money[grades.index(chosen)] >= money.max() - 1e-12
        score.lost += float(money.max() - money[grades.index(chosen)])
    return score


# --- the best possible order, by trying all of them ---


class Exhaustive:
    """Expected money of the best way and of ours, the wage and all costs paid, over every state there is."""

    def __init__(self, case: Case) -> None:
        self.case, self.names = case, case.bins.materials
        self.rows = {
            test: [[_smooth(case.key, test, name)[a] for name in self.names] for a in range(len(it.answers))]
            for test, it in case.tests.items()
        }
        self.money: list[list[float]] = case.bins.money.tolist()
        self.worth = [max(0.0, *line) for line in self.money]
        self.best: Callable[[State], float] = cache(self._best)
        self.ours: Callable[[State], float] = cache(self._ours)

    def _weights(self, state: State) -> list[float]:
        weights = [self.case.prior[name] for name in self.names]
        for test, answer in state:
            index = [a for a, _ in self.case.tests[test].answers].index(answer)
            weights = [w * p for w, p in zip(weights, self.rows[test][index], strict=True)]
        return weights

    def stopped(self, state: State) -> float:
        weights = self._weights(state)
        return max(
            sum(w * line[g] for w, line in zip(weights, self.money, strict=True)) for g in range(len(self.money[0]))
        )

    def _spent(self, test: str, state: State) -> float:
        it, weights = self.case.tests[test], self._weights(state)
        danger = [it.danger.get(name, 0.0) * self.case.copper for name in self.names]
        hurt: float = sum(w * (it.damage * v + d) for w, v, d in zip(weights, self.worth, danger, strict=True))
        return hurt + sum(weights) * it.minutes.mean * self.case.wage / 60.0

    def after(self, test: str, state: State) -> list[State]:
        """The states that a test leads to, answers always in the order of the tests."""
        order = list(self.case.tests)
        found = [(*state, (test, answer)) for answer, _ in self.case.tests[test].answers]
        return [tuple(sorted(one, key=lambda pair: order.index(pair[0]))) for one in found]

    def _best(self, state: State) -> float:
        options = [self.stopped(state)]
        options += [
            sum(self.best(s) for s in self.after(test, state)) - self._spent(test, state)
            for test in self.case.tests
            if self.case.may_ask(test, dict(state))
        ]
        return max(options)

    def _ours(self, state: State) -> float:
        proposal = self.case.next_test(dict(state))
        if proposal is None:
            return self.stopped(state)
        return sum(self.ours(s) for s in self.after(proposal.test, state)) - self._spent(proposal.test, state)

    @property
    def informed(self) -> float:
        """Knowing for sure, for nothing."""
        return sum(self.case.prior[n] * max(line) for n, line in zip(self.names, self.money, strict=True))


def _smooth(key: MaterialKey, test: str, material: str) -> list[float]:
    row = table(key.tests[test], key.materials[material])
    return [0.99 * share + 0.01 / len(row) for share in row]
