"""A yard prints a ticket."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from partway.ledger.events.effects import LOSS, Effects, Fact
from partway.ledger.events.event import Event
from partway.ledger.events.meaning import EXACT, entries, moves
from partway.ledger.events.payload import Payload, PayloadRow
from partway.ledger.events.shapes import payload_text
from partway.ledger.events.sorts import (
    BinId,
    BuyerId,
    GradeId,
    HaulId,
    Mass,
    Money,
    Outlay,
    OwnBy,
    Price,
    Since,
    Text,
    TicketId,
    Total,
    Unit,
)


@dataclass(frozen=True, slots=True)
class TicketLine(PayloadRow):
    """One line of a ticket: `mass_mg` is the yard's net, `own_mg` one's own; the bin gives up its own mass.

    `price` is per one `unit`, `amount` as printed. `own_by` says where one's own mass comes from; what was not weighed
    says nothing about the yard's scale.
    """

    WORDS: ClassVar[str] = "{grade} {mass_mg} at {price} /{unit}"

    grade: GradeId
    bin: BinId
    mass_mg: Mass
    own_mg: Mass
    price: Price
    unit: Unit
    amount: Money
    own_by: Annotated[OwnBy, Since(5)] = ""


@dataclass(frozen=True, slots=True)
class Deduction(PayloadRow):
    """Something taken off a ticket."""

    what: Text
    amount: Outlay


@dataclass(frozen=True, slots=True)
class Ticketed(Payload):
    """What a yard printed."""

    KIND: ClassVar[str] = "ticketed"
    WORDS: ClassVar[str] = "{ticket}, {buyer}: {lines}; total {total}"
    MAKES: ClassVar[str] = "ticket"
    RESTS: ClassVar[bool] = True
    ALONG: ClassVar[tuple[str, ...]] = ("moved",)

    ticket: TicketId
    buyer: BuyerId
    lines: tuple[TicketLine, ...]
    total: Total
    deductions: tuple[Deduction, ...] = ()
    haul: HaulId | None = None
    number: Text = ""

    def effects(self, event: Event) -> Effects:
        """Each line takes one's own mass out of the bin: the yard's net to the buyer, the difference to loss or from
        it. Its sales and deductions, and the word on what was printed.
        """
        all_moves: list[tuple[str, str, str, int]] = []
        for line in self.lines:
            place = f"bin:{line.bin}"
            all_moves.append((place, f"buyer:{self.buyer}", line.grade, line.mass_mg))
            all_moves.append((place, LOSS, line.grade, line.own_mg - line.mass_mg))
            all_moves.append((LOSS, place, line.grade, line.mass_mg - line.own_mg))
        return Effects(
            moves=moves(*all_moves),
            facts=(Fact(f"ticket:{self.ticket}", "printed", payload_text(self)),),
            entries=entries(
                *((f"sales:{self.buyer}", line.amount, line.grade) for line in self.lines),
                *((f"deductions:{self.buyer}", EXACT.minus(taken.amount), taken.what) for taken in self.deductions),
            ),
        )
