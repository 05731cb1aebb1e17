"""Break-even wages and prices, the worth of testing first, and the draws behind every range.

Margins, values and masses are recomputed by tests/graphs.py, which shares no code with planning. A flip
price is the best quote of one grade, all else as it is: what a person would see who typed that price in.
So a grade that has fallen below one it may be sold as fetches the price of that one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from graphs import DAY, KIND, Worths, scenario
from numpy.typing import NDArray
from scipy import stats

from partway.actions.bench.depths import depth
from partway.actions.plans.plan import plan
from partway.catalogue import shipped
from partway.catalogue.shipped import DATA
from partway.planning.check.outcome import cash_draws
from partway.planning.check.verify import verify
from partway.planning.depth.breakeven import Breakevens
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.depth.spread import SEED, draw, drawn_terms, sizes
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.storage.scenario.scenario import read_scenario
from partway.things.anatomy import Anatomy, Gives, Operation, Piece, SaleAs
from partway.things.estimate import Estimate
from partway.things.material import Grade
from partway.things.scenario import Buyer, Find, Hours, Quote, Scenario

GRAPHS = 300
SCANNED = 40  # graphs whose flips are also looked for in a fine scan
POINTS = 160
FAR = 8.0  # the scan reaches this many times today's value
ZERO = 1e-6  # currency units
DEMO = DATA.parent / "demo" / "harbour-week.toml"
Floats = NDArray[np.float64]
Margin = Callable[[Any], Any]  # of a wage or a price, or of many in an array


# --- flips -----------------------------------------------------------------------------------------


def crosses(margin: Margin, flip: float) -> bool:
    """Whether the margin has different signs on the two sides; nothing, for a tie, is one of them."""
    step = 1e-5 * max(1.0, flip)
    if flip < 1e-12:
        return bool(margin(step) != 0.0)  # no wage is below nothing, so there is no other side
    below, above = (m if abs(m) > 1e-12 else 0.0 for m in (margin(flip - step), margin(flip + step)))
    return bool(np.sign(below) != np.sign(above))


def tied(margin: Margin, today: float) -> bool:
    """Whether the operation is worth exactly what something else is, today and near today."""
    step = 1e-5 * max(1.0, today)
    return all(abs(margin(max(0.0, today + d))) < 1e-12 for d in (-step, 0.0, step))


def signs_in_scan(margin: Margin, today: float, unit: float) -> set[float]:
    """The signs of the margin at many points from nothing to far beyond today."""
    points = np.linspace(0.0, today + FAR * unit, POINTS)
    margins = np.broadcast_to(margin(points), points.shape)
    return set(np.sign(np.where(np.abs(margins) < ZERO, 0.0, margins)).tolist()) - {0.0}


def breakevens(instance: Instance) -> Breakevens:
    """Break-evens of a find at its expected figures."""
    programme, terms = Programme(instance), DepthTerms.expected(instance)
    return Breakevens(programme, terms, programme.values(terms))


def wage_margins(it: Scenario) -> list[tuple[float | None, Margin]]:
    """The reported flip wage of every operation, and its margin as a function of the wage."""
    instance = build(it)
    turns = breakevens(instance)

    def by(op: Operation) -> Margin:
        return lambda wage: Worths(it, wage).margin(op)

    return [(turns.wage(o), by(x.operation)) for o, x in enumerate(instance.openings)]


def priced(seed: int) -> Scenario:
    """A graph where a quote matters only to what is sold: not to what is kept, nor to parts."""
    it = scenario(seed)
    anatomy = it.anatomies[KIND]
    pieces = tuple(replace(p, parts=tuple(replace(part, in_copper=False) for part in p.parts)) for p in anatomy.pieces)
    return replace(it, keep_factor=0.0, anatomies={KIND: replace(anatomy, pieces=pieces)})


def price_margins(it: Scenario) -> list[tuple[float, float | None, Margin]]:
    """Today's price, the reported flip price and the margin by price, where a grade carries an operation."""
    instance = build(it)
    turns = breakevens(instance)
    found = []

    def by(op: Operation, grade: str) -> Margin:
        return lambda price: Worths(it, it.hours.wage, {grade: price}).margin(op)

    for o, opening in enumerate(instance.openings):
        flip = turns.price(o)
        if flip is not None:
            found.append((flip.today, flip.flip, by(opening.operation, flip.grade)))
    return found


def test_at_the_flip_wage_the_margin_is_nothing_and_changes_sign() -> None:
    flips = 0
    for seed in range(GRAPHS):
        it = scenario(seed)
        for flip, margin in wage_margins(it):
            if flip is not None and not tied(margin, it.hours.wage):
                flips += 1
                assert abs(margin(flip)) <= ZERO, (seed, flip)
                assert crosses(margin, flip), (seed, flip)
    assert flips >= 300


def test_at_the_flip_price_the_margin_is_nothing_and_changes_sign() -> None:
    flips, wrong = 0, []
    for seed in range(GRAPHS):
        for today, flip, margin in price_margins(priced(seed)):
            if flip is not None and not tied(margin, today):
                flips += 1
                if abs(margin(flip)) > ZERO or not crosses(margin, flip):
                    wrong.append((seed, today, flip))
    assert not wrong
    assert flips >= 100


def test_no_flip_wage_means_that_no_wage_turns_it() -> None:
    wrong, without = [], 0
    for seed in range(SCANNED + 10):
        it = scenario(seed)
        for flip, margin in wage_margins(it):
            if flip is None:
                without += 1
                if len(signs_in_scan(margin, it.hours.wage, max(it.hours.wage, 1.0))) > 1:
                    wrong.append(seed)
    assert not wrong
    assert without >= 60


# Graphs whose margin is above nothing on one short stretch of wages only, found by a scan of 40001 points:
# seed, operation, a wage on that stretch.
STRETCHES = [
    (155, "2-0", 32.487),
    (257, "0-1", 60.832),
    (330, "1-1", 160.43625),
    (376, "5-1", 5.85),
    (404, "0-1", 56.784),
    (523, "4-0", 87.4965),
    (847, "0-0", 120.9975),
    (858, "0-0", 6.48375),
]


@pytest.mark.parametrize(("seed", "operation", "wage"), STRETCHES)
def test_a_short_stretch_of_wages_that_turns_it_is_not_missed(seed: int, operation: str, wage: float) -> None:
    it = scenario(seed)
    names = [op.id for op in it.anatomies[KIND].operations]
    op = it.anatomies[KIND].operations[names.index(operation)]
    assert Worths(it, it.hours.wage).margin(op) < 0.0 < Worths(it, wage).margin(op)
    instance = build(it)
    at = [x.operation.id for x in instance.openings].index(operation)
    assert breakevens(instance).wage(at) is not None


def test_no_flip_price_means_that_no_price_turns_it() -> None:
    wrong, without = [], 0
    for seed in range(SCANNED):
        for today, flip, margin in price_margins(priced(seed)):
            if flip is None:
                without += 1
                if len(signs_in_scan(margin, today, max(today, 0.01))) > 1:
                    wrong.append(seed)
    assert not wrong
    assert without >= 30


def motor(quote: float, keep_factor: float) -> Scenario:
    """A motor of 1 kg at 1 a kg, opened in 6 minutes at 10 an hour for 0.5 kg of copper: even at 4 a kg."""
    pieces = (
        Piece("motor", "motor", Estimate.exact(1.0), (SaleAs("motors"),)),
        Piece("winding", "winding", Estimate.exact(0.5), (SaleAs("copper-2"),)),
    )
    opened = Operation("open", "open", "motor", Estimate.exact(6.0), (Gives("winding"),), loss=0.5)
    quotes = tuple(Quote(g, Estimate.exact(p), DAY) for g, p in (("copper-2", quote), ("motors", 1.0)))
    return replace(
        scenario(0),
        hours=Hours(9.0, 9.0, 10.0),
        buyers=(Buyer("harbour yard", "yard", km=1.0, quotes=quotes),),
        finds=(Find(KIND, 1, "no"),),
        grades={g: Grade(g, g, "family", Estimate.exact(1.0)) for g in ("copper-2", "motors")},
        anatomies={KIND: Anatomy(KIND, KIND, pieces, (opened,))},
        keep_factor=keep_factor,
    )


@pytest.mark.parametrize("keep_factor", [0.0, 0.8])
@pytest.mark.parametrize("quote", [8.0, 3.0])
def test_the_flip_price_is_where_typing_it_in_turns_the_answer(quote: float, keep_factor: float) -> None:
    """6 minutes at 10 an hour and 1 for the motor is 2, for half a kilogram: 4 a kg, whatever is kept."""
    step = depth(motor(quote, keep_factor), KIND).steps[0]
    assert step.chosen is (quote > 4.0)
    assert not depth(motor(3.99, keep_factor), KIND).steps[0].chosen
    assert depth(motor(4.01, keep_factor), KIND).steps[0].chosen
    assert step.flip_price is not None and step.flip_price.flip == pytest.approx(4.0, abs=1e-6)


def test_the_flip_is_the_nearest_in_a_scan() -> None:
    """A scan from today outwards meets no other sign before the reported wage, to a step of the scan."""
    for seed in (*range(SCANNED), 1339):
        it = scenario(seed)
        today = it.hours.wage
        for flip, margin in wage_margins(it):
            if flip is None or tied(margin, today) or margin(today) == 0.0:
                continue
            within = abs(flip - today) * np.linspace(0.0, 0.99, 40)
            wages = np.concatenate([today + within, np.maximum(0.0, today - within)])
            wrong = wages[np.broadcast_to(margin(wages), wages.shape) * margin(today) < -1e-9]
            assert not len(wrong), (seed, flip, wrong)


# --- test it first? --------------------------------------------------------------------------------


def test_testing_first_is_worth_what_knowing_changes_less_its_minutes() -> None:
    worth_it, tested = 0, 0
    for seed in range(GRAPHS):
        it = scenario(seed, tests=True)
        it = replace(it, finds=(replace(it.finds[0], works="unknown"),))
        anatomy = it.anatomies[KIND]
        first = depth(it, KIND).test_first
        if not any(part.needs for p in anatomy.pieces for part in p.parts):
            assert first is None  # nothing here depends on the condition
            continue
        yes, no, unknown = (Worths(it, it.hours.wage, works=w).best() for w in ("yes", "no", "unknown"))
        p, test = anatomy.works, anatomy.test_minutes
        assert first is not None and p is not None and test is not None
        hours = (test.low + 4 * test.likely + test.high) / 360
        gain = p * yes + (1 - p) * no - hours * it.hours.wage - unknown
        assert first.gain == pytest.approx(gain, abs=1e-9 * max(1.0, abs(yes)))
        assert (first.value_if_works, first.value_if_not) == pytest.approx((yes, no), rel=1e-9, abs=1e-9)
        assert first.worth_it is (gain > 1e-9)
        worth_it += first.worth_it
        tested += 1
    assert 10 <= worth_it <= tested - 10


def test_a_known_condition_is_not_tested_again() -> None:
    it = scenario(3)
    for works in ("yes", "no"):
        assert depth(replace(it, finds=(replace(it.finds[0], works=works),)), KIND).test_first is None


# --- draws -----------------------------------------------------------------------------------------

ESTIMATES = [
    Estimate(2.0, 3.0, 9.0),
    Estimate(0.0, 0.0, 1.0),
    Estimate(-5.0, -1.0, -1.0),
    Estimate(1.0, 1.5, 2.0),
]


@pytest.mark.parametrize("estimate", ESTIMATES, ids=str)
def test_draws_follow_the_pert_distribution(estimate: Estimate) -> None:
    """Against scipy.stats.beta with the shape parameters of Vose, "Risk Analysis", 2008 (from memory)."""
    n, width = 40_000, estimate.high - estimate.low
    up, down = (
        1 + 4 * (estimate.likely - estimate.low) / width,
        1 + 4 * (estimate.high - estimate.likely) / width,
    )
    law = stats.beta(up, down, loc=estimate.low, scale=width)
    sample = draw(estimate, n, np.random.default_rng(1))
    mean, variance, kurtosis = (float(v) for v in law.stats(moments="mvk"))
    assert mean == pytest.approx(estimate.mean, rel=1e-12)
    assert sample.mean() == pytest.approx(mean, abs=4 * np.sqrt(variance / n))
    assert sample.var() == pytest.approx(variance, abs=4 * variance * np.sqrt((kurtosis + 2) / n))
    assert stats.kstest(sample, law.cdf).pvalue > 1e-3
    assert estimate.low <= sample.min() and sample.max() <= estimate.high


def test_a_quantity_without_a_range_does_not_vary() -> None:
    assert set(draw(Estimate.exact(-2.5), 10, np.random.default_rng(1))) == {-2.5}


@cache
def demo() -> Scenario:
    return read_scenario(DEMO)


def one_find(kind: str, mass_kg: float | None = None) -> Instance:
    anatomies = {**demo().anatomies, kind: shipped().anatomy(kind)}
    return build(replace(demo(), finds=(Find(kind, 1, "yes", mass_kg),), anatomies=anatomies))


@pytest.mark.parametrize("kind", shipped().kinds)
def test_masses_balance_in_every_draw(kind: str) -> None:
    """What comes out weighs, in every draw, the same share of the opened piece as it does on average."""
    instance = one_find(kind)
    size = sizes(instance, 50, 2)
    assert size.min() > 0.0
    for opening in instance.openings:
        there = instance.nodes[opening.node].kg * size[opening.node]
        given = sum(count * instance.nodes[n].kg * size[n] for n, count in opening.gives)
        mean = sum(count * instance.nodes[n].kg for n, count in opening.gives)
        wanted = there * mean / instance.nodes[opening.node].kg
        assert np.allclose(given, wanted, rtol=1e-9), (
            opening.operation.id,
            np.max(np.abs(given / wanted - 1)),
        )


def test_a_weighed_find_weighs_the_same_in_every_draw() -> None:
    size = sizes(one_find("microwave", 14.0), 50, 2)
    assert set(size[0]) == {1.0}
    assert size[1].std() > 0.0


def test_the_same_seed_gives_the_same_draws_and_another_seed_others() -> None:
    instance = one_find("microwave")
    first, again, other = (drawn_terms(instance, 200, seed) for seed in (SEED, SEED, SEED + 1))
    for field in ("size", "per_kg", "kept_per_kg", "hours", "income"):
        assert np.array_equal(getattr(first, field), getattr(again, field))
    assert not np.array_equal(first.size, other.size)
    assert not np.array_equal(first.hours, other.hours)
    assert depth(demo(), "microwave").chances == depth(demo(), "microwave").chances


@pytest.mark.parametrize("kind", ["microwave", "desktop-pc", "washer-top", "upright-vacuum", "tap"])
def test_draws_scatter_around_the_expected_value(kind: str) -> None:
    """With every choice held, worth is linear in prices and minutes and near enough linear in masses."""
    instance = one_find(kind)
    programme = Programme(instance)
    values = programme.values(DepthTerms.expected(instance))
    followed = programme.followed(values, drawn_terms(instance, 20_000))[0]
    error = followed.std() / np.sqrt(followed.size)
    assert followed.mean() == pytest.approx(float(values.worth[0, 0]), abs=5 * error + 0.02 * abs(followed.mean()))


def test_chances_are_chances_and_ranges_in_order() -> None:
    opened = 0
    for kind in shipped().kinds:
        report = depth(replace(demo(), anatomies={**demo().anatomies, kind: shipped().anatomy(kind)}), kind)
        chances = report.chances
        assert chances.low <= chances.middle <= chances.high
        if chances.opening_wins is None:
            assert not any(step.chosen for step in report.steps)
        else:
            assert 0.0 <= chances.opening_wins <= 1.0
            opened += 1
        if not any(end.as_what == "part" for end in report.ends):  # a part sells or does not: no middle
            assert chances.low - 1e-9 <= report.value <= chances.high + 1e-9, kind
    assert opened >= 20


def test_the_cash_range_holds_what_is_expected() -> None:
    report = plan(demo())
    assert report.cash.low < report.cash.expected < report.cash.high
    money = report.money
    assert report.cash.expected == pytest.approx(
        money.sales + money.parts + money.shipping + money.fees + money.driving, abs=1e-9
    )


def test_cash_draws_scatter_around_the_expected_cash() -> None:
    instance = build(demo())
    checked = verify(instance, search(instance).decision)
    cash = cash_draws(instance, checked, 20_000)
    error = cash.std() / np.sqrt(cash.size)
    assert cash.mean() == pytest.approx(checked.money.cash, abs=5 * error + 0.01 * abs(checked.money.cash))
