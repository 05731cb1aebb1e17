"""An earlier event is taken back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar
from uuid import UUID

from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Sort, Why


@dataclass(frozen=True, slots=True)
class Corrected(Payload):
    """One earlier event does not count; `instead`, where given, is the id of the event that does.

    None of its fields is said anew: what counts instead would go with it.
    """

    KIND: ClassVar[str] = "corrected"
    WORDS: ClassVar[str] = "{event} taken back[, {instead} instead][: {why}]"
    ALONG: ClassVar[tuple[str, ...]] = ("corrected",)

    event: Annotated[UUID, Sort(names="event")]
    why: Why = ""
    instead: UUID | None = None

    def looks_back(self, own: UUID) -> bool:
        """Whether it corrects an event from before the one that says so: no other can be taken back.

        Its effect is nothing of its own: it takes back what another event did (ledger.events.voids).
        """
        return self.event < own
