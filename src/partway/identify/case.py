"""One piece on the bench: what it may be, the bin with the highest expected money, and what to ask next.

A test is worth what the bin it leads to brings more than the bin without it, less what it damages and endangers. Some
tests only open the way to another (the magnet to its drag, the look to the file), so each is also weighed together
with the best test that may follow each of its answers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from partway.identify.bins import BinValues
from partway.identify.evidence import (
    NOT_SURE,
    Answer,
    Answers,
    barred_by,
    likelihood,
    needs_met,
    smoothed,
    table,
)
from partway.identify.intervals import interval_chances, middles
from partway.things.testkey import KeyContext, KeyTest, MaterialKey

Array = NDArray[np.float64]
Stop = Literal["", "no-test-changes-it", "costs-more", "below-wage"]
TINY = 1e-9  # of the money at stake: below this two bins are as good as each other


@dataclass(frozen=True, slots=True)
class Proposal:
    """A test and what it is worth.

    `gain` is the expected money of the bin after it less that before, `with_next` the same with the best test that may
    follow (`then`, by answer). `cost` is damage and danger expected of it and of what follows; `minutes` include that
    too where `with_next` is what counts. `leads` are the bins by answer.
    """

    test: str
    gain: float
    with_next: float
    cost: float
    minutes: float
    per_minute: float
    then: Mapping[str, str]
    leads: tuple[tuple[str, float, str], ...]  # answer, its chance, the bin it leads to


@dataclass(frozen=True)
class Case:
    """A piece with its prior and the money its bins bring. `copper` is the price of a kg of No. 2 copper."""

    key: MaterialKey
    context: KeyContext
    prior: Mapping[str, float]
    bins: BinValues
    copper: float = 1.0
    wage: float = 0.0  # an hour; 0 where it is not in the money of the bins
    _seen: dict[object, tuple[Proposal, ...]] = field(init=False, default_factory=dict, repr=False, compare=False)

    @cached_property
    def tests(self) -> dict[str, KeyTest]:
        """The context's tests in the fixed order."""
        return {name: self.key.tests[name] for name in self.context.tests}

    @cached_property
    def _prior(self) -> Array:
        return np.array([self.prior[name] for name in self.bins.materials])

    @cached_property
    def _answers(self) -> dict[str, tuple[str, ...]]:
        """What each test may answer; densities by interval."""
        return {
            name: tuple(f"{density:.2f}" for density in middles())
            if test.measures
            else tuple(a for a, _ in test.answers)
            for name, test in self.tests.items()
        }

    @cached_property
    def _chances(self) -> dict[str, Array]:
        """By test: answers x materials."""
        return {name: self._chance(test) for name, test in self.tests.items()}

    def _chance(self, test: KeyTest) -> Array:
        materials = [self.key.materials[name] for name in self.bins.materials]
        if test.measures:
            return np.array(
                [interval_chances(test.spread, material.density, material.spread) for material in materials]
            ).T
        flat = 1.0 / len(test.answers)
        return np.array([[smoothed(share, flat) for share in table(test, material)] for material in materials]).T

    def posterior(self, answers: Answers) -> dict[str, float]:
        """The chance of each material, by naive Bayes; the order in which answers came does not matter."""
        chances = self._weights(answers)
        return dict(zip(self.bins.materials, (chances / chances.sum()).tolist(), strict=True))

    def _weights(self, answers: Answers) -> Array:
        weights = self._prior.copy()
        for name in sorted(answers, key=list(self.key.tests).index):
            test = self.key.tests[name]
            weights *= [likelihood(test, self.key.materials[m], answers[name]) for m in self.bins.materials]
            weights /= weights.sum()
        return weights

    def expected(self, answers: Answers) -> dict[str, float]:
        """Expected money of each bin."""
        return dict(zip(self.bins.grades, (self._weights(answers) @ self.bins.money).tolist(), strict=True))

    def bin(self, answers: Answers) -> str:
        """The bin with the highest expected money; of equals the first, setting aside last."""
        return self.bins.grades[self._bin(self._weights(answers) @ self.bins.money)]

    def _bin(self, money: Array) -> int:
        return int(np.argmax(money >= money.max() - TINY * self._scale))

    @cached_property
    def _scale(self) -> float:
        return float(np.abs(self.bins.money).max()) or 1.0

    def perfect(self, answers: Answers) -> float:
        """What knowing for sure would bring more than the best bin now: no test is worth more."""
        weights = self._weights(answers)
        return float(weights @ self.bins.perfect - (weights @ self.bins.money).max())

    def may_ask(self, test: str, answers: Answers) -> bool:
        """Whether a test makes sense and is allowed now: not asked yet, its needs met, nothing it must be spared."""
        it = self.tests[test]
        return test not in answers and needs_met(it, answers) and not barred_by(it, self.key, answers)

    def proposals(self, answers: Answers) -> tuple[Proposal, ...]:
        """Every test that may be asked and could change the bin, the most money per minute first."""
        seen = tuple(sorted(answers.items(), key=lambda item: item[0]))
        if seen not in self._seen:
            weights = self._weights(answers)
            found = [self._proposal(name, weights, answers) for name in self.tests if self.may_ask(name, answers)]
            useful = [each for each in found if max(each.gain, each.with_next) > TINY * self._scale]
            self._seen[seen] = tuple(sorted(useful, key=lambda each: -each.per_minute))
        return self._seen[seen]

    def next_test(self, answers: Answers) -> Proposal | None:
        """What to ask now; None where it is time to stop."""
        found = self.proposals(answers)
        return found[0] if found and not self.stop(answers) else None

    def stop(self, answers: Answers) -> Stop:
        """Why to stop, if it is time to."""
        found = self.proposals(answers)
        if not found:
            return "no-test-changes-it"
        if found[0].per_minute <= 0.0:
            return "costs-more"
        return "below-wage" if found[0].per_minute * 60.0 < self.wage else ""

    def _proposal(self, name: str, weights: Array, answers: Answers) -> Proposal:
        """`joint` has a row for each answer: the chance of the answer together with each material."""
        test, joint = self.tests[name], self._chances[name] * weights
        money = joint @ self.bins.money
        best, now = money.max(axis=1), float((weights @ self.bins.money).max())
        gain, cost = float(best.sum()) - now, float(self._cost(test, weights))
        after = self._following(name, joint, best, answers)
        alone = (gain - cost) / test.minutes.mean
        minutes = test.minutes.mean + after.minutes
        together = (gain - cost + after.gain - after.cost) / minutes
        leads = zip(self._answers[name], joint.sum(axis=1).tolist(), money, strict=True)
        use = together > alone
        return Proposal(
            test=name,
            gain=gain,
            with_next=gain + after.gain,
            cost=cost + (after.cost if use else 0.0),
            minutes=minutes if use else test.minutes.mean,
            per_minute=together if use else alone,
            then=after.then if use else {},
            leads=tuple((answer, chance, self.bins.grades[self._bin(row)]) for answer, chance, row in leads),
        )

    def _cost(self, test: KeyTest, weights: Array) -> Array:
        """Damage to what the piece is worth and danger by what it may be, for each row of weights."""
        danger = np.array([test.danger.get(name, 0.0) for name in self.bins.materials]) * self.copper
        cost: Array = weights @ (test.damage * np.maximum(self.bins.perfect, 0.0) + danger)
        return cost

    def _following(self, name: str, joint: Array, best: Array, answers: Answers) -> _After:
        """The best test after each answer, where it brings more than its cost and its minutes at the wage."""
        chances = joint.sum(axis=1)
        after = _After(np.zeros_like(best), np.zeros_like(best), np.zeros_like(best), [""] * len(best))
        allowed = [self._allowed_after(name, answer, answers) for answer in self._answers[name]]
        for other, test in self.tests.items():
            rows = [row for row, names in enumerate(allowed) if other in names]
            if not rows:
                continue
            both = joint[rows][:, None, :] * self._chances[other][None, :, :]
            gains = (both @ self.bins.money).max(axis=2).sum(axis=1) - best[rows]
            costs = self._cost(test, joint[rows])
            minutes = chances[rows] * test.minutes.mean
            after.improve(rows, gains, costs, minutes, other, self.wage / 60.0)
        return after.summed(self._answers[name])

    def _allowed_after(self, name: str, answer: str, answers: Answers) -> frozenset[str]:
        """Tests that may be asked once this one has been answered so."""
        given: Answer = NOT_SURE if self.tests[name].measures else answer
        later = {**answers, name: given}
        return frozenset(other for other in self.tests if self.may_ask(other, later))


@dataclass
class _After:
    """The best second test by answer of the first, found one after another."""

    gains: Array
    costs: Array
    spent: Array
    names: list[str]
    gain: float = 0.0
    cost: float = 0.0
    minutes: float = 0.0
    then: dict[str, str] = field(default_factory=dict)

    def improve(self, rows: list[int], gains: Array, costs: Array, minutes: Array, name: str, a_minute: float) -> None:
        """Takes the test where it is better than what was found so far."""
        net = gains - costs - minutes * a_minute
        for row, gain, cost, spent, better in zip(rows, gains, costs, minutes, net, strict=True):
            if better > self.gains[row] - self.costs[row] - self.spent[row] * a_minute + 1e-15:
                self.gains[row], self.costs[row], self.spent[row], self.names[row] = gain, cost, spent, name

    def summed(self, answers: tuple[str, ...]) -> _After:
        """With its sums over all answers."""
        self.gain, self.cost, self.minutes = (float(x.sum()) for x in (self.gains, self.costs, self.spent))
        self.then = {answer: name for answer, name in zip(answers, self.names, strict=True) if name}
        return self
