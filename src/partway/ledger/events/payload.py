"""What every kind of event is: a frozen dataclass of what was said, with all that follows from it beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from partway.ledger.events.effects import Effects

if TYPE_CHECKING:
    from partway.ledger.events.event import Event


@dataclass(frozen=True, slots=True)
class PayloadRow:
    """What stands in a list inside an event; `WORDS` as of an event."""

    WORDS: ClassVar[str] = ""


@dataclass(frozen=True, slots=True)
class Payload:
    """What one kind of event says. Its fields are of the sorts in `ledger.events.sorts`.

    `KIND` names the kind wherever it is kept. `WORDS` is a template of field names (ledger.events.words). `MAKES` is
    the sort of thing that this kind has the first word on. `RESTS`: it goes by the mass or words that earlier events
    gave to what it names. `ALONG` are the kinds that one action records only for such an event.
    """

    KIND: ClassVar[str]
    WORDS: ClassVar[str]
    MAKES: ClassVar[str] = ""
    RESTS: ClassVar[bool] = False
    ALONG: ClassVar[tuple[str, ...]] = ()

    def effects(self, event: Event) -> Effects:
        """All that an event which says this does, as long as it counts; unless a kind has its own: nothing."""
        return Effects()

    def words(self) -> str:
        """The template of what it says."""
        return self.WORDS

    def check(self) -> None:
        """Raises Bad for fields that cannot stand together."""
