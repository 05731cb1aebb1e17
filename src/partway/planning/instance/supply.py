"""How much there could be of each piece and grade: the tight bounds of the model."""

from __future__ import annotations

from collections import defaultdict

from partway.planning.instance.frozen import Tier
from partway.planning.instance.market import left_of_quote
from partway.things.anatomy import Anatomy
from partway.things.scenario import Buyer

MILLIGRAM = 1e-6  # kg: the least that the ledger tells apart


def most_of_each(anatomy: Anatomy, count: int) -> dict[str, int]:
    """The most of each piece that `count` finds can yield, whichever way they are opened."""
    one = anatomy.most_of_one
    return {piece.id: count * one.get(piece.id, 0) for piece in anatomy.pieces}


def with_downgrades(supply: list[float], arcs: tuple[tuple[int, int], ...]) -> list[float]:
    """Add what could be downgraded to each grade; downgrades have no cycles."""
    above: dict[int, list[int]] = defaultdict(list)
    for upper, lower in arcs:
        above[lower].append(upper)

    def over(grade: int, seen: set[int]) -> set[int]:
        for upper in above[grade]:
            if upper not in seen:
                seen.add(upper)
                over(upper, seen)
        return seen

    return [supply[g] + sum(supply[u] for u in over(g, set())) for g in range(len(supply))]


def price_steps(buyer: Buyer, grade: str, most: float) -> tuple[Tier, ...]:
    """Price tiers up to the most that could be brought; a minimum lot raises a tier's lower end.

    A lot of exactly the mass where a tier starts is paid by that tier, so the tier below ends a milligram before it.
    The most that the buyer takes of the grade ends every tier.
    """
    most = min(most, buyer.most_of(grade))
    quotes = sorted((q for q in buyer.quotes if q.grade == grade), key=lambda q: q.from_kg)
    tiers = []
    for i, quote in enumerate(quotes):
        low = max(quote.from_kg, quote.minimum_kg)
        high = min(quotes[i + 1].from_kg - MILLIGRAM if i + 1 < len(quotes) else most, most)
        if low <= high and high > 0.0:
            tiers.append(Tier(low, high, left_of_quote(buyer, quote).mean, quote))
    return tuple(tiers)
