"""Time is worked."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar

from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import entries
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Activity, FindId, Minutes, Sort, Text


@dataclass(frozen=True, slots=True)
class Worked(Payload):
    """Time, in whole minutes."""

    KIND: ClassVar[str] = "worked"
    WORDS: ClassVar[str] = "{minutes} {activity}[ on {find}]"

    activity: Annotated[Activity, Sort(name="activity", alone=True)]
    minutes: Minutes
    find: FindId | None = None
    note: Text = ""

    def effects(self, event: Event) -> Effects:
        """Minutes of the activity."""
        return Effects(entries=entries((f"minutes:{self.activity}", Decimal(self.minutes), self.find or "")))
