"""How a kind of one's own comes apart is said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Since, Sort


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
