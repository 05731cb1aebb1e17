"""A rule of the place is looked up."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import payload_text
from partway.ledger.events.sorts import Sort, Words


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
