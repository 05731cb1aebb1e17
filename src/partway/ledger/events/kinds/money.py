"""Money comes in and goes out, and time is worked."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar

from partway.ledger.events.effects import Effects
from partway.ledger.events.event import Event
from partway.ledger.events.fields import Bad
from partway.ledger.events.meaning import EXACT, entries
from partway.ledger.events.payload import Payload
from partway.ledger.events.sorts import Activity, BuyerId, Category, FindId, Minutes, Money, Sort, Text, TicketId

ROUNDING = "rounding"  # the category of cents that cash was rounded by


@dataclass(frozen=True, slots=True)
class Paid(Payload):
    """Money that came in for a ticket."""

    KIND: ClassVar[str] = "paid"
    WORDS: ClassVar[str] = "{buyer} paid {amount}[ for {ticket}][ ({how})]"
    RESTS: ClassVar[bool] = True

    buyer: BuyerId
    amount: Money
    ticket: TicketId | None = None
    how: Text = ""

    def effects(self, event: Event) -> Effects:
        """Money in, for the ticket."""
        return Effects(entries=entries((f"paid:{self.buyer}", self.amount, self.ticket or "")))


@dataclass(frozen=True, slots=True)
class Spent(Payload):
    """Money that went out: fuel, blades, fees; below zero only where cash was rounded up."""

    KIND: ClassVar[str] = "spent"
    WORDS: ClassVar[str] = "{what}: {amount} ({category})"

    what: Text
    amount: Money
    category: Category = "other"

    def check(self) -> None:
        """Below zero: a coin more than was owed."""
        if self.amount < 0 and self.category != ROUNDING:
            expected = f"money of at least 0; below it only in the category {ROUNDING}"
            raise Bad(str(self.amount), expected, "amount")

    def effects(self, event: Event) -> Effects:
        """Money out, by category."""
        return Effects(entries=entries((f"spent:{self.category}", EXACT.minus(self.amount), self.what)))


@dataclass(frozen=True, slots=True)
class Worked(Payload):
    """Time, in whole minutes."""

    KIND: ClassVar[str] = "worked"
    WORDS: ClassVar[str] = "{minutes} {activity}[ on {find}]"

    activity: Annotated[Activity, Sort(name="activity", alone=True)]
    minutes: Minutes
    find: FindId | None = None
    note: Text = ""

    def effects(self, event: Event) -> Effects:
        """Minutes of the activity."""
        return Effects(entries=entries((f"minutes:{self.activity}", Decimal(self.minutes), self.find or "")))
