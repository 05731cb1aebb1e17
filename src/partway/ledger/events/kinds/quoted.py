"""A price is heard."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import payload_text
from partway.ledger.events.sorts import BuyerId, Id, Mass, Price, Sort, Text, Unit


@dataclass(frozen=True, slots=True)
class Quoted(Payload):
    """A price heard on a day, per `unit` as it was said; None: the buyer no longer takes the grade.

    `price` is money per one `unit` (lb, kg, short ton, long ton, tonne, oz, g). `from_mg` opens a tier, `minimum_mg` is
    the smallest lot.
    """

    KIND: ClassVar[str] = "quoted"
    WORDS: ClassVar[str] = (
        "{buyer} {grade}[ from {from_mg}]: [{price} /{unit}|not taken any more][, at least {minimum_mg}]"
    )

    buyer: BuyerId
    grade: Id
    price: Price | None
    unit: Unit
    on: Annotated[dt.date, Sort(name="day", alone=True)]
    from_mg: Mass = 0
    minimum_mg: Mass = 0
    said: Text = ""

    def effects(self, event: Event) -> Effects:
        """The word on this buyer, grade and tier."""
        return Effects(facts=(Fact(f"quote:{self.buyer}:{self.grade}:{self.from_mg}", "heard", payload_text(self)),))
