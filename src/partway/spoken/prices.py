"""A price in a text: an amount or a range, what it is per, and who pays: "72½c a lb", "9 bucks/cwt", "free"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.spoken.money import Heard, pays_before, pays_behind
from partway.spoken.numbers import phrase_end
from partway.spoken.ranges import amount_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import SaidUnit, per_at


@dataclass(frozen=True, slots=True)
class SaidPrice:
    """A price as it was said: `heard` for what `per` says (None: nothing was said). `pays`: the seller pays it."""

    heard: Heard
    per: SaidUnit | None
    pays: bool
    end: int


def said_price_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> SaidPrice | None:
    """The price that begins at a place. What is paid to get rid of things is below zero."""
    free = phrase_end(tokens, at, hearing.tongue.free)
    if free is not None:
        return SaidPrice(Heard((Decimal(0),)), None, False, free)
    start = pays_before(tokens, at, hearing)
    amount = amount_at(tokens, at if start is None else start, hearing)
    if amount is None:
        return None
    heard, end = amount
    per = per_at(tokens, end, hearing)
    end = per.end if per is not None else end
    behind = pays_behind(tokens, end, hearing)
    if per is None and behind is not None:  # "two bucks to take them, each"
        per = per_at(tokens, behind, hearing)
    pays = start is not None or behind is not None
    ends = max(end, behind or 0, per.end if per is not None else 0)
    return SaidPrice(heard.negative() if pays else heard, per, pays, ends)
