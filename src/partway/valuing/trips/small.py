"""Which differences on a ticket are worth a word at the window."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from partway.things.currencies import smallest
from partway.valuing.trips.ticket_seen import Doubt, LineSeen, TicketSeen

ASKING_MINUTES = 3  # what a question at the scale window takes (common practice, no source)


@dataclass(frozen=True, slots=True)
class SmallDifference:
    """A difference below `money` is small: to ask about it takes `minutes` of an hour that is worth `wage`.

    Nothing is small where nobody said what an hour is worth.
    """

    money: Decimal
    minutes: int
    wage: Decimal

    @classmethod
    def of(cls, settings: Mapping[str, str]) -> SmallDifference:
        """By the settings of a workspace."""
        wage = Decimal(settings.get("wage", "0"))
        money = (wage * ASKING_MINUTES / 60).quantize(smallest(settings.get("currency", "XXX")))
        return cls(money, ASKING_MINUTES, wage)

    def hides(self, doubt: Doubt) -> bool:
        """Whether it is too little to ask about; what has no amount never is."""
        return doubt.money is not None and abs(doubt.money) < self.money

    def worth_asking(self, ticket: TicketSeen) -> tuple[tuple[LineSeen, Doubt], ...]:
        """What is left of a ticket's doubts, each with its line, the dearest first."""
        found = [(line, doubt) for line in ticket.lines for doubt in line.doubts if not self.hides(doubt)]
        return tuple(sorted(found, key=lambda one: -abs(one[1].money or Decimal(0))))
