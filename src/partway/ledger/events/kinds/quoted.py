"""A price is heard."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import payload_text
from partway.ledger.events.sorts import (
    BuyerId,
    GradeId,
    Mass,
    Price,
    PriceEnd,
    Since,
    Sort,
    Text,
    Unit,
)


@dataclass(frozen=True, slots=True)
class Quoted(Payload):
    """A price heard on a day, per `unit` as it was said; None: the buyer no longer takes the grade.

    `price` is money per one `unit` (lb, kg, short ton, long ton, tonne, oz, g). `from_mg` opens a tier, `minimum_mg` is
    the smallest lot, `most_mg` the most of the grade taken at one visit (0: any), `most_pieces` the same in pieces.
    `each`: it was a price by the piece, of which one weighs `piece_mg`. Of a range, "12 to 18 cents", `low` and `high`
    are the ends, per one `unit` like `price`, which is the middle; None where one price was said.
    """

    KIND: ClassVar[str] = "quoted"
    WORDS: ClassVar[str] = (
        "{buyer} {grade}[ from {from_mg}]: [{price} /{unit}|not taken any more][ ({low} to {high})]"
        "[, at least {minimum_mg}][, at most {most_mg}][, at most {most_pieces} pieces][, one weighs {piece_mg}]"
    )

    buyer: BuyerId
    grade: GradeId
    price: Price | None
    unit: Unit
    on: Annotated[dt.date, Sort(name="day", alone=True)]
    from_mg: Mass = 0
    minimum_mg: Mass = 0
    said: Text = ""
    most_mg: Annotated[Mass, Since(5)] = 0
    most_pieces: Annotated[int, Sort(f.whole(0, f.LARGEST_COUNT, "a count")), Since(5)] = 0
    piece_mg: Annotated[Mass, Since(5)] = 0
    each: Annotated[bool, Since(5)] = False
    low: Annotated[PriceEnd, Since(7)] | None = None
    high: Annotated[PriceEnd, Since(7)] | None = None

    def effects(self, event: Event) -> Effects:
        """The word on this buyer, grade and tier."""
        return Effects(facts=(Fact(f"quote:{self.buyer}:{self.grade}:{self.from_mg}", "heard", payload_text(self)),))
