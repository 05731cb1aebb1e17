"""One price of a scenario moved, all else as it is: what a flip price is searched along, and what a slider asks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from partway.things.anatomy import Anatomy, Part, Piece
from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Scenario

AtPrice = Callable[[float], Scenario]


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
