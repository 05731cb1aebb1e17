"""A setting of the workspace."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events import fields as f
from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Sort


@dataclass(frozen=True, slots=True)
class Set(Payload):
    """One setting of the workspace: currency, unit, wage, bench, away, trips, payload, volume, cost_per_km, kmh ..."""

    KIND: ClassVar[str] = "set"
    WORDS: ClassVar[str] = "{name} = {value}"

    name: Annotated[str, Sort(f.identifier, names="setting")]
    value: Annotated[str, Sort(f.prose)]

    def effects(self, event: Event) -> Effects:
        """The word on it."""
        return Effects(facts=(Fact(f"setting:{self.name}", "value", self.value),))
