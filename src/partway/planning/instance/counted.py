"""What is sold by the piece, or taken only so many of: pieces are counted, those in a bin by what one weighs."""

from __future__ import annotations

from partway.formulas.ticket_fees import left_of, quoted_for
from partway.planning.decision import Decision, LotKey
from partway.planning.instance.frozen import Instance, Lot
from partway.things.scenario import Quote


def counted_by(lot: Lot) -> Quote | None:
    """The quote by which a lot is counted; None where it is only weighed, as every lot with tiers is."""
    quote = lot.tiers[0].quote
    return quote if len(lot.tiers) == 1 and quote.counted else None


def more_for_one(instance: Instance, s: int, i: int) -> float:
    """What one piece of a sale leaves in a lot by the piece, over what its kilograms come to at the lot's price."""
    quote, sale = counted_by(instance.lots[i]), instance.grade_sales[s]
    if quote is None or quote.one_brings is None:
        return 0.0
    one = left_of(quote.one_brings, instance.buyers[instance.lots[i].buyer].ticket_share)
    return one * instance.nodes[sale.node].piece.share - sale.kg * instance.lots[i].tiers[0].price


def pieces_in(instance: Instance, decision: Decision, key: LotKey) -> float | None:
    """How many pieces a lot has: those loaded whole, and of loose kilograms so many; None where nobody counts."""
    quote = counted_by(instance.lots[key[0]])
    if quote is None or quote.piece_kg is None:
        return None
    whole = [(s, n) for (s, i, k), n in decision.blocks.items() if (i, k) == (key[0], key[2])]
    loose = decision.lots[key] - sum(instance.grade_sales[s].kg * n for s, n in whole)
    return sum(instance.share_of(s) * n for s, n in whole) + loose / quote.piece_kg


def left_of_lot(instance: Instance, decision: Decision, key: LotKey) -> float:
    """What a lot of a plan leaves once the buyer has kept back its share of the ticket."""
    i, t, k = key
    more = sum(more_for_one(instance, s, i) * n for (s, *at), n in decision.blocks.items() if at == [i, k])
    return decision.lots[key] * instance.lots[i].tiers[t].price + more


def amount_of(instance: Instance, decision: Decision, key: LotKey) -> float:
    """What the ticket says that a lot of a plan comes to, before any fee."""
    left = left_of_lot(instance, decision, key)
    return quoted_for(left, instance.buyers[instance.lots[key[0]].buyer].ticket_share)
