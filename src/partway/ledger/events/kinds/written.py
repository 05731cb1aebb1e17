"""What is written down in one's own words: what a rule of the place says, and a note."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import payload_text
from partway.ledger.events.sorts import BinId, BuyerId, FindId, Since, Sort, Words


@dataclass(frozen=True, slots=True)
class Ruled(Payload):
    """What a rule of this place says (`card` names the question), where that is written, and the day it was looked up.

    The latest word on a card counts.
    """

    KIND: ClassVar[str] = "ruled"
    WORDS: ClassVar[str] = "{card}: {says} ({source}, seen {seen})"

    card: Annotated[str, Sort(f.identifier, names="rule")]
    says: Words
    source: Words
    seen: Annotated[dt.date, Sort(name="day", alone=True)]

    def effects(self, event: Event) -> Effects:
        """The word on the card."""
        return Effects(facts=(Fact(f"rule:{self.card}", "here", payload_text(self)),))


@dataclass(frozen=True, slots=True)
class Noted(Payload):
    """A note about a find, a buyer, a bin, several of them, or nothing in particular. It stands beside all others about
    the same: none replaces another, and no figure follows from it.
    """

    KIND: ClassVar[str] = "noted"
    WORDS: ClassVar[str] = "[{find}: ][{buyer}: ][{bin}: ]{text}"

    text: Words
    find: Annotated[FindId, Since(9)] | None = None
    buyer: Annotated[BuyerId, Since(9)] | None = None
    bin: Annotated[BinId, Since(9)] | None = None
