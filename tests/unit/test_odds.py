"""How likely a find is to work, on worlds whose truth is drawn: calibrated, closer with more tests, in any order."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

import pytest
from scipy.stats import binom

from partway.catalogue import shipped
from partway.catalogue.signs import looked_for
from partway.errors import Refused
from partway.formulas.statistics.odds import shrunk
from partway.planning.instance.tested import needs_work
from partway.valuing.learned.odds import Odds, TriedFind, learn

KINDS = tuple(a.kind for a in shipped().all_anatomies() if needs_work(a) and not a.became)
FEW = KINDS[::5]  # the kinds that a round comes by
BINS = 10
BAND = 0.99
SOURCES = ("curb", "given by its owner", "")


@dataclass(frozen=True)
class World:
    """A hidden place: how likely each kind is to work, and how often signs show. On average over places, as thought."""

    kinds: Mapping[str, float]
    signs: Mapping[str, tuple[float, float]]
    rng: random.Random

    @classmethod
    def drawn(cls, seed: int) -> World:
        """Each kind about ten tests' worth off, each sign about forty finds' worth."""
        rng = random.Random(seed)
        kinds = {kind: _about(rng, shipped().anatomy(kind).works or 0.0, 10.0) for kind in FEW}
        known = shipped().signs.signs.values()
        return cls(kinds, {s.id: (_about(rng, s.works, 40.0), _about(rng, s.broken, 40.0)) for s in known}, rng)

    def chance(self, kind: str, source: str) -> float:
        """The truth before anything shows."""
        odds = self.kinds[kind] / (1.0 - self.kinds[kind]) * shipped().signs.odds_from(source)
        return odds / (1.0 + odds)

    def find(self, looked: bool = True) -> TriedFind:
        """A find with what shows of it, and whether it works."""
        kind, source = self.rng.choice(FEW), self.rng.choice(SOURCES)
        works = self.rng.random() < self.chance(kind, source)
        there = looked_for(shipped().signs, shipped().anatomy(kind)) if looked else ()
        seen = {sign.id: self.rng.random() < self.signs[sign.id][not works] for sign in there[:4]}
        return TriedFind(kind, source, seen, works)


def _about(rng: random.Random, mean: float, weight: float) -> float:
    """A rate drawn from the Beta distribution of a mean and a weight, never quite 0 or 1."""
    return min(0.995, max(0.005, rng.betavariate(weight * mean, weight * (1.0 - mean))))


def told(odds: Odds, it: TriedFind) -> float:
    """The chance that is said of a find."""
    found = odds.of(shipped().anatomy(it.kind), it.source, it.signs)
    assert found is not None
    return found.value


def taught(tests: list[TriedFind]) -> Odds:
    return learn(shipped(), shipped().signs, tests)


@cache
def predicted(tests: int) -> tuple[tuple[float, bool], ...]:
    """Of many users with so many tests each: what was said of finds to come, and what they turned out to be."""
    found = []
    for user in range(1200):  # few finds each: those of one place are off together
        world = World.drawn(user)
        odds = taught([world.find() for _ in range(tests)])
        found += [(told(odds, it), it.works) for it in (world.find() for _ in range(2))]
    return tuple(found)


@pytest.mark.parametrize("tests", [0, 60])
def test_of_finds_with_one_chance_as_many_work(tests: int) -> None:
    """Ten bins of equal size: what was seen of each lies in the band that holds 99 of 100 draws of what was said."""
    pairs = sorted(predicted(tests), key=lambda pair: pair[0])  # of one chance, in the order in which they came
    size = len(pairs) // BINS
    for b in range(BINS):
        mine = pairs[b * size : (b + 1) * size]
        said = sum(p for p, _ in mine) / size
        low, high = binom.interval(BAND, size, said)
        assert low <= sum(works for _, works in mine) <= high, (b, said, sum(works for _, works in mine) / size)


def test_more_tests_come_closer_to_the_truth() -> None:
    """The mean distance from the hidden chance of kinds, over users, falls with each fourfold of tests."""
    far = []
    for tests in (0, 40, 160, 640):
        gaps = []
        for user in range(12):
            world = World.drawn(1000 + user)
            odds = taught([world.find(looked=False) for _ in range(tests)])
            for kind in FEW:
                chance = odds.of(shipped().anatomy(kind))
                assert chance is not None
                gaps.append(abs(chance.value - world.chance(kind, "")))
        far.append(sum(gaps) / len(gaps))
    assert far == sorted(far, reverse=True) and far[-1] < 0.6 * far[0], far


def test_the_order_of_tests_is_of_no_matter() -> None:
    world = World.drawn(5)
    tests = [world.find() for _ in range(80)]
    one, other = taught(tests), taught(random.Random(1).sample(tests, len(tests)))
    assert (one.shifts, one.signs, one.counts) == (other.shifts, other.signs, other.counts)


def test_without_tests_the_chance_is_the_catalogue_s_and_signs_move_it_by_bayes() -> None:
    """35 of 100 microwaves work, a cut cord shows on 2 of 100 that do and on 20 of 100 that do not: Bayes by hand."""
    anatomy, odds = shipped().anatomy("microwave"), taught([])
    plain, cut = odds.of(anatomy), odds.of(anatomy, "", {"cord-cut": True})
    assert plain is not None and cut is not None
    assert plain.value == pytest.approx(0.35) and plain.of_all == 0
    sign = shipped().signs.signs["cord-cut"]
    by_hand = 0.35 * sign.works / (0.35 * sign.works + 0.65 * sign.broken)
    assert cut.value == pytest.approx(by_hand, abs=6e-4)


def test_one_kind_alone_is_drawn_to_its_own_tests_as_a_beta_posterior() -> None:
    """Eight microwaves, one works: with the wider steps held at none, (1 + 4 x 0.35) / (8 + 4)."""
    tests = [TriedFind("microwave", "", {}, i < 1) for i in range(8)]
    odds = taught(tests)
    alone = replace(odds, shifts={})
    anatomy = shipped().anatomy("microwave")
    before, after = alone.of(anatomy), odds.of(anatomy)
    assert before is not None and after is not None and after.of_kind == 8
    assert after.value < shrunk(1, 8, before.value, 4.0) + 0.01  # three steps see the same eight tests
    other = odds.of(shipped().anatomy("laptop"))
    assert other is not None and other.value < (shipped().anatomy("laptop").works or 0.0)


def test_a_kind_that_nothing_needs_to_work_has_no_odds() -> None:
    assert taught([]).of(shipped().anatomy("bed-frame")) is None


def test_signs_that_do_not_belong_to_a_kind_are_refused() -> None:
    from partway.actions.bench.finds import said_signs

    fan = shipped().anatomy("fan")
    assert said_signs(fan, ["cord-cut", "-boxed"]) == said_signs(fan, "-boxed cord-cut") == "-boxed cord-cut"
    for wrong in ("cracked", "cord-cut -cord-cut", "shiny"):
        with pytest.raises(Refused):
            said_signs(fan, wrong)
