"""What one learns from one's own weighings, tests and sales: a plain stand-in until the app's own is merged."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log
from statistics import fmean

from year_market import Market
from year_shed import Seen

from partway.things.anatomy import Anatomy, Operation, Part, Piece
from partway.things.estimate import Estimate

WEIGHT = 4.0  # how many observations of one's own the catalogue counts for


def learned(guess: Anatomy, seen: Seen, market: Market) -> Anatomy:
    """One kind with what was seen of it."""
    tests = [works for kind, works in seen.tests if kind == guess.kind]
    works = guess.works
    if works is not None and tests:
        works = (WEIGHT * works + sum(tests)) / (WEIGHT + len(tests))
    pieces = tuple(_piece(guess.kind, piece, seen, market) for piece in guess.pieces)
    operations = tuple(_operation(guess.kind, op, seen) for op in guess.operations)
    return replace(guess, works=works, pieces=pieces, operations=operations)


def _moved(estimate: Estimate, values: list[float]) -> Estimate:
    """An estimate with its logarithm drawn towards the mean of what was seen."""
    if not values or estimate.mean <= 0.0:
        return estimate
    shift = len(values) / (len(values) + WEIGHT) * (fmean(map(log, values)) - log(estimate.mean))
    return estimate.scaled(exp(shift))


def _operation(kind: str, op: Operation, seen: Seen) -> Operation:
    return replace(op, minutes=_moved(op.minutes, seen.minutes.get((kind, op.id), [])))


def _piece(kind: str, piece: Piece, seen: Seen, market: Market) -> Piece:
    parts = tuple(_part((kind, piece.id, i), part, seen, market) for i, part in enumerate(piece.parts))
    return replace(piece, mass=_moved(piece.mass, seen.masses.get((kind, piece.id), [])), parts=parts)


def _part(key: tuple[str, str, int], part: Part, seen: Seen, market: Market) -> Part:
    """Gamma on the rate of buyers, its prior from the catalogue's chance within its days; price by the logarithm."""
    got, days = seen.got.get(key, []), 7.0 * seen.offered[key]
    if not days:
        return part
    prior = -log(1.0 - part.chance) / part.days
    rate = (1.0 + len(got)) / (1.0 / prior + days)
    price = part.price
    if got and part.in_copper:
        unit = market.best("copper-2", 0)
        price = _moved(price, [g / unit for g in got])
    return replace(part, chance=1.0 - exp(-rate * part.days), price=price)
