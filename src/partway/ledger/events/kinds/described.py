"""How a kind of one's own comes apart is said, and what a thing looks like is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.fields import Bad
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import BinId, FindId, Since, Sort, Text, TicketId
from partway.photographs.limits import SIDE_MOST

Side = Annotated[int, Sort(f.whole(1, SIDE_MOST, "pixels"))]


@dataclass(frozen=True, slots=True)
class Described(Payload):
    """A kind of one's own, with its whole anatomy as the TOML that `partway check` reads; empty: it is one no more.

    The latest word on a kind counts. It stands by itself: no component is needed to read it.
    """

    KIND: ClassVar[str] = "described"
    WORDS: ClassVar[str] = "kind {kind}[: {anatomy}| given up]"

    kind: Annotated[str, Sort(f.identifier, names="kind")]
    anatomy: Annotated[str, Sort(f.anatomy, name="anatomy"), Since(4)] = ""

    def effects(self, event: Event) -> Effects:
        """The word on the kind, also that there is none any more."""
        return Effects(facts=(Fact(f"kind:{self.kind}", "anatomy", self.anatomy),))


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
    kind: Annotated[str, Sort(f.identifier, "kind", names="kind")] | None = None
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
