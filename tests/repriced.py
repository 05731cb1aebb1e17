"""One price of a scenario drawn anew: up, down, withdrawn, or better than that of everybody else."""

from __future__ import annotations

import random
from dataclasses import replace

from partway.things.estimate import Estimate
from partway.things.scenario import Buyer, Quote, Scenario

SORTS = ("up", "down", "none", "best")


def one_price(rng: random.Random, it: Scenario, sort: str) -> Scenario:
    """The scenario with one drawn price changed in this way; the same where nobody quotes anything."""
    quoted = [(b, grade) for b, buyer in enumerate(it.buyers) for grade in sorted({q.grade for q in buyer.quotes})]
    if not quoted:
        return it
    b, grade = rng.choice(quoted)
    if sort == "best":
        return _best(rng, it, grade)
    if sort == "none":
        return _with(it, b, tuple(q for q in it.buyers[b].quotes if q.grade != grade))
    factor = rng.uniform(1.02, 1.5) if sort == "up" else rng.uniform(0.5, 0.98)
    return _with(it, b, tuple(_times(q, factor) if q.grade == grade else q for q in it.buyers[b].quotes))


def _best(rng: random.Random, it: Scenario, grade: str) -> Scenario:
    """Some buyer, of those that quote it or not, pays a little more for the grade than all others."""
    quotes = [q for buyer in it.buyers for q in buyer.quotes if q.grade == grade]
    most = max(quotes, key=lambda q: q.price.mean)
    price = Estimate.exact(round(most.price.mean + max(0.01, rng.uniform(0.02, 0.3) * abs(most.price.mean)), 4))
    b = rng.randrange(len(it.buyers))
    there = it.buyers[b].quotes
    if any(q.grade == grade for q in there):
        return _with(it, b, tuple(replace(q, price=price) if q.grade == grade else q for q in there))
    return _with(it, b, (*there, Quote(grade, price, it.on)))


def _with(it: Scenario, b: int, quotes: tuple[Quote, ...]) -> Scenario:
    buyers: list[Buyer] = list(it.buyers)
    buyers[b] = replace(buyers[b], quotes=quotes)
    return replace(it, buyers=tuple(buyers))


def _times(quote: Quote, factor: float) -> Quote:
    """A charge that is to rise is to be paid less, so it is divided."""
    return replace(quote, price=quote.price.scaled(factor if quote.price.mean > 0.0 else 1.0 / factor))
