"""One thing that happened, with who said so and when."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.events.payload import Payload

FIRST, SCHEMA = 1, 2  # the oldest form of an event, and the one that is written now
ASKED_FOR = 3  # the form of one that says what asked for it
Refs = tuple[tuple[str, UUID], ...]  # subject as this event names it, and the id of the event that made it


@dataclass(frozen=True, slots=True)
class Event:
    """`id` is a version 7 UUID (RFC 9562), so ids sort by the time of typing; times are aware, in UTC.

    `happened` is when it happened, `typed` when it was entered. Schema 2 has three fields that schema 1 leaves empty:
    `device` is the copy of the ledger that recorded it; `order` is what decides which of several words counts, None
    where that is `happened`; `refs` says for each find, bin, haul and ticket it names which event made it, so that two
    devices may use one name for two things. A subject without a ref is what schema 1 calls by that name.

    `intent` is what asked for the event, by an id that its sender chose: an entry that a phone kept, a request under a
    key. It is the ledger's memory of what was carried out, and goes with the event wherever that is copied to.
    """

    id: UUID
    who: str
    happened: dt.datetime
    typed: dt.datetime
    what: Payload
    schema: int = FIRST
    device: str = ""
    order: dt.datetime | None = None
    refs: Refs = ()
    intent: UUID | None = None

    @property
    def kind(self) -> str:
        """The kind of event, by its payload."""
        return self.what.KIND

    @property
    def position(self) -> tuple[dt.datetime, UUID]:
        """Its place among all events: of two words on one field, the one with the greater position counts."""
        return self.order or self.happened, self.id
