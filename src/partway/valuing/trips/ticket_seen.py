"""A ticket as it is seen: each line with what is doubtful about it, and the one thing to ask about."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from partway.valuing.trips.scales import TwoScales

What = Literal["short", "below-quote", "below-plan", "amount", "downgrade", "not-planned", "refused"]
TicketWhat = Literal["total", "deduction"]
Asked = What | TicketWhat
NO_QUESTION = ("not-planned", "refused")  # known to both sides: nothing to ask


@dataclass(frozen=True, slots=True)
class Doubt:
    """What a line has against it, and the money it is about, where that is known."""

    what: What
    money: Decimal | None


@dataclass(frozen=True, slots=True)
class LineSeen:
    """A line as printed, against one's own scale, the plan and the quote (prices per `unit`).

    `short_mg` is by how much the yard's net is below one's own mass; honest scales explain `explained_mg` of it, None
    where one did not weigh it. `good_to_mg` is how far off one's own scale may be. `quoted_on` is the day of the quote,
    `brought_as` the grade of the bin where the yard paid another, `quoted_ends` both ends where a range was quoted.
    """

    grade: str
    name: str
    bin: str
    mass_mg: int
    own_mg: int
    short_mg: int
    planned_mg: int | None
    price: Decimal
    unit: str
    quoted: Decimal | None
    amount: Decimal
    doubts: tuple[Doubt, ...]
    explained_mg: int | None = None
    good_to_mg: int = 0
    quoted_on: str = ""
    brought_as: str = ""
    planned_price: Decimal | None = None
    quoted_ends: tuple[Decimal, Decimal] | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """The one thing to ask at the window: `line` is the number of the line, from 1, 0 for the ticket as a whole."""

    what: Asked
    line: int
    money: Decimal | None


@dataclass(frozen=True, slots=True)
class TicketSeen:
    """A ticket; `gap` is by how much its total differs from its lines less deductions.

    `ask` is what most money hangs on of what is not as it should be, None where all is. `new_deductions` are those
    that this yard took off no ticket before. `scales` are what weights were judged by. `fee` is what it keeps back by
    its terms; only what is taken beyond that is new.
    """

    ticket: str
    number: str
    lines: tuple[LineSeen, ...]
    deductions: tuple[tuple[str, Decimal], ...]
    total: Decimal
    gap: Decimal
    paid: Decimal
    open: Decimal
    ask: Ask | None = None
    new_deductions: tuple[tuple[str, Decimal], ...] = ()
    scales: TwoScales | None = None
    fee: Decimal = Decimal(0)
