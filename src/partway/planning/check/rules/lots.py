"""What a buyer takes in one lot: one price, its amounts, its number of pieces."""

from __future__ import annotations

import math

from partway.planning.check.rules.required import MILLIGRAM, require
from partway.planning.decision import Decision, LotKey
from partway.planning.instance.frozen import Instance


def check_lots(instance: Instance, decision: Decision) -> None:
    """Each lot is one tier, large enough for it and for its minimum, and not so large that the next one rules."""
    seen: set[tuple[int, int]] = set()
    for (i, t, k), kg in decision.lots.items():
        lot = instance.lots[i]
        grade = instance.grades[lot.grade]
        where = f"{grade} to {instance.buyers[lot.buyer].id}"
        quote = lot.tiers[t].quote
        require(quote in instance.buyers[lot.buyer].quotes and quote.grade == grade, f"{where}: nobody said that price")
        require((i, k) not in seen, f"{where}: two tiers in one lot")
        seen.add((i, k))
        low = max(quote.from_kg, quote.minimum_kg)
        require(kg > low - 0.5 * MILLIGRAM, f"{where}: {kg:g} kg is below the lot of {low:g} kg")
        above = [q.from_kg for q in instance.buyers[lot.buyer].quotes if q.grade == grade and q.from_kg > quote.from_kg]
        high = min(above, default=math.inf)
        require(kg < high - 0.5 * MILLIGRAM, f"{where}: {kg:g} kg belongs to the next tier")
        mosts = [q.most_kg for q in instance.buyers[lot.buyer].quotes if q.grade == grade and q.most_kg is not None]
        most = min(mosts, default=math.inf)
        require(kg <= most + MILLIGRAM, f"{where}: {kg:g} kg, and no more than {most:g} kg is taken")


def check_counted(instance: Instance, decision: Decision) -> None:
    """Where a buyer counts pieces, only whole ones are handed over, and no more of them than it takes."""
    for (i, t, k), kg in decision.lots.items():
        quote = instance.lots[i].tiers[t].quote
        if not quote.counted:
            continue
        where = f"{quote.grade} to {instance.buyers[instance.lots[i].buyer].id}"
        pieces, loose = number_of(instance, decision, (i, t, k))
        require(abs(loose - round(loose)) <= 1e-5, f"{where}: {kg:g} kg are not a whole number of pieces")
        most = math.inf if quote.most_pieces is None else quote.most_pieces
        require(pieces <= most + 1e-5, f"{where}: {pieces:g} pieces, and no more than {most:g} are taken")


def number_of(instance: Instance, decision: Decision, key: LotKey) -> tuple[float, float]:
    """Pieces in a lot that is counted, and how many of them are out of a bin, by what one weighs."""
    i, t, k = key
    here = [(instance.grade_sales[s], n) for (s, lot, trip), n in decision.blocks.items() if (lot, trip) == (i, k)]
    loose = decision.lots[key] - math.fsum(sale.kg * n for sale, n in here)
    number = loose / (instance.lots[i].tiers[t].quote.piece_kg or math.nan)
    return math.fsum(instance.nodes[sale.node].piece.share * n for sale, n in here) + number, number


def amount_of(instance: Instance, decision: Decision, key: LotKey) -> float:
    """What a lot comes to on the ticket: by the piece, or by its kilograms."""
    quote = instance.lots[key[0]].tiers[key[1]].quote
    if quote.each and quote.counted:
        return number_of(instance, decision, key)[0] * quote.price.mean * (quote.piece_kg or math.nan)
    return decision.lots[key] * quote.price.mean
