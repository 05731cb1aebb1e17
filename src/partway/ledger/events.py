"""One thing that happened, with who said so and when."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.payloads import KINDS, Payload

SCHEMA = 1


@dataclass(frozen=True, slots=True)
class Event:
    """`id` is a version 7 UUID (RFC 9562), so ids sort by the time of typing; times are aware, in UTC.

    `happened` is when it happened, `typed` when it was entered; `schema` the version of the payload's form.
    """

    id: UUID
    who: str
    happened: dt.datetime
    typed: dt.datetime
    what: Payload
    schema: int = SCHEMA

    @property
    def kind(self) -> str:
        """The kind of event, by its payload."""
        return KINDS[type(self.what)]
