"""A fixed plan in other worlds: its money there is what the check makes of it; what it is worth to know one thing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import tiny
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from partway.planning.check.verify import verify
from partway.planning.instance.build import build
from partway.planning.search.search import search
from partway.planning.worlds.again import plan_again, scenario_at
from partway.planning.worlds.draws import draw_worlds, in_order_of
from partway.planning.worlds.fixed import FixedPlan
from partway.planning.worlds.news import worth_of_knowing
from partway.planning.worlds.outcome import Worlds
from partway.things.estimate import Estimate
from partway.things.scenario import Scenario

WORLDS = 3


def ranged(it: Scenario) -> Scenario:
    """The scenario with every price a third off either way."""
    buyers = []
    for buyer in it.buyers:
        quotes = (
            replace(q, price=Estimate(*sorted((q.price.mean * 2 / 3, q.price.mean, q.price.mean * 4 / 3))))
            for q in buyer.quotes
        )
        buyers.append(replace(buyer, quotes=tuple(quotes)))
    return replace(it, buyers=tuple(buyers))


@settings(max_examples=40)
@given(seed=st.integers(0, 10_000))
def test_in_each_world_the_money_is_what_the_check_makes_of_it(seed: int) -> None:
    """The check (`verify`) reads the scenario of one world; the draws know only the plan and the world's numbers."""
    instance = build(ranged(tiny.scenario(seed)))
    worlds = draw_worlds(instance, WORLDS)
    steady = Worlds(instance, replace(worlds, minutes=np.ones_like(worlds.minutes)))
    for i in range(WORLDS):
        there = build(scenario_at(instance, worlds, i), like=instance)
        checked = verify(there, search(there, 10.0, 1e-3).decision)
        drawn = steady.outcome(FixedPlan.of(there, checked), lucky=False)
        assert drawn.cash[i] == pytest.approx(checked.money.cash, abs=1e-6)
        assert drawn.kept[i] == pytest.approx(checked.money.kept, abs=1e-6)
        assert drawn.hours[i] == pytest.approx(checked.bench_hours + checked.away_hours, abs=1e-9)


def test_where_nothing_has_a_range_the_plan_is_made_again_as_it_is() -> None:
    it = tiny.scenario(7)
    exact = replace(
        it,
        buyers=tuple(
            replace(b, quotes=tuple(replace(q, price=Estimate.exact(q.price.mean)) for q in b.quotes))
            for b in it.buyers
        ),
        anatomies={
            kind: replace(a, pieces=tuple(replace(p, mass=Estimate.exact(p.mass.mean)) for p in a.pieces))
            for kind, a in it.anatomies.items()
        },
    )
    instance = build(exact)
    again = plan_again(instance, verify(instance, search(instance).decision), 60.0, times=3)
    assert (again.solved, again.same_trip, len(again.plans)) == (3, 3, 1)


def test_draws_in_another_order_are_the_same_draws() -> None:
    rng = np.random.default_rng(5)
    drawn, score = rng.beta(2.0, 3.0, 1000), rng.standard_normal(1000)
    ordered = in_order_of(score, drawn)
    assert np.sort(ordered) == pytest.approx(np.sort(drawn))
    assert stats.spearmanr(ordered, score).statistic == pytest.approx(1.0)


def test_what_it_is_worth_to_know_whether_a_gamble_pays() -> None:
    """Nothing for sure, or a normal gamble of mean 0 and sd 1: to know it is worth 1/sqrt(2 pi), by the expectation of
    its positive part. Of a thing apart from it nothing is learned. A gamble known only in part, with correlation r, is
    worth r/sqrt(2 pi) to hear of.
    """
    rng = np.random.default_rng(11)
    score, other = rng.standard_normal((2, 40_000))
    gamble = 0.6 * score + 0.8 * rng.standard_normal(40_000)
    for x, r in ((score, 1.0), (gamble, 0.6)):
        news = worth_of_knowing(np.array([np.zeros(40_000), x]), score, ("price", "yard", "iron"))
        assert news.worth == pytest.approx(r / np.sqrt(2 * np.pi), abs=0.02)
        assert news.instead == 1
        assert news.beyond == pytest.approx(0.5)
    assert worth_of_knowing(np.array([np.zeros(40_000), score]), other, ("mass", "fan")).worth < 0.01


def test_the_same_seed_gives_the_same_worlds_whatever_else_is_planned() -> None:
    it = next(it for it in map(tiny.scenario, range(50)) if not build(it).nodes[0].piece.mass.is_exact)
    it = ranged(replace(it, finds=tuple(replace(f, mass_kg=None) for f in it.finds)))
    more = replace(it, finds=(*it.finds, replace(it.finds[0], mass_kg=it.anatomies[it.finds[0].kind].whole.mass.mean)))
    one, two = draw_worlds(build(it), 50), draw_worlds(build(more), 50)
    assert all(np.array_equal(one.prices[key], two.prices[key]) for key in one.prices)
    assert np.array_equal(one.sizes[0], two.sizes[0])
    assert not np.array_equal(one.sizes[0], draw_worlds(build(it), 50, seed=1).sizes[0])
