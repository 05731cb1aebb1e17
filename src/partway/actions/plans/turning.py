"""The flip price of one line of a plan: where planning again gives another answer about it.

A line's lead is what the best plan is worth above the best plan without the line, at one price, keep values moving
along. Its flip price is the price nearest to today's at which the lead becomes nothing and stays nothing just beyond.
From today's price to there every best plan has the line; just beyond, a plan without it is as good as any.

How it is found. Prices change what a plan is worth and not what may be done, so a decision that was found at one
price may be valued at every other, exactly: it is worth a straight line between two bends of the keep values. So
the best decisions found give a lower bound of both plans everywhere. Between two prices at which what somebody pays
turns into a charge, keep values are the highest of straight lines in the price, and so is the worth of a best plan: it
lies nowhere above the chord through two prices at which it was solved, an upper bound; at those two it is solved. The
lead is certainly above nothing where the lower bound of the one plan is above the upper bound of the other. Planning
again is asked for just beyond the price where the bounds known so far say that it turns, and in between where that
leaves a doubt.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

from partway.actions.plans.solutions import Flip, PriceQuestion, Solution, figures_of, is_convex, solved
from partway.planning.check.verify import Checked, worth_of
from partway.planning.depth.bends import bends, zero_prices
from partway.planning.depth.piecewise import Piecewise, highest
from partway.planning.instance.frozen import Instance
from partway.planning.learned.memory import LearnedSearch
from partway.planning.learned.rebuilt import rebuilt

LEVEL = 1e-6  # share of the objective: two plans this close are worth the same
BEYOND = 1e-4  # share of today's price: as far beyond a flip it is confirmed by planning again
MOST_SOLVES = 24  # for one line


class OutOfBudget(Exception):
    """No more planning for this line."""


@dataclass
class Turning:
    """The search for one line within `seconds`; `here` is today's plan and `other` the best without the line."""

    line: PriceQuestion
    here: Solution
    other: Solution
    seconds: float
    clock: Callable[[], float]
    solves: int = 0
    proven: bool = True
    with_line: list[Piecewise] = field(default_factory=list)
    without: list[Piecewise] = field(default_factory=list)
    sure: dict[float, float] = field(default_factory=dict)  # worth of the best plan without the line, by price
    learned: dict[bool, LearnedSearch | None] = field(default_factory=dict)  # with the line, and without, by the last
    planned: set[float] = field(default_factory=set)  # prices at which the best plan of all is known

    def flip(self) -> Flip:
        """The nearest flip price, below today's or above it."""
        line = self.line
        self.proven = self.here.proven and self.other.proven and is_convex(line.instance)
        if self.here.objective - self.other.objective <= self._level:
            return Flip(line.today, self.proven)
        if line.low >= line.high:
            return Flip(None, self.proven)
        self._know(self.here.checked, full=True)
        self._know(self.other.checked, full=False)
        self.sure[line.today] = self.other.objective
        below: float | None = None
        try:
            below = self._towards(line.low)
            reach = line.high if below is None else min(line.high, 2.0 * line.today - below)
            above = self._towards(reach)
        except OutOfBudget:
            return Flip(below if below is not None else self._guess(line.low), exact=False)
        return Flip(below if above is None else above, self.proven)

    def _towards(self, end: float) -> float | None:
        """The flip price nearest to today's on the way to `end`, None where there is none. Raises OutOfBudget."""
        start = self.line.today
        for x in zero_prices(self.line.at, self.line.low, self.line.high):
            if min(start, end) < x < max(start, end):
                self._prove(x)
        while start != end:
            guess = self._guess(end, start)
            probe = end if guess is None else self._beyond(guess, end)
            if guess is None:
                self._prove(end)
            elif probe not in self.planned:
                self._plan(probe)
                continue
            elif self._lead(probe) > self._level:
                start = probe  # it touched nothing there and rose again
                continue
            doubt = self._doubt(start, probe)
            if doubt is None or (guess is not None and abs(doubt - guess) <= abs(probe - guess)):
                return guess
            if not self._settle(doubt, probe):
                return guess
        return None

    # -- what is known -----------------------------------------------------------------------------

    @property
    def _level(self) -> float:
        return LEVEL * max(1.0, abs(self.here.objective))

    @cached_property
    def _bends(self) -> tuple[float, ...]:
        line = self.line
        found = bends(line.instance, line.at, line.low, line.high)
        return tuple(sorted({*found, line.today}))

    @cached_property
    def _full(self) -> dict[float, Instance]:
        return {x: rebuilt(self.line.instance, self.line.at(x)) for x in self._bends}

    @cached_property
    def _dropped(self) -> dict[float, Instance]:
        return {x: self.line.drop(instance) for x, instance in self._full.items()}

    def _know(self, checked: Checked, full: bool) -> None:
        """Remember a decision by what it is worth at every price; `full` says which instance it is of."""
        instances = self._full if full else self._dropped
        curve = Piecewise(self._bends, tuple(worth_of(instances[x], checked) for x in self._bends), 0.0, 0.0)
        has_line = full and self.line.uses(self.line.instance, checked.decision)
        (self.with_line if has_line else self.without).append(curve)

    def _best(self) -> Piecewise:
        """At least this is the best plan worth."""
        return highest([*self.with_line, *self.without])

    def _lead(self, x: float) -> float:
        return self._best().at(x) - highest(self.without).at(x)

    def _guess(self, end: float, start: float | None = None) -> float | None:
        """Where the decisions known so far say that it turns."""
        lead = highest(self.with_line) - highest(self.without)
        return _first(lead, self.line.today if start is None else start, end)

    def _doubt(self, start: float, end: float) -> float | None:
        """The first price between two at which the lead is not certain."""
        xs = tuple(sorted(self.sure))
        most = Piecewise(xs, tuple(self.sure[x] for x in xs), 0.0, 0.0)
        return _first(highest(self.with_line) - most, start, end)

    def _beyond(self, guess: float, end: float) -> float:
        step = BEYOND * max(abs(self.line.today), abs(guess))
        return max(end, guess - step) if end < self.line.today else min(end, guess + step)

    # -- planning again ----------------------------------------------------------------------------

    def _plan(self, x: float) -> None:
        """Know the best plan at a price, and the best without the line."""
        answer = self._solved(self._at(x), full=True)
        self._know(answer.checked, full=True)
        self.planned.add(x)
        if self.line.uses(self.line.instance, answer.checked.decision):
            self._prove(x)
        else:
            self.sure[x] = answer.objective

    def _prove(self, x: float) -> None:
        """Know what the best plan without the line is worth at a price."""
        if x in self.sure:
            return
        if self._unmoved(x):
            self.sure[x] = self.other.objective
            return
        answer = self._solved(self.line.drop(self._at(x)), full=False)
        self._know(answer.checked, full=False)
        self.sure[x] = max(answer.objective, highest(self.without).at(x))

    def _settle(self, doubt: float, probe: float) -> bool:
        """Plan where that tells most about the doubt; False where there is nothing left to learn."""
        lower = max(x for x in self.sure if x <= doubt)
        upper = min(x for x in self.sure if x >= doubt)
        known = highest(self.without)
        inside = [x for x in {*known.xs, doubt} if lower < x < upper]
        gaps = {x: self._chord(lower, upper, x) - known.at(x) for x in inside}
        widest = max(gaps, key=lambda x: gaps[x], default=None)
        if widest is not None and gaps[widest] > self._level:
            self._prove(widest)
            return True
        if doubt in self.planned:
            return False
        self._plan(doubt)
        return True

    def _chord(self, a: float, b: float, x: float) -> float:
        return self.sure[a] + (self.sure[b] - self.sure[a]) * (x - a) / (b - a)

    def _unmoved(self, x: float) -> bool:
        """Whether a plan without the line counts with the same figures at this price as today."""
        return figures_of(self.line.drop(self._at(x))) == figures_of(self._dropped[self.line.today])

    def _at(self, x: float) -> Instance:
        return self._full[x] if x in self._full else rebuilt(self.line.instance, self.line.at(x))

    def _solved(self, instance: Instance, full: bool) -> Solution:
        if self.solves >= MOST_SOLVES or self.clock() > self.seconds:
            raise OutOfBudget
        self.solves += 1
        answer = solved(instance, self.seconds, self.learned.get(full, (self.here if full else self.other).learned))
        self.learned[full] = answer.learned
        self.proven = self.proven and answer.proven
        return answer


def _first(lead: Piecewise, start: float, end: float) -> float | None:
    """The first point on the way from `start` to `end` at which a lead becomes nothing; None where it stays above."""
    way = 1.0 if end > start else -1.0
    on_the_way = sorted(
        (x for x in {*lead.xs, *lead.zeros(), end} if 0.0 < way * (x - start) <= way * (end - start)),
        key=lambda x: way * x,
    )
    slack = 1e-9 * max(1.0, *map(abs, lead.ys))
    return next((x for x in on_the_way if lead.at(x) <= slack), None)
