"""Seeded draws of all that a plan does not know: prices, masses and minutes, those that move together drawn together.

Each figure has the beta-PERT distribution of its range (`depth.spread.draw`). Draws of several figures are put in an
order that gives them the rank correlation wanted and leaves each of them its own distribution (Iman and Conover, "A
distribution-free approach to inducing rank correlation among input variables", Communications in Statistics B 11,
1982, here with one common factor). A figure's draws hang on the seed and on its own name alone, so that two plans, or
one plan with a find more, are compared in the same worlds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from partway.planning.decision import Decision
from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import SEED, balanced, draw, generator, relative_mass
from partway.planning.instance.frozen import Instance
from partway.things.estimate import Estimate

DRAWS = 10_000
MARKET = 0.6  # of the spread of a price is that of all metal (common practice, no source)
PACE = 0.5  # of the spread of a job's minutes is that of the hands that do it (common practice, no source)

Unknown = tuple[str, ...]  # what could be found out: ("price", buyer, grade), ("mass", kind)
QuoteKey = tuple[str, str, float]  # buyer, grade, least lot in kg


@dataclass(frozen=True)
class WorldDraws:
    """`n` worlds. `prices` per kg by quote; `sizes` (nodes, n) of a piece and `minutes` (openings, n) over their means.

    `unknowns` has, by what could be found out before anything is done, a number in each world that orders the worlds by
    it: a price by its rank, a mass over its mean.
    """

    n: int
    seed: int
    prices: Mapping[QuoteKey, Draws]
    sizes: Draws
    minutes: Draws
    unknowns: Mapping[Unknown, Draws]


def draw_worlds(instance: Instance, n: int = DRAWS, seed: int = SEED, only: Decision | None = None) -> WorldDraws:
    """Worlds for an instance; the same seed gives the same ones.

    Where `only` one decision is asked about, what it never opens or has in hand stays at its mean, which saves time and
    changes nothing of that decision.
    """
    unknowns: dict[Unknown, Draws] = {}
    opened = [o for o in range(len(instance.openings)) if only is None or only.opened[o]]
    prices = _prices(instance, n, seed, unknowns)
    sizes = _sizes(instance, opened, n, seed, unknowns)
    minutes = _minutes(instance, opened, n, seed)
    return WorldDraws(n, seed, prices, sizes, minutes, unknowns)


def in_order_of(score: Draws, drawn: Draws) -> Draws:
    """The same draws, the smallest where the score is smallest, and so on."""
    ordered = np.empty_like(drawn)
    ordered[np.argsort(score, kind="stable")] = np.sort(drawn)
    return ordered


def _score(common: Draws, weight: float, rng: np.random.Generator) -> Draws:
    score: Draws = np.sqrt(weight) * common + np.sqrt(1.0 - weight) * rng.standard_normal(common.size)
    return score


def _prices(instance: Instance, n: int, seed: int, unknowns: dict[Unknown, Draws]) -> dict[QuoteKey, Draws]:
    """Draws of every quote; those of one buyer for one grade, whatever the lot, rise and fall as one."""
    market = generator(seed, "market").standard_normal(n)
    found: dict[QuoteKey, Draws] = {}
    for buyer in instance.buyers:
        for quote in buyer.quotes:
            key, name = (buyer.id, quote.grade, quote.least_kg), ("price", buyer.id, quote.grade)
            if quote.price.is_exact:
                found[key] = np.full(n, quote.price.mean)
                continue
            score = unknowns[name] = _score(market, MARKET, generator(seed, *name))
            found[key] = in_order_of(score, draw(quote.price, n, generator(seed, *name, f"{quote.least_kg:g}")))
    return found


def _sizes(instance: Instance, opened: list[int], n: int, seed: int, unknowns: dict[Unknown, Draws]) -> Draws:
    """One draw for each piece of a kind: its estimate is wrong for all finds of the kind alike."""
    there = {child for o in opened for child, _ in instance.openings[o].gives}
    rows = [
        relative_mass(instance, node, n, seed) if node.found or i in there else np.ones(n)
        for i, node in enumerate(instance.nodes)
    ]
    sizes = balanced(instance, np.array(rows).reshape(-1, n), opened)
    for node, row in zip(instance.nodes, sizes, strict=True):
        group = instance.groups[node.group]
        if node.found and group.find.mass_kg is None and not node.piece.mass.is_exact:
            unknowns["mass", group.find.kind] = row
    return sizes


def _minutes(instance: Instance, opened: list[int], n: int, seed: int) -> Draws:
    """Minutes of each opening over their mean: who is slow is so at all of them."""
    pace = generator(seed, "pace").standard_normal(n)
    rows = np.ones((len(instance.openings), n))
    for o in opened:
        opening = instance.openings[o]
        name = ("minutes", instance.groups[opening.group].find.kind, opening.operation.id)
        score = _score(pace, PACE, generator(seed, *name))
        rows[o] = in_order_of(score, _over_mean(opening.operation.minutes, n, generator(seed, *name, "drawn")))
    return rows


def _over_mean(estimate: Estimate, n: int, rng: np.random.Generator) -> Draws:
    return draw(estimate, n, rng) / estimate.mean if estimate.mean else np.ones(n)
