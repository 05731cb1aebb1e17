"""Seeded draws of masses, minutes, prices and luck around the PERT means.

Each estimate is drawn from the beta-PERT distribution on low..high with mode likely, whose mean is the PERT mean:
alpha = 1 + 4 (likely - low) / (high - low), beta = 1 + 4 (high - likely) / (high - low). Source: Vose, "Risk
Analysis", 3rd ed., 2008, ch. 13.

The draws of a figure hang on the seed and on its own name alone. So the mass of a kind's motor is drawn alike whether a
find works or not, alone or beside others, and drawn once for all who ask.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from partway.planning.depth.dynamic import DepthTerms, Draws, bottom_up
from partway.planning.instance.frozen import Instance, Node, Opening
from partway.planning.instance.market import left_of_quote, postage_per_kg
from partway.things.estimate import Estimate

SEED = 20260314
DRAWS = 2000
REMEMBERED = 1024  # figures whose draws are kept, 16 kB each
FEW, OF_FEW = 256, 8192  # draws at a glance, 2 kB a figure at most, and the figures kept
TINY = 1e-12


def draw(estimate: Estimate, n: int, rng: np.random.Generator) -> Draws:
    """`n` draws of one estimate; a quantity without a range is itself each time."""
    if estimate.high <= estimate.low:
        return np.full(n, estimate.likely)
    return estimate.low + (estimate.high - estimate.low) * _beta(_up(estimate), n, rng)


def draw_named(estimate: Estimate, n: int, seed: int, *name: str) -> Draws:
    """The same draws whenever a figure of that name is drawn."""
    if estimate.high <= estimate.low:
        return np.full(n, estimate.likely)
    drawn = _at_a_glance if n <= FEW else _remembered if n <= DRAWS else _drawn
    return estimate.low + (estimate.high - estimate.low) * drawn(_up(estimate), n, seed, name)


def generator(seed: int, *name: str) -> np.random.Generator:
    """A generator that hangs on the seed and a name alone."""
    digest = hashlib.sha256("\0".join(name).encode()).digest()
    return np.random.default_rng([seed, int.from_bytes(digest[:8], "big")])


def _up(estimate: Estimate) -> float:
    """Four times how far up in its range the likely value is."""
    return 4.0 * (estimate.likely - estimate.low) / (estimate.high - estimate.low)


def _beta(up: float, n: int, rng: np.random.Generator) -> Draws:
    return rng.beta(1.0 + up, 5.0 - up, n)


def _drawn(up: float, n: int, seed: int, name: tuple[str, ...]) -> Draws:
    drawn = _beta(up, n, generator(seed, *name))
    drawn.flags.writeable = False
    return drawn


_remembered = lru_cache(maxsize=REMEMBERED)(_drawn)
_at_a_glance = lru_cache(maxsize=OF_FEW)(_drawn)


@lru_cache(maxsize=REMEMBERED)
def _evenly(n: int, seed: int, name: tuple[str, ...]) -> Draws:
    """Draws between 0 and 1, any as likely as any other."""
    drawn = generator(seed, *name).random(n)
    drawn.flags.writeable = False
    return drawn


def drawn_terms(instance: Instance, n: int = DRAWS, seed: int = SEED) -> DepthTerms:
    """`n` draws of everything uncertain; the same seed gives the same draws."""
    expected = DepthTerms.expected(instance)
    per_kg = prices(instance, n, seed)
    size = sizes(instance, n, seed)
    turns = answers(instance, n, seed)
    kept = np.repeat(expected.kept_per_kg, n, axis=1)
    return DepthTerms(
        size=size * turns,
        per_kg=np.maximum(per_kg, kept),
        kept_per_kg=kept,
        hours=_stack([_hours(instance, o, n, seed) * turns[o.node] for o in instance.openings], n),
        income=_stack([_luck(instance, p, n, seed) * turns[s.node] for p, s in enumerate(instance.part_sales)], n),
        wage=expected.wage,
        reach=_reach(instance, n, seed),
    )


def _stack(rows: list[Draws], n: int) -> Draws:
    return np.array(rows).reshape(len(rows), n)


def prices(instance: Instance, n: int, seed: int) -> Draws:
    """Best net price of each grade, shape (grades, n); a quote heard without a range does not vary."""
    buyers = {b.id: b for b in instance.buyers}
    rows = []
    for grade in instance.grades:
        offer = instance.market.best(grade)
        if offer is None:
            rows.append(np.zeros(n))
        else:
            heard = draw_named(left_of_quote(buyers[offer.buyer], offer.quote), n, seed, "price", grade)
            rows.append(heard - postage_per_kg(buyers[offer.buyer]))
    return _stack(rows, n)


def sizes(instance: Instance, n: int, seed: int) -> Draws:
    """Mass of each node over its PERT mean, shape (nodes, n), mass kept in balance.

    Pieces are drawn one by one and then scaled so that what comes out of a piece adds up to its mass. A piece that
    several operations give keeps its mass from the first of them; the other pieces of the others make up the
    difference.
    """
    drawn = [relative_mass(instance, node, n, seed) for node in instance.nodes]
    return balanced(instance, np.array(drawn).reshape(-1, n), range(len(instance.openings)))


def relative_mass(instance: Instance, node: Node, n: int, seed: int) -> Draws:
    """One piece's mass over its mean, by itself: its estimate is wrong for all finds of the kind alike.

    A piece behind a test is drawn with the piece of the kind that it is.
    """
    group = instance.groups[node.group]
    if (node.found and group.find.mass_kg is not None) or node.piece.mass.is_exact:
        return np.ones(n)  # it was on the scale
    drawn = draw_named(node.piece.mass, n, seed, "mass", group.find.kind, node.piece.of_kind)
    return drawn / node.piece.mass.mean


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


def answers(instance: Instance, n: int, seed: int) -> Draws:
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
            picked = _answered(instance, instance.openings[o], share, n, seed)
            for i, child in enumerate(gives):
                there[child] = there[node] * (picked == i) / share[i]
    return there


def _answered(instance: Instance, opening: Opening, share: Draws, n: int, seed: int) -> NDArray[np.int_]:
    """Which of its answers a question has in each draw, each as often as its share."""
    asked = instance.nodes[opening.node].piece.id
    kind = instance.groups[opening.group].find.kind
    drawn = _evenly(n, seed, ("answer", kind, str(opening.group), asked, opening.operation.id))
    upper = np.cumsum(share) / share.sum()
    picked: NDArray[np.int_] = np.searchsorted(upper[:-1], drawn, side="right")
    return picked


def _reach(instance: Instance, n: int, seed: int) -> Draws | None:
    """How much of a piece reaches each grade, over what is counted on; None where no share is a guess."""
    if not any(sale.spread for sale in instance.grade_sales):
        return None
    rows = []
    for sale in instance.grade_sales:
        node = instance.nodes[sale.node]
        name = ("share", instance.groups[node.group].find.kind, node.piece.of_kind, instance.grades[sale.grade])
        rows.append(draw_named(sale.spread or Estimate.exact(1.0), n, seed, *name))
    return _stack(rows, n)


def _hours(instance: Instance, opening: Opening, n: int, seed: int) -> Draws:
    """The hours of an opening, of one behind a test those of the same operation before it."""
    piece, kind = instance.nodes[opening.node].piece, instance.groups[opening.group].find.kind
    name = ("minutes", kind, piece.of_kind, opening.operation.id)
    return draw_named(opening.operation.minutes, n, seed, *name) / 60.0 * piece.share


def _luck(instance: Instance, p: int, n: int, seed: int) -> Draws:
    """Income of one unit: the price varies and it sells or it does not; the mean is the expected income."""
    sale = instance.part_sales[p]
    part, node = sale.part, instance.nodes[sale.node]
    if sale.chance == 0.0:
        return np.zeros(n)
    kind, number = instance.groups[node.group].find.kind, str(node.piece.parts.index(part))
    drawn = draw_named(part.price, n, seed, "resale", kind, node.piece.of_kind, number)
    swing = (drawn - part.price.mean) * (1.0 - part.fee) * sale.unit * node.piece.share
    sold = _evenly(n, seed, ("sold", kind, str(node.group), node.piece.id, number, str(sale.step))) < sale.chance
    return sold * (sale.income / sale.chance + swing)
