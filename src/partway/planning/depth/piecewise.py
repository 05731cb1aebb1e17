"""Piecewise linear functions of one number: added, scaled and compared exactly.

What a find is worth is such a function of the wage, and of the price of one grade: sums of lines and the best of them.
A function is kept as its corners and the slopes at both ends, so no stretch is missed, however short or far out.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import pairwise

FLAT = 1e-12  # share of the values around it by which a point may be off the straight line and still be on it
NOTHING = 1e-10  # currency units: a margin of less is none
NARROW = 1e-9  # share of the argument: a stretch of less is a rounding error


@dataclass(frozen=True, slots=True)
class Piecewise:
    """Straight from each corner (`xs`, `ys`) to the next; slope `left` before the first, `right` after the last."""

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    left: float
    right: float

    def at(self, x: float) -> float:
        """The value at one point."""
        i = bisect_left(self.xs, x)
        if i == len(self.xs):
            return self.ys[-1] + (x - self.xs[-1]) * self.right
        if self.xs[i] == x:
            return self.ys[i]
        if i == 0:
            return self.ys[0] - (self.xs[0] - x) * self.left
        share = (x - self.xs[i - 1]) / (self.xs[i] - self.xs[i - 1])
        return self.ys[i - 1] + share * (self.ys[i] - self.ys[i - 1])

    def __add__(self, other: Piecewise | float) -> Piecewise:
        """The sum."""
        if not isinstance(other, Piecewise):
            return Piecewise(self.xs, tuple(y + other for y in self.ys), self.left, self.right)
        xs = corners(self, other)
        ys = tuple(self.at(x) + other.at(x) for x in xs)
        return _tidy(xs, ys, self.left + other.left, self.right + other.right)

    __radd__ = __add__

    def __mul__(self, factor: float) -> Piecewise:
        """All values times a number."""
        return Piecewise(self.xs, tuple(factor * y for y in self.ys), factor * self.left, factor * self.right)

    __rmul__ = __mul__

    def __neg__(self) -> Piecewise:
        """The other sign."""
        return self * -1.0

    def __sub__(self, other: Piecewise | float) -> Piecewise:
        """The difference."""
        return self + -other

    def __rsub__(self, other: float) -> Piecewise:
        """A number less this."""
        return -self + other

    def zeros(self) -> list[float]:
        """Points inside a piece at which the value is 0."""
        found = []
        if self.left and (before := -self.ys[0] / self.left) < 0.0:
            found.append(self.xs[0] + before)
        for (a, at_a), (b, at_b) in pairwise(zip(self.xs, self.ys, strict=True)):
            if at_a * at_b < 0.0:
                found.append(a + (b - a) * at_a / (at_a - at_b))
        if self.right and (after := -self.ys[-1] / self.right) > 0.0:
            found.append(self.xs[-1] + after)
        return found

    def turns(self) -> list[float]:
        """Points at which the sign just before differs from the sign just after; 0 counts as a sign of its own."""
        edges = _apart(sorted({*self.xs, *self.zeros()}))
        reach = [edges[0] - 1.0, *edges, edges[-1] + 1.0]
        signs = [_sign(self.at((a + b) / 2.0)) for a, b in pairwise(reach)]
        return [x for x, (before, after) in zip(edges, pairwise(signs), strict=True) if before != after]


def constant(value: float) -> Piecewise:
    """The same everywhere."""
    return Piecewise((0.0,), (value,), 0.0, 0.0)


def line(at_nothing: float, slope: float) -> Piecewise:
    """A straight line by its value at 0 and its slope."""
    return Piecewise((0.0,), (at_nothing,), slope, slope)


def highest(functions: Sequence[Piecewise]) -> Piecewise:
    """At every point the largest of some, of which there is at least one."""
    return reduce(_higher, functions)


def nearest(points: Iterable[float], today: float, least: float) -> float | None:
    """The point nearest today's that is above the least; None if there is none."""
    inside = [x for x in points if x - least > NARROW * max(1.0, abs(least))]
    return min(inside, key=lambda x: abs(x - today), default=None)


def corners(*functions: Piecewise) -> tuple[float, ...]:
    """The arguments at which any of the functions changes slope, in order."""
    return tuple(sorted({x for function in functions for x in function.xs}))


def _higher(f: Piecewise, g: Piecewise) -> Piecewise:
    gap = f - g
    xs = tuple(sorted({*f.xs, *g.xs, *gap.zeros()}))
    ys = tuple(max(f.at(x), g.at(x)) for x in xs)
    left, right = xs[0] - 1.0, xs[-1] + 1.0
    return _tidy(
        xs,
        ys,
        f.left if f.at(left) >= g.at(left) else g.left,
        f.right if f.at(right) >= g.at(right) else g.right,
    )


def _tidy(xs: Sequence[float], ys: Sequence[float], left: float, right: float) -> Piecewise:
    """Remove corners where the slope does not change; at least one stays."""
    kept = [0]
    for i in range(1, len(xs)):
        while len(kept) > 1 and _straight(xs, ys, kept[-2], kept[-1], i):
            kept.pop()
        kept.append(i)
    return Piecewise(tuple(xs[i] for i in kept), tuple(ys[i] for i in kept), left, right)


def _straight(xs: Sequence[float], ys: Sequence[float], a: int, b: int, c: int) -> bool:
    share = (xs[b] - xs[a]) / (xs[c] - xs[a])
    off = abs(ys[a] + share * (ys[c] - ys[a]) - ys[b])
    return off <= FLAT * max(1.0, abs(ys[a]), abs(ys[c]))


def _apart(points: Sequence[float]) -> list[float]:
    """Remove arguments that are practically equal to the one before."""
    found = [points[0]]
    found += [b for a, b in pairwise(points) if b - a > NARROW * max(1.0, abs(b))]
    return found


def _sign(value: float) -> int:
    return 0 if abs(value) < NOTHING else 1 if value > 0.0 else -1
