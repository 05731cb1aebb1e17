"""What a phone noted, and what the desk answers to each of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal
from uuid import UUID

from partway.actions.recording.context import Context, Recorded
from partway.actions.recording.describe import Told
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger.book import Book

BROKEN = (
    "A fault in partway: this could not be taken, and is kept. Those after it went on. Hand it back again later, "
    "change it, or record it at the desk and drop it here."
)
Outcome = Literal["done", "already", "refused", "asked", "failed"]
# Records one intent: its body as the JSON interface takes it. Raises Refused, also for a body that is none.
Act = Callable[[Book, Context, Mapping[str, Any]], Recorded[Any]]


@dataclass(frozen=True, slots=True)
class Intent:
    """Something that was noted away from the desk, under an id that the phone chose: what, with which body, and when by
    the phone's clock. It is carried out once, whatever happens on the way.
    """

    id: UUID
    what: str
    body: Mapping[str, Any]
    typed: dt.datetime


@dataclass(frozen=True, slots=True)
class HandedBack:
    """What came of one intent. `name` is what was made of it goes by; correcting `undo` takes it back.

    Refused, asked and failed leave nothing behind: the intent may come again, put right, under the same id. Failed is
    a fault of partway's own: nothing may be wrong with the intent.
    """

    id: UUID
    outcome: Outcome
    told: Told
    name: str = ""
    undo: tuple[UUID, ...] = ()
    refused: Refused | None = None

    @classmethod
    def of(cls, intent: Intent, refused: Refused) -> HandedBack:
        """A refusal, or a question: one has answers to choose from."""
        asked = isinstance(refused, Asked) and bool(refused.choices)
        return cls(intent.id, "asked" if asked else "refused", Told(str(refused)), refused=refused)

    @classmethod
    def broken(cls, intent: Intent) -> HandedBack:
        """Something in partway broke while it was carried out."""
        return cls(intent.id, "failed", Told(BROKEN))
