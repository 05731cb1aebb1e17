"""A find comes in, is tested, and is put on the scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events.effects import OUTSIDE, Asserted, Effects, Fact
from partway.ledger.events.event import FIRST, Event
from partway.ledger.events.meaning import difference, moves
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import time_text
from partway.ledger.events.sorts import (
    Count,
    FindId,
    Has,
    KindId,
    Mass,
    MassBefore,
    Mostly,
    RoundId,
    Signs,
    Since,
    Size,
    Sort,
    Text,
    Works,
)
from partway.things.traits import Traits

Condition = Annotated[Works, Sort(name="works", alone=True)]


@dataclass(frozen=True, slots=True)
class Found(Payload):
    """Something collected: `count` things alike; `mass_mg` of all of them, None where they were not weighed.

    `mostly` up to `size` are said of a thing that no catalogue has: its kind is its name with all that. `signs` are
    what shows of whether it works, `round` the collecting round on which it was found.
    """

    KIND: ClassVar[str] = "found"
    WORDS: ClassVar[str] = (
        "{find}: [{count} × ]{kind}[ {model}]"
        "[, mostly {mostly}][, cord: {cord}][, motor: {motor}][, battery: {battery}]"
        "[, {mass_mg}][, {works}][, from {source}][, on {round}][, seen: {signs}][ ({note})]"
    )
    MAKES: ClassVar[str] = "find"

    find: FindId
    kind: KindId
    count: Count = 1
    works: Condition = "unknown"
    mass_mg: Mass | None = None
    source: Text = ""
    note: Text = ""
    photo: Text = ""
    model: Annotated[Text, Since(3)] = ""
    mostly: Annotated[Mostly, Since(4)] = ""
    cord: Annotated[Has, Since(4)] = ""
    motor: Annotated[Has, Since(4)] = ""
    battery: Annotated[Has, Since(4)] = ""
    size: Annotated[Size, Since(4)] = ""
    signs: Annotated[Signs, Since(5)] = ""
    round: Annotated[RoundId, Since(5)] | None = None

    @property
    def kind_here(self) -> str:
        """The kind by which it is looked up: as said, or of its name and all that was said of it."""
        if not self.mostly:
            return self.kind
        return Traits(self.mostly, self.cord, self.motor, self.battery, self.size).kind(self.kind)

    def effects(self, event: Event) -> Effects:
        """A find; weighed, its mass comes in from outside. What is empty is not known, and no fact."""
        facts = {
            "kind": self.kind_here,
            "count": str(self.count),
            "works": self.works,
            "source": self.source,
            "note": self.note,
            "photo": self.photo,
            "model": self.model,
            "signs": self.signs,
            "found": time_text(event.happened),
        }
        return Effects(
            moves=moves((OUTSIDE, f"find:{self.find}", "", self.mass_mg or 0)),
            facts=tuple(Fact(f"find:{self.find}", name, value) for name, value in facts.items() if value),
        )


@dataclass(frozen=True, slots=True)
class Tested(Payload):
    """Whether a find works."""

    KIND: ClassVar[str] = "tested"
    WORDS: ClassVar[str] = "{find} {works}"

    find: FindId
    works: Condition

    def effects(self, event: Event) -> Effects:
        """The word on whether it works."""
        return Effects(facts=(Fact(f"find:{self.find}", "works", self.works),))


@dataclass(frozen=True, slots=True)
class Weighed(Payload):
    """A find on the scale: it holds `mass_mg` now; `was_mg` is what the ledger had until then (0 if unweighed)."""

    KIND: ClassVar[str] = "weighed"
    WORDS: ClassVar[str] = "{find} weighs {mass_mg}"
    RESTS: ClassVar[bool] = True

    find: FindId
    mass_mg: Mass
    was_mg: MassBefore

    def effects(self, event: Event) -> Effects:
        """What is there, whatever the ledger had; by schema 1 the difference to what it had then."""
        if event.schema > FIRST:
            return Effects(asserted=Asserted(f"find:{self.find}", "", self.mass_mg, OUTSIDE))
        return Effects(moves=difference(OUTSIDE, f"find:{self.find}", "", self.was_mg, self.mass_mg))
