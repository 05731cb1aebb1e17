"""Straight pieces against the same sums and maxima worked out at every point anew; no outside source is needed."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from itertools import pairwise

import pytest

from partway.planning.depth.piecewise import Piecewise, constant, corners, highest, line, nearest

Plain = Callable[[float], float]


def drawn(rng: random.Random, depth: int) -> tuple[Piecewise, Plain]:
    """A function in both forms: lines, then sums, multiples and maxima of them."""
    if depth == 0:
        at, slope = rng.randint(-6, 6) / 2, rng.choice([-2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 3.0])
        return line(at, slope), lambda x: at + slope * x
    (f, plain_f), (g, plain_g) = drawn(rng, depth - 1), drawn(rng, depth - 1)
    factor, more = rng.choice([0.5, 2.0, 3.0]), rng.randint(-4, 4) / 4
    return rng.choice(
        [
            (f + g, lambda x: plain_f(x) + plain_g(x)),
            (f - g, lambda x: plain_f(x) - plain_g(x)),
            (f * factor + more, lambda x: plain_f(x) * factor + more),
            (more - factor * f, lambda x: more - factor * plain_f(x)),
            (highest([f, g]), lambda x: max(plain_f(x), plain_g(x))),
            (highest([f, g, constant(more)]), lambda x: max(plain_f(x), plain_g(x), more)),
        ]
    )


@pytest.mark.parametrize("seed", range(120))
def test_it_is_the_same_at_every_point(seed: int) -> None:
    rng = random.Random(seed)
    f, plain = drawn(rng, rng.randint(0, 4))
    points = [rng.uniform(-30.0, 30.0) for _ in range(60)] + [*f.xs, -1e6, 1e6, 0.0]
    for x in points:
        assert f.at(x) == pytest.approx(plain(x), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", range(120))
def test_it_has_a_corner_where_it_bends_and_nowhere_else(seed: int) -> None:
    rng = random.Random(seed)
    f, plain = drawn(rng, rng.randint(0, 4))
    assert list(f.xs) == sorted(set(f.xs)) and len(f.xs) == len(f.ys)
    gaps = [b - a for a, b in pairwise(f.xs)]
    step = min([1.0, *gaps]) / 4.0
    inner = f.xs[1:-1]
    for x in inner:
        before, after = plain(x) - plain(x - step), plain(x + step) - plain(x)
        assert abs(after - before) > 1e-9 * max(1.0, abs(plain(x)))


@pytest.mark.parametrize("seed", range(150))
def test_its_sign_turns_where_it_says_and_nowhere_else(seed: int) -> None:
    rng = random.Random(seed)
    f, plain = drawn(rng, rng.randint(1, 3))
    turns = f.turns()

    def sign(x: float) -> int:
        value = plain(x)
        return 0 if abs(value) < 1e-10 else int(math.copysign(1.0, value))

    reach = [-1e4, *turns, 1e4]
    for a, b in pairwise(reach):  # one sign between two turns
        inside = {sign(a + (b - a) * share) for share in (1e-3, 0.1137, 0.371, 0.5013, 0.6337, 0.8911, 1.0 - 1e-3)}
        assert len(inside) == 1 or b - a < 1e-6
    for x in turns:
        assert sign(x - 1e-4) != sign(x + 1e-4)


def test_by_hand() -> None:
    roof = -highest([line(0.0, 1.0), line(4.0, -1.0)]) + 5.0  # 5 - |x - 2| - 2
    assert roof.at(2.0) == 3.0 and roof.at(0.0) == 1.0 and roof.at(7.0) == -2.0
    assert roof.zeros() == [-1.0, 5.0] and roof.turns() == [-1.0, 5.0]
    assert corners(roof, line(1.0, 1.0)) == (0.0, 2.0) or corners(roof) == (2.0,)
    assert constant(3.0).zeros() == [] and constant(3.0).turns() == []
    assert line(-3.0, 1.5).zeros() == [2.0] and line(-3.0, 1.5).turns() == [2.0]
    assert line(3.0, 1.5).zeros() == [-2.0]
    assert line(0.0, 1.0).zeros() == [], "a corner is inside no piece"


def test_where_it_is_nothing_for_a_while_both_ends_are_turns() -> None:
    flat = highest([constant(0.0), line(-2.0, 1.0), line(-3.0, -1.0)])
    assert flat.turns() == [-3.0, 2.0]
    assert (flat + 1e-11).turns() == [-3.0, 2.0], "less than a ten-thousand-millionth is nothing"
    assert highest([constant(0.0), line(0.0, 1.0)]).turns() == [0.0]


def test_points_as_good_as_alike_are_one() -> None:
    close = Piecewise((0.0, 1.0, 1.0 + 1e-12, 3.0), (1.0, 0.0, 0.0, -1.0), 0.0, 0.0)
    assert close.turns() == [1.0]


def test_the_nearest_point_above_the_least() -> None:
    assert nearest([1.0, 4.0, 9.0], 5.0, 0.0) == 4.0
    assert nearest([1.0, 4.0, 9.0], 7.0, 0.0) == 9.0
    assert nearest([1.0, 4.0], 5.0, 4.0) is None
    assert nearest([4.0 + 1e-9], 5.0, 4.0) is None and nearest([4.0 + 1e-8], 5.0, 4.0) == 4.0 + 1e-8
    assert nearest([2e-9], 5.0, 0.0) == 2e-9 and nearest([0.5e-9], 5.0, 0.0) is None
    assert nearest([], 5.0, 0.0) is None
