"""Which limit of a buyer or of one's own back keeps something here: the most taken, or what one person lifts."""

from __future__ import annotations

import math

from partway.planning.decision import Decision
from partway.planning.instance.counted import pieces_in
from partway.planning.instance.frozen import Instance
from partway.planning.instance.market import LotOffer, Offer
from partway.things.limits.opening import next_open
from partway.valuing.plans.facts import Reason

ROOM = 1e-6  # kg or pieces
LITTLE = 1e-3  # kg: more than that out of a bin


def takes_no_more(instance: Instance, decision: Decision, offer: Offer | LotOffer, kg: float = LITTLE) -> Reason | None:
    """That a buyer has all that it takes of a grade; `kg` is what one more piece would add, little of a bin."""
    buyer = next(b for b in instance.buyers if b.id == offer.buyer)
    most, pieces = buyer.most_of(offer.grade), offer.quote.most_pieces
    if most == math.inf and pieces is None:
        return None
    visits = [key for key in decision.lots if _is(instance, key[0], offer)]
    if not visits or any(_wants(instance, decision, key, most, pieces, kg) for key in visits):
        return None
    return Reason("takes-no-more", offer.buyer, offer.grade, most_kg=None if most == math.inf else most, pieces=pieces)


def _is(instance: Instance, i: int, offer: Offer | LotOffer) -> bool:
    lot = instance.lots[i]
    return (instance.buyers[lot.buyer].id, instance.grades[lot.grade]) == (offer.buyer, offer.grade)


def _wants(
    instance: Instance, decision: Decision, key: tuple[int, int, int], most: float, pieces: int | None, kg: float
) -> bool:
    """Whether a lot has room for so much more, and for one more piece."""
    there = pieces_in(instance, decision, key) or 0.0
    return decision.lots[key] + kg <= most + ROOM and (pieces is None or there + 1.0 <= pieces + ROOM)


def too_heavy(instance: Instance, n: int) -> bool:
    """Whether somebody takes a piece as it is, and nobody here can lift it."""
    node = instance.nodes[n]
    wanted = any(instance.market.best(sale.grade) is not None for sale in node.piece.sells)
    return wanted and node.one_kg > instance.scenario.lifted_kg


def closed(instance: Instance, offer: Offer | LotOffer) -> Reason | None:
    """That a buyer is closed all day, and when it opens next."""
    shut = next((b for b in instance.opening.closed if instance.buyers[b].id == offer.buyer), None)
    if shut is None:
        return None
    day = next_open(instance.buyers[shut].open, instance.scenario.on)
    return Reason("closed", offer.buyer, offer.grade, opens=None if day is None else day.isoformat())
