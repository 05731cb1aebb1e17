"""A buyer and its terms."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar

from partway.ledger.events.effects import Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.payload import Payload, PayloadRow
from partway.ledger.events.shapes import payload_text
from partway.ledger.events.sorts import (
    BuyerId,
    BuyerKind,
    Id,
    Km,
    Mass,
    Minutes,
    OpenHours,
    Outlay,
    Phone,
    Place,
    Share,
    Since,
    Sort,
    Text,
)


@dataclass(frozen=True, slots=True)
class Postage(PayloadRow):
    """One parcel of at most `up_to_mg` costs `cost`."""

    up_to_mg: Mass
    cost: Outlay


@dataclass(frozen=True, slots=True)
class Traded(Payload):
    """A buyer and its terms. The latest word counts as a whole. `km` one way from home; `at` is latitude, longitude.
    `back_km` is the way home where that is another length; None: the same.

    `open` are its opening hours, such as "mon-fri 08:00-16:30", `phone` its number; none where nobody said.
    `ticket_fee` and `ticket_share` are what it keeps back of each ticket that pays: a flat sum, and a share of what the
    lines pay.
    """

    KIND: ClassVar[str] = "traded"
    WORDS: ClassVar[str] = (
        "{buyer}: {kind}[, {km}][, {back_km} back][, refuses {refuses}][, open {open}][, phone {phone}]"
        "[, keeps back {ticket_fee} a ticket][, keeps back {ticket_share} of a ticket]"
    )
    MAKES: ClassVar[str] = "buyer"

    buyer: BuyerId
    kind: Annotated[BuyerKind, Sort(name="buyer kind", alone=True)]
    name: Text = ""
    km: Km | None = None
    at: Place | None = None
    minutes: Minutes = 0
    refuses: tuple[Id, ...] = ()
    shipping: tuple[Postage, ...] = ()
    note: Text = ""
    open: Annotated[tuple[OpenHours, ...], Since(5)] = ()
    phone: Annotated[Phone, Since(6)] = ""
    ticket_fee: Annotated[Outlay, Since(11)] = Decimal(0)
    ticket_share: Annotated[Share, Since(11)] = Decimal(0)
    back_km: Annotated[Km, Since(12)] | None = None

    def effects(self, event: Event) -> Effects:
        """The word on its terms, all of them."""
        return Effects(facts=(Fact(f"buyer:{self.buyer}", "terms", payload_text(self)),))
