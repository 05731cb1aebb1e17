"""What of a find sells by the unit: at which price, how likely, how long it takes, and what it brings otherwise."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from partway.things.estimate import Estimate
from partway.valuing.finds.facts import OnlyIf
from partway.valuing.finds.hand import ValuedHolding
from partway.valuing.finds.questions import only_if


@dataclass(frozen=True, slots=True)
class PartOffer:
    """One part. `price` is what somebody pays, None where it is counted in copper that nobody quotes.

    `brings` is expected of each: sold with its chance, fee and postage off, else kept. `otherwise` is what the piece
    brings if it is not sold so; both before one's own hours. `allowed` is False where it has to work and is not known
    to. `after` is the operation that takes it out, empty where it is in hand. What only some finds have is `only_if` a
    question is answered so, and all figures are of one that has it.
    """

    piece: str
    name: str
    of: str
    count: int
    price: Estimate | None
    fee: float
    postage: float | None
    chance: float
    days: float
    minutes: Estimate
    most: int | None
    needs_works: bool
    allowed: bool
    chosen: bool
    brings: float
    otherwise: float
    per_hour: float | None
    after: str
    only_if: OnlyIf | None = None


def parts_to_sell(here: ValuedHolding, if_works: ValuedHolding) -> tuple[PartOffer, ...]:
    """Every part of a hand, the best hour first; `if_works` is the same hand known to work."""
    lines = [_line(here, if_works, node, count, p) for node, count, p in _offers(if_works)]
    return tuple(sorted(lines, key=lambda line: (not line.allowed, -(line.per_hour or 0.0), line.name)))


def _offers(hand: ValuedHolding) -> Iterator[tuple[int, int, int]]:
    """(node, most that there could be, part sale) of a hand."""
    instance = hand.find.instance
    for node, count in _reachable(hand).items():
        for p in instance.parts_of[node]:
            if not instance.part_sales[p].step:  # of several steps the first stands for the part
                yield node, count, p


def _reachable(hand: ValuedHolding) -> dict[int, int]:
    """Every piece that some way of opening comes by, with the most of it."""
    instance = hand.find.instance
    counts: dict[int, int] = {}

    def visit(node: int, count: int) -> None:
        if counts.get(node, 0) < count:
            counts[node] = count
            for o in instance.openings_of[node]:
                for child, each in instance.openings[o].gives:
                    visit(child, count * each)

    for node, count in hand.roots:
        visit(node, count)
    return counts


def _line(here: ValuedHolding, if_works: ValuedHolding, node: int, count: int, p: int) -> PartOffer:
    instance = if_works.find.instance
    sale = instance.part_sales[p]
    part, piece = sale.part, instance.nodes[node].piece
    root, share = if_works.roots[0][0], piece.share
    mine = here.roots[0][0] + node - root  # both lie piece by piece
    here_sales = [here.find.instance.part_sales[q].part for q in here.find.instance.parts_of[mine]]
    brings, otherwise = (sale.income + sale.unsold_value) / share, here.as_it_is(mine)[1]
    option = here.find.values.best(mine)
    chosen = mine in here.counts and option.sort == "part" and here.find.instance.part_sales[option.number].part == part
    return PartOffer(
        piece=if_works.anatomy.in_hand(piece.id).id,
        name=part.name or piece.name,
        of=here.find.name(mine),
        count=count,
        price=part.price.scaled(sale.unit),
        fee=part.fee,
        postage=part.postage * sale.unit,
        chance=sale.chance,
        days=part.days,
        minutes=part.minutes,
        most=part.most,
        needs_works=part.needs == "works",
        allowed=part in here_sales,
        chosen=chosen,
        brings=brings,
        otherwise=otherwise,
        per_hour=(brings - otherwise) / (sale.hours / share) if sale.hours > 0.0 else None,
        after=_after(here, mine),
        only_if=only_if(here, mine),
    )


def _after(here: ValuedHolding, node: int) -> str:
    instance = here.find.instance
    if any(root == node for root, _ in here.roots):
        return ""
    makers = [o for o, _ in instance.makers_of[node]]
    if makers and instance.openings[makers[0]].operation.asks:  # the piece asked about is the one that comes out
        return _after(here, instance.openings[makers[0]].node)
    run = {o for o, _ in here.runs()}
    best = int(np.argmax([o in run for o in makers])) if makers else 0
    return instance.openings[makers[best]].operation.name if makers else ""
