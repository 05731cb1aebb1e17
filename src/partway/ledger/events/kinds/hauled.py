"""A haul sets out, and is finished; a collecting round begins, and is over."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar, Literal

from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import entries
from partway.ledger.events.payload import Payload
from partway.ledger.events.shapes import canonical, decimal_text
from partway.ledger.events.sorts import BuyerId, HaulId, Km, Minutes, RoundId, Since, Text, Words


@dataclass(frozen=True, slots=True)
class Hauled(Payload):
    """A haul set out on or finished. `km` and `minutes` are of the whole trip, once it is over."""

    KIND: ClassVar[str] = "hauled"
    WORDS: ClassVar[str] = "{haul} {status}: {stops}[, {km}][, {minutes}]"
    MAKES: ClassVar[str] = "haul"

    haul: HaulId
    status: Literal["started", "finished"]
    stops: tuple[BuyerId, ...] = ()
    km: Km | None = None
    minutes: Minutes | None = None
    note: Text = ""

    def effects(self, event: Event) -> Effects:
        """A haul; its minutes are paid once, when it is over."""
        known = {
            "status": self.status,
            "stops": canonical(list(self.stops)) if self.stops else "",
            "km": "" if self.km is None else decimal_text(self.km),
            "minutes": "" if self.minutes is None else str(self.minutes),
        }
        minutes = self.minutes if self.status == "finished" and self.minutes else 0
        return Effects(
            facts=tuple(Fact(f"haul:{self.haul}", name, value) for name, value in known.items() if value),
            entries=entries(("minutes:haul", Decimal(minutes), self.haul)),
        )


@dataclass(frozen=True, slots=True)
class Round(Payload):
    """A round set out on or over: `where` it went, and once it is over its `minutes` and `km` home to home.

    It ended when this event happened, and began so many minutes before. `left` is what was seen and left standing.
    """

    KIND: ClassVar[str] = "round"
    WORDS: ClassVar[str] = "{round} {status}[: {where}][, {minutes}][, {km}][; left standing: {left}][ ({note})]"
    MAKES: ClassVar[str] = "round"

    round: RoundId
    status: Literal["started", "ended"]
    where: Annotated[Text, Since(5)] = ""
    minutes: Annotated[Minutes, Since(5)] | None = None
    km: Annotated[Km, Since(5)] | None = None
    left: tuple[Words, ...] = ()
    note: Annotated[Text, Since(5)] = ""

    def effects(self, event: Event) -> Effects:
        """A round; its minutes are of collecting, once it is over."""
        known = {
            "status": self.status,
            "where": self.where,
            "minutes": "" if self.minutes is None else str(self.minutes),
            "km": "" if self.km is None else decimal_text(self.km),
            "left": canonical(list(self.left)) if self.left else "",
        }
        minutes = self.minutes if self.status == "ended" and self.minutes else 0
        return Effects(
            facts=tuple(Fact(f"round:{self.round}", name, value) for name, value in known.items() if value),
            entries=entries(("minutes:collect", Decimal(minutes), self.round)),
        )
