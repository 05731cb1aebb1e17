"""Break-even wages against all lines of all ways in rational numbers, prices against a dense scan; far ones as well.

The worth of every way to end and open a piece is a straight line in the wage. Here all of them are listed, as
fractions, from tests/graphs.py, and the sign of an operation's margin is looked at between every two points where any
two lines cross. Nothing of it is planning's.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from graphs import KIND, Worths, scenario

from partway.actions.bench.depths import depth
from partway.planning.depth.breakeven import Breakevens
from partway.planning.depth.dynamic import DepthTerms, Programme
from partway.planning.depth.piecewise import Piecewise, highest
from partway.planning.instance.build import build
from partway.things.anatomy import Operation
from partway.things.scenario import Scenario

Way = tuple[Fraction, Fraction]  # worth at no wage, and what a unit of wage adds
GRAPHS = 150
NOTHING = Fraction(1, 10**10)
NARROW = Fraction(1, 10**8)


def upper(ways: set[Way]) -> set[Way]:
    """Those that are best at some wage of at least nothing."""
    best: list[Way] = []
    for a, b in sorted(ways, key=lambda way: (way[1], way[0])):  # by slope, the lower first
        while best and best[-1][0] <= a:
            best.pop()
        while len(best) > 1 and crossing(best[-2], (a, b)) <= crossing(best[-2], best[-1]):
            best.pop()
        best.append((a, b))
    return set(best)


def crossing(first: Way, second: Way) -> Fraction:
    """The wage at which two ways are worth the same."""
    return (first[0] - second[0]) / (second[1] - first[1])


def worth(ways: set[Way], wage: Fraction) -> Fraction:
    """The best of some at one wage."""
    return max(a + b * wage for a, b in ways)


class Lines:
    """All ways of one find."""

    def __init__(self, it: Scenario) -> None:
        self.free, self.paid = Worths(it, 0.0), Worths(it, 1.0)
        self.known: dict[str, set[Way]] = {}

    def ends(self, piece: str) -> set[Way]:
        """Of leaving a piece shut."""
        it = self.free.anatomy.piece(piece)
        pairs = zip(self.free.ends(it), self.paid.ends(it), strict=True)
        return {(Fraction(a), Fraction(b) - Fraction(a)) for a, b in pairs}

    def run(self, op: Operation) -> set[Way]:
        """Of one operation, with all ways for all that it gives."""
        fee = (-Fraction(self.free.fee(op)), Fraction(self.free.fee(op)) - Fraction(self.paid.fee(op)))
        ways = {fee}
        for give in op.gives:
            ways = {
                (a + give.count * c, b + give.count * d)
                for (a, b), (c, d) in itertools.product(ways, self.of(give.piece))
            }
        return upper(ways)

    def of(self, piece: str, leave_out: str = "") -> set[Way]:
        """Of a piece, perhaps without one operation."""
        key = f"{piece} without {leave_out}"
        if key not in self.known:
            runs = [self.run(op) for op in self.free.openings(piece) if op.id != leave_out]
            self.known[key] = upper(self.ends(piece).union(*runs))
        return self.known[key]

    def turns(self, op: Operation) -> list[Fraction]:
        """Wages at which the sign of the margin of an operation is another just above than just below."""
        mine, others = self.run(op), self.of(op.on, leave_out=op.id)
        pairs = itertools.combinations(mine | others, 2)
        points = sorted({x for p, q in pairs if p[1] != q[1] and (x := crossing(p, q)) > 0})
        apart = [x for k, x in enumerate(points) if k == 0 or x - points[k - 1] > NARROW * max(Fraction(1), x)]
        reach = [Fraction(0), *apart, apart[-1] + 1] if apart else [Fraction(0), Fraction(1)]
        signs = []
        for a, b in itertools.pairwise(reach):
            w = (a + b) / 2
            margin = worth(mine, w) - worth(others, w)
            signs.append(0 if abs(margin) < NOTHING else 1 if margin > 0 else -1)
        return [x for x, (s, t) in zip(apart, itertools.pairwise(signs), strict=True) if s != t]


def breakevens(it: Scenario) -> tuple[Breakevens, list[Operation]]:
    """Break-evens of the find, and its operations in their order."""
    instance = build(it)
    programme, terms = Programme(instance), DepthTerms.expected(instance)
    return Breakevens(programme, terms, programme.values(terms)), [o.operation for o in instance.openings]


def test_the_flip_wage_is_the_nearest_of_all_turns_however_far() -> None:
    wrong, found, far = [], 0, 0
    for seed in range(GRAPHS):
        it = scenario(seed)
        today, lines = it.hours.wage, Lines(it)
        turns, operations = breakevens(it)
        for o, op in enumerate(operations):
            expected = min((float(x) for x in lines.turns(op)), key=lambda x: abs(x - today), default=None)
            flip = turns.wage(o)
            if expected is None or flip is None:
                if expected is not flip:
                    wrong.append((seed, op.id, flip, expected))
                continue
            found += 1
            far += expected > 64.0 * max(1.0, today)
            # Two turns as far from today, one on each side, are both the nearest.
            if abs(abs(flip - today) - abs(expected - today)) > 1e-6 * max(1.0, expected):
                wrong.append((seed, op.id, flip, expected))
    assert not wrong
    assert found >= 200
    assert far >= 3


def by_price(it: Scenario, op: Operation, grade: str) -> Callable[[Any], Any]:
    """The margin of an operation by the best net price of a grade, or by many of them in an array."""
    return lambda price: Worths(it, it.hours.wage, {grade: price}).margin(op)


def test_the_flip_price_is_the_nearest_in_a_dense_scan_keep_values_and_copper_parts_moving_along() -> None:
    """Up to eight times today's price and down to nothing; a scan of 250 points meets no other sign on the way."""
    wrong, found, none = [], 0, 0
    for seed in range(80):
        it = scenario(seed)
        turns, operations = breakevens(it)
        for o, op in enumerate(operations):
            flip = turns.price(o)
            if flip is None:
                continue
            margin, today = by_price(it, op, flip.grade), flip.today
            here = margin(today)
            if abs(here) < 1e-9 or today <= 0.0:
                continue
            reach = 8.0 * today if flip.flip is None else abs(flip.flip - today) * (1.0 - 1e-6)
            points = np.concatenate(
                [today + np.linspace(0.0, reach, 125), today - np.linspace(0.0, min(reach, today), 125)]
            )
            if np.any(margin(points) * here < -1e-9):
                wrong.append((seed, op.id, flip))
            if flip.flip is None:
                none += 1
                continue
            found += 1
            if abs(margin(flip.flip)) > 1e-6:
                wrong.append((seed, op.id, flip))
    assert not wrong
    assert found >= 60
    assert none >= 15


def test_a_price_that_a_mail_in_pays_is_what_it_quotes_and_says_so() -> None:
    """Typed in as the mail-in's only quote for that grade, a little either side of it, the answer is another."""
    turned = 0
    for seed in range(200):
        it = scenario(seed)
        for step in depth(it, KIND).steps:
            flip = step.flip_price
            if flip is None or flip.flip is None:
                continue
            quotes = [
                (b, q) for b in it.buyers for q in b.quotes if q.grade == flip.grade and flip.grade not in b.refuses
            ]
            if {b.kind for b, _ in quotes} != {"mail-in"}:
                continue
            (mail, quote), *_ = quotes
            assert flip.includes_postage
            assert flip.today == pytest.approx(quote.price.mean, abs=1e-9)
            gains = []
            for price in (flip.flip - 1e-3, flip.flip + 1e-3):
                typed = replace(quote, price=quote.price.exact(price))
                new = replace(mail, quotes=tuple(typed if q is quote else q for q in mail.quotes))
                there = replace(it, buyers=tuple(new if b is mail else b for b in it.buyers))
                gains += [
                    s.gain for s in depth(there, KIND).steps if (s.piece, s.operation) == (step.piece, step.operation)
                ]
            assert min(gains) <= 1e-9 and max(gains) >= -1e-9 and gains[0] != pytest.approx(gains[1], abs=1e-9)
            turned += 1
    assert turned >= 5


def test_the_programme_on_functions_is_the_programme_on_numbers() -> None:
    for seed in range(60):
        it = scenario(seed)
        turns, _ = breakevens(it)
        for wage in (0.0, 0.7, 5.0, 31.0, 400.0):
            numbers = turns.programme.values(DepthTerms.expected(turns.instance, wage)).worth[:, 0]
            functions = [turns.by_wage.of(node).at(wage) for node in range(len(numbers))]
            assert functions == pytest.approx(numbers, abs=1e-9)


def test_straight_pieces_add_and_compare_as_numbers_do() -> None:
    rng = np.random.default_rng(5)
    points = np.linspace(-9.0, 9.0, 181)
    for _ in range(200):
        f, g = (
            Piecewise(
                tuple(np.sort(rng.uniform(-5, 5, n)).tolist()), tuple(rng.normal(size=n).tolist()), *rng.normal(size=2)
            )
            for n in rng.integers(1, 6, 2)
        )
        for made, expected in (
            (f + g, [f.at(x) + g.at(x) for x in points]),
            (f - g, [f.at(x) - g.at(x) for x in points]),
            (2.0 - f * 3.0, [2.0 - 3.0 * f.at(x) for x in points]),
            (highest([f, g]), [max(f.at(x), g.at(x)) for x in points]),
        ):
            assert [made.at(x) for x in points] == pytest.approx(expected, abs=1e-9)
        for x in (f - g).turns():
            assert f.at(x) == pytest.approx(g.at(x), abs=1e-9)
