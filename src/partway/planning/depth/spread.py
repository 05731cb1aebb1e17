"""Seeded draws of masses, minutes, prices and luck around the PERT means.

Each estimate is drawn from the beta-PERT distribution on low..high with mode likely, whose mean is the PERT mean:
alpha = 1 + 4 (likely - low) / (high - low), beta = 1 + 4 (high - likely) / (high - low). Source: Vose, "Risk
Analysis", 3rd ed., 2008, ch. 13.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from partway.planning.depth.dynamic import DepthTerms, Draws, bottom_up
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import postage_per_kg
from partway.things.estimate import Estimate

SEED = 20260314
DRAWS = 2000
TINY = 1e-12


def draw(estimate: Estimate, n: int, rng: np.random.Generator) -> Draws:
    """`n` draws of one estimate; a quantity without a range is itself each time."""
    width = estimate.high - estimate.low
    if width <= 0.0:
        return np.full(n, estimate.likely)
    up = 4.0 * (estimate.likely - estimate.low) / width
    return estimate.low + width * rng.beta(1.0 + up, 5.0 - up, n)


def drawn_terms(instance: Instance, n: int = DRAWS, seed: int = SEED) -> DepthTerms:
    """`n` draws of everything uncertain; the same seed gives the same draws."""
    rng = np.random.default_rng(seed)
    expected = DepthTerms.expected(instance)
    per_kg = prices(instance, n, rng)
    size = sizes(instance, n, rng)
    turns = answers(instance, n, rng)
    kept = np.repeat(expected.kept_per_kg, n, axis=1)
    return DepthTerms(
        size=size * turns,
        per_kg=np.maximum(per_kg, kept),
        kept_per_kg=kept,
        hours=_stack(
            [hours * turns[o.node] for o, hours in zip(instance.openings, _all_hours(instance, n, rng), strict=True)], n
        ),
        income=_stack([_luck(instance, p, n, rng) * turns[s.node] for p, s in enumerate(instance.part_sales)], n),
        wage=expected.wage,
        reach=_reach(instance, n),
    )


def _stack(rows: list[Draws], n: int) -> Draws:
    return np.array(rows).reshape(len(rows), n)


def prices(instance: Instance, n: int, rng: np.random.Generator) -> Draws:
    """Best net price of each grade, shape (grades, n); a quote heard without a range does not vary."""
    buyers = {b.id: b for b in instance.buyers}
    rows = []
    for grade in instance.grades:
        offer = instance.market.best(grade)
        if offer is None:
            rows.append(np.zeros(n))
        else:
            rows.append(draw(offer.quote.price, n, rng) - postage_per_kg(buyers[offer.buyer]))
    return _stack(rows, n)


def sizes(instance: Instance, n: int, rng: np.random.Generator) -> Draws:
    """Mass of each node over its PERT mean, shape (nodes, n), mass kept in balance.

    Pieces are drawn one by one and then scaled so that what comes out of a piece adds up to its mass. A piece that
    several operations give keeps its mass from the first of them; the other pieces of the others make up the
    difference.
    """
    return balanced(instance, np.array(_masses(instance, n, rng)).reshape(-1, n), range(len(instance.openings)))


def balanced(instance: Instance, factor: Draws, opened: Collection[int]) -> Draws:
    """Masses over their means, each drawn by itself, scaled so that pieces add up to what they come out of (`sizes`).

    The rows given are changed; openings that are not `opened` are left out.
    """
    settled: set[int] = set()
    for node in reversed(bottom_up(instance)):
        for o in instance.openings_of[node]:
            if o not in opened:
                continue
            gives = instance.openings[o].gives
            if instance.openings[o].operation.asks:  # each answer is the piece itself
                factor[[child for child, _ in gives]] = factor[node]
                settled |= {child for child, _ in gives}
                continue
            wanted = factor[node] * sum(count * instance.nodes[c].kg for c, count in gives)
            fixed = sum(count * instance.nodes[c].kg * factor[c] for c, count in gives if c in settled)
            free = sum(count * instance.nodes[c].kg * factor[c] for c, count in gives if c not in settled)
            # Shared pieces drawn heavier than all that is left cannot be balanced: no piece weighs less than nothing.
            stretch = np.maximum(wanted - fixed, 0.0) / np.maximum(free, TINY)
            for child in {c for c, _ in gives} - settled:
                factor[child] = factor[child] * stretch
            settled |= {child for child, _ in gives}
    return factor


def answers(instance: Instance, n: int, rng: np.random.Generator) -> Draws:
    """How often a node is there, over its share of finds, shape (nodes, n).

    1 where no question was asked; of the answers to one, each draw has a single one, and what comes out of that.
    """
    there = np.ones((len(instance.nodes), n))
    for node in reversed(bottom_up(instance)):
        for o in instance.openings_of[node]:
            gives = [child for child, _ in instance.openings[o].gives]
            if not instance.openings[o].operation.asks:
                inside = [child for child in gives if instance.nodes[child].piece.share < 1.0]
                there[inside] = there[node]
                continue
            share = np.array([instance.nodes[child].piece.share for child in gives])
            share = share / instance.nodes[node].piece.share
            picked = rng.choice(len(gives), size=n, p=share / share.sum())
            for i, child in enumerate(gives):
                there[child] = there[node] * (picked == i) / share[i]
    return there


def _reach(instance: Instance, n: int) -> Draws | None:
    """How much of a piece reaches each grade, over what is counted on; None where no share is a guess.

    Drawn apart from all else, so that a guess changes no other draw.
    """
    if not any(sale.spread for sale in instance.grade_sales):
        return None
    rng = np.random.default_rng(SEED + 1)
    return _stack([draw(sale.spread or Estimate.exact(1.0), n, rng) for sale in instance.grade_sales], n)


def _masses(instance: Instance, n: int, rng: np.random.Generator) -> list[Draws]:
    """The mass of each node over its mean. One behind a test is drawn with the piece of the kind that it is."""
    found: list[Draws] = []
    own: dict[tuple[int, str], int] = {}
    for i, node in enumerate(instance.nodes):
        if node.piece.like:
            found.append(found[own[node.group, node.piece.like]])
        else:
            own[node.group, node.piece.id] = i
            found.append(_relative(instance, i, n, rng))
    return found


def _all_hours(instance: Instance, n: int, rng: np.random.Generator) -> list[Draws]:
    """The hours of each opening, of one behind a test those of the same operation before it."""
    known: dict[tuple[int, str, str], Draws] = {}
    found = []
    for opening in instance.openings:
        piece = instance.nodes[opening.node].piece
        same = (opening.group, piece.of_kind, opening.operation.id)
        if same not in known:
            known[same] = draw(opening.operation.minutes, n, rng) / 60.0
        found.append(known[same] * piece.share)
    return found


def _relative(instance: Instance, i: int, n: int, rng: np.random.Generator) -> Draws:
    node = instance.nodes[i]
    if node.found and instance.groups[node.group].find.mass_kg is not None:
        return np.ones(n)  # it was on the scale
    return draw(node.piece.mass, n, rng) / node.piece.mass.mean


def _luck(instance: Instance, p: int, n: int, rng: np.random.Generator) -> Draws:
    """Income of one unit: the price varies and it sells or it does not; the mean is the expected income."""
    sale = instance.part_sales[p]
    part = sale.part
    if sale.chance == 0.0:
        return np.zeros(n)
    swing = (
        (draw(part.price, n, rng) - part.price.mean)
        * (1.0 - part.fee)
        * sale.unit
        * instance.nodes[sale.node].piece.share
    )
    return (rng.random(n) < sale.chance) * (sale.income / sale.chance + swing)
