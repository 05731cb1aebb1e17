"""Something is photographed: a find, a piece of it or of its kind, a bin, a ticket."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.fields import Bad
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import BinId, FindId, KindId, Since, Sort, Text, TicketId
from partway.photographs.limits import SIDE_MOST

PICTURE = "picture"  # the name of the word on what a piece of a kind looks like
Side = Annotated[int, Sort(f.whole(1, SIDE_MOST, "pixels"))]


@dataclass(frozen=True, slots=True)
class Pictured(Payload):
    """A photograph of a find, a bin or a ticket, or of a `piece` of a `kind`, which may be that of the find named.

    `picture` is the SHA-256 of the photograph's bytes, which lie beside the ledger and not in it; `width` and `height`
    are its pixels.
    """

    KIND: ClassVar[str] = "pictured"
    WORDS: ClassVar[str] = "photograph[ of {find}][ of what is in {bin}][ of ticket {ticket}][: {piece}][ ({note})]"

    picture: Annotated[str, Sort(f.digest)]
    width: Side
    height: Side
    find: FindId | None = None
    bin: BinId | None = None
    ticket: TicketId | None = None
    kind: KindId | None = None
    piece: Annotated[str, Sort(f.piece_or_none)] = ""
    note: Annotated[Text, Since(10)] = ""

    def words(self) -> str:
        """Of a piece that is of no find, with the kind instead."""
        return self.WORDS if self.find or not self.kind else "photograph of {kind}: {piece}[ ({note})]"

    def check(self) -> None:
        """It is of one thing; a piece is one of a kind."""
        if (self.kind is None) != (not self.piece):
            raise Bad(self.piece or None, "a piece and the kind it is of, or neither", "piece")
        of = [name for name in (self.find or self.kind, self.bin, self.ticket) if name is not None]
        if len(of) != 1:
            raise Bad(", ".join(of) or None, "one thing that it is of: a find, a bin, a ticket, or a piece", "find")

    def effects(self, event: Event) -> Effects:
        """The word on what a piece of a kind looks like; no mass moves."""
        if self.kind is None:
            return Effects()
        return Effects(facts=(Fact(f"piece:{self.kind}/{self.piece}", PICTURE, self.picture),))
