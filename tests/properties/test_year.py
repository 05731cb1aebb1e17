"""The simulated year of benchmarks/year.py: it repeats, loses nothing, and its hidden world is where the catalogue is.

Two weeks of two seeds; what a rule earns takes whole years and is in benchmarks/README.md.
"""

from __future__ import annotations

import importlib
import math
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from scipy import stats

from partway.catalogue import shipped

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
WEEKS = 2


@pytest.fixture(scope="module")
def year() -> Iterator[ModuleType]:
    """The benchmark, whose modules find each other in their own folder."""
    sys.path.insert(0, str(BENCHMARKS))
    yield importlib.import_module("year")
    sys.path.remove(str(BENCHMARKS))


@pytest.fixture(scope="module")
def years(year: ModuleType) -> dict[tuple[str, str, int], Any]:
    """Two weeks of every policy; those that solve for one seed and one world each."""
    cheap = ("whole", "opened", "habits", "tests")
    asked = [(policy, "resale", seed) for policy in cheap for seed in (0, 1)]
    asked += [("starter", "scrap", 0), ("learning", "resale", 1), ("ahead", "scrap", 1)]
    return {one: year.year(*one, WEEKS) for one in asked}


def test_every_milligram_and_cent_is_somewhere(years: dict[tuple[str, str, int], Any]) -> None:
    """Counted here from what came to the curb and what was written down, not by the shed's own check."""
    for (policy, _, _), one in years.items():
        shed = one.shed
        met = {thing.number: thing.mg for week in shed.truth.weeks for thing in week}
        there = sum(t.mg for t in shed.things) + sum(shed.bins.values()) + sum(x.mg for x in shed.listed)
        left_there = sum(met.values()) - there - sum(shed.gone_mg.values())
        assert left_there >= 0, policy
        assert sum(met.values()) == left_there + shed.lifted_mg, policy
        assert all(met[t.number] == t.mg for t in shed.things), policy
        assert shed.cents == sum(cents for _, _, cents in shed.journal), policy
        assert math.isclose(one.net, shed.cents / 100.0 - 15.0 * sum(shed.spent.values()), abs_tol=1e-6), policy


def test_a_lost_milligram_is_noticed(years: dict[tuple[str, str, int], Any], year: ModuleType) -> None:
    shed = year.year("habits", "scrap", 0, WEEKS).shed
    shed.check()
    shed.bins[next(iter(shed.bins))] += 1
    with pytest.raises(AssertionError, match="mg in"):
        shed.check()


def test_the_same_seed_gives_the_same_year(years: dict[tuple[str, str, int], Any], year: ModuleType) -> None:
    for one in (("tests", "resale", 1), ("starter", "scrap", 0)):
        again = year.year(*one, WEEKS)
        assert (again.net, again.left, again.hours) == (years[one].net, years[one].left, years[one].hours)
        assert again.shed.journal == years[one].shed.journal


def test_every_policy_meets_the_same_things(years: dict[tuple[str, str, int], Any]) -> None:
    met = {
        policy: [(t.number, t.kind, t.mg, t.works) for week in one.shed.truth.weeks for t in week]
        for (policy, world, seed), one in years.items()
        if (world, seed) == ("resale", 1)
    }
    assert met["whole"] == met["opened"] == met["habits"] == met["tests"] == met["learning"]
    assert len(met["whole"]) > 0


def test_the_hidden_world_lies_around_the_catalogue(year: ModuleType) -> None:
    """Over many seeds a kind's mass scatters around its estimate by the spread that is stated, by no bias."""
    truth = importlib.import_module("year_truth")
    guess = shipped().anatomy("microwave")
    shifts = []
    for seed in range(400):
        kind = truth.kind_as_it_is(seed, guess, 9.0)
        shifts.append(math.log(kind.masses[guess.whole.id] / guess.whole.mass.mean))
    stated = truth.KIND_SHARE * truth.sd_of(guess.whole.mass)
    assert stats.ttest_1samp(shifts, 0.0).pvalue > 1e-3
    assert stats.chi2.cdf(399 * np.var(shifts, ddof=1) / stated**2, 399) == pytest.approx(0.5, abs=0.499)


def test_whoever_is_told_is_told_what_the_scale_will_show(year: ModuleType) -> None:
    """What comes out of a piece weighs what the piece did, wherever its pieces come out in no other way as well."""
    truth = importlib.import_module("year_truth")
    closed = 0
    for name in importlib.import_module("year_things").KINDS:
        guess = shipped().anatomy(name)
        kind = truth.kind_as_it_is(5, guess, 9.0)
        ways = Counter(give.piece for operation in guess.operations for give in operation.gives)
        for operation in guess.operations:
            if operation.asks:
                assert {kind.masses[give.piece] for give in operation.gives} == {kind.masses[operation.on]}
            elif all(ways[give.piece] == 1 for give in operation.gives):
                out = math.fsum(kind.masses[give.piece] * give.count for give in operation.gives)
                assert out == pytest.approx(kind.masses[operation.on])
                closed += 1
    assert closed > 80


def test_what_sells_by_chance_sells_as_often_as_stated(year: ModuleType) -> None:
    """The rate of buyers and the chance within the days are the same statement: P = 1 - exp(-rate x days)."""
    truth = importlib.import_module("year_truth")
    kind = truth.kind_as_it_is(3, shipped().anatomy("stand-mixer"), 9.0)
    told = kind.told()
    for piece in told.pieces:
        for i, part in enumerate(piece.parts):
            sale = kind.sales[piece.id, i]
            assert part.chance == pytest.approx(stats.poisson.sf(0, sale.rate * part.days))
            assert part.price.mean == pytest.approx(sale.price)
            assert not part.in_copper


def test_the_quantiles_of_t_are_those_of_a_table(year: ModuleType) -> None:
    assert {df: pytest.approx(stats.t.ppf(0.975, df), abs=6e-3) for df in year.T95} == year.T95


def test_prices_move_but_fees_do_not(year: ModuleType) -> None:
    market = importlib.import_module("year_market").Market(0, 52)
    copper = [market.price("harbour", "copper-2", week) for week in range(52)]
    assert len(set(copper)) == 52
    assert {market.price("tip", "residue", week) for week in range(52)} == {-0.12}
    assert market.price("ridge", "motors", 0, 5.0) is None
    assert market.price("quarry", "light-iron", 0, 300.0) > market.price("quarry", "light-iron", 0, 200.0)
