"""The price at which two plans are worth the same, found by solving both again at each guess.

With no change of decision a plan's worth is a straight line in one price, keep values included; the next guess is
where today's two lines cross, until the re-solved plans really are worth the same (Dinkelbach, "On nonlinear
fractional programming", Management Science 13, 1967, steps the same way).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from partway.planning.build import build
from partway.planning.decision import Decision
from partway.planning.instance import Instance
from partway.planning.search import search
from partway.planning.verify import verify
from partway.things.anatomy import Anatomy, Part, Piece
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Scenario

STEPS = 6
GAP = 1e-6
LEVEL = 1e-4  # currency units: two plans this close are worth the same
DUST = 1e-9
NUDGE = 0.01  # share of the price by which it is lowered to read off a slope

AtPrice = Callable[[float], Scenario]
Drop = Callable[[Instance], Instance]


@dataclass(frozen=True, slots=True)
class Solution:
    """A best plan: what it is worth, what it decides, whether that was proven."""

    objective: float
    decision: Decision
    proven: bool


def solved(instance: Instance, seconds: float) -> Solution:
    """The best checked plan of an instance."""
    found = search(instance, seconds, GAP)
    return Solution(verify(instance, found.decision).money.total, found.decision, found.optimal)


@dataclass(frozen=True, slots=True)
class Flip:
    """The price found; None where no price of at least nothing does it. `exact` is False where time ran out."""

    price: float | None
    exact: bool


@dataclass(frozen=True)
class Search:
    """`at` gives the scenario with the price moved; `drop` takes the line in question out of an instance."""

    at: AtPrice
    drop: Drop
    seconds: float
    clock: Callable[[], float]

    def flip(self, today: float, here: Solution, other: Solution) -> Flip:
        """Where the plan with the line (`here`) is worth no more than the one without (`other`)."""
        price = today
        for _ in range(STEPS):
            ahead = here.objective - other.objective
            if abs(ahead) <= LEVEL:
                return Flip(price, here.proven and other.proven)
            slope = self._slope(price, here, other)
            if slope <= 0.0 or price - ahead / slope < -DUST:
                return Flip(None, here.proven and other.proven)
            price = max(0.0, price - ahead / slope)
            if self.clock() > self.seconds:
                return Flip(price, exact=False)
            instance = build(self.at(price))
            here, other = solved(instance, self.seconds), solved(self.drop(instance), self.seconds)
        return Flip(price, exact=False)

    def _slope(self, price: float, here: Solution, other: Solution) -> float:
        """By how much the lead of the one decision over the other shrinks per unit of price."""
        step = max(price, NUDGE) * NUDGE
        lower = build(self.at(price - step))
        ahead = verify(lower, here.decision).money.total - verify(self.drop(lower), other.decision).money.total
        return (here.objective - other.objective - ahead) / step


def quote_at(scenario: Scenario, buyer: str, grade: str, today: float) -> AtPrice:
    """Scenarios in which one buyer quotes a grade at another price per kg, its other lot sizes moving along."""

    def at(price: float) -> Scenario:
        return replace(scenario, buyers=tuple(_requoted(b, buyer, grade, price - today) for b in scenario.buyers))

    return at


def _requoted(buyer: Buyer, wanted: str, grade: str, by: float) -> Buyer:
    if buyer.id != wanted:
        return buyer
    quotes = [replace(q, price=_moved(q.price, by)) if q.grade == grade else q for q in buyer.quotes]
    return replace(buyer, quotes=tuple(quotes))


def grade_at(scenario: Scenario, grade: str, today: float) -> AtPrice:
    """Scenarios in which a grade costs another price everywhere: every quote for it in the same proportion."""

    def at(price: float) -> Scenario:
        factor = price / today
        return replace(scenario, buyers=tuple(_scaled(b, grade, factor) for b in scenario.buyers))

    return at


def _scaled(buyer: Buyer, grade: str, factor: float) -> Buyer:
    quotes = [replace(q, price=q.price.scaled(factor)) if q.grade == grade else q for q in buyer.quotes]
    return replace(buyer, quotes=tuple(quotes))


def _moved(price: Estimate, by: float) -> Estimate:
    return Estimate(price.low + by, price.likely + by, price.high + by)


def part_at(scenario: Scenario, kind: str, piece: str, part: Part, today: float) -> AtPrice:
    """Scenarios in which one part is asked for at another price (`today` is its price in currency units)."""

    def at(price: float) -> Scenario:
        anatomy = scenario.anatomies[kind]
        dearer = replace(part, price=part.price.scaled(price / today)) if today else part
        pieces = tuple(_reasked(p, piece, part, dearer) for p in anatomy.pieces)
        changed: Anatomy = replace(anatomy, pieces=pieces)
        return replace(scenario, anatomies={**scenario.anatomies, kind: changed})

    return at


def _reasked(piece: Piece, wanted: str, part: Part, dearer: Part) -> Piece:
    if piece.id != wanted:
        return piece
    return replace(piece, parts=tuple(dearer if p == part else p for p in piece.parts))
