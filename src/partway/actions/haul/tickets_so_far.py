"""What a ticket makes as far as it is typed: by line and together. Nothing is recorded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.actions.buyers.quoting import unit_price
from partway.actions.recording import reading
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Traded
from partway.valuing.trips.ticket_sums import fee_due, is_fee, off_by, worked_out


@dataclass(frozen=True, slots=True)
class TypedLine:
    """A line as it stands in the form; `amount` is empty where the ticket's own was not typed."""

    mass: str
    price: str
    amount: str


@dataclass(frozen=True, slots=True)
class LineSoFar:
    """What a line makes: `made` is mass times price, `amount` what is printed or else the same, both None where it
    cannot be read yet. `off`: the two are further apart than rounding explains.
    """

    mass_mg: int = 0
    made: Decimal | None = None
    amount: Decimal | None = None
    off: bool = False


@dataclass(frozen=True, slots=True)
class TicketSoFar:
    """The lines in their order, and together: how many can be read, their mass and money less what was taken off.

    `fee` of it is what the buyer keeps back by its terms, where no fee was typed.
    """

    lines: tuple[LineSoFar, ...]
    read: int
    mass_mg: int
    total: Decimal
    fee: Decimal = Decimal(0)


def so_far(
    book: Book, typed: Sequence[TypedLine], taken_off: Sequence[tuple[str, str]], terms: Traded | None = None
) -> TicketSoFar:
    """As far as it can be read; `taken_off` are deductions by name and amount, `terms` the buyer's."""
    lines = tuple(_line(book, line) for line in typed)
    off = sum((_money(book, text) or Decimal(0) for _, text in taken_off), Decimal(0))
    amounts = [line.amount for line in lines if line.amount is not None]
    mass = sum(line.mass_mg for line in lines if line.amount is not None)
    fee = Decimal(0)
    if not any(is_fee(what) for what, _ in taken_off):
        fee = fee_due(amounts, terms, reading.currency(book))
    return TicketSoFar(lines, len(amounts), mass, sum(amounts, Decimal(0)) - off - fee, fee)


def _line(book: Book, typed: TypedLine) -> LineSoFar:
    try:
        mg = reading.mass_mg(book, typed.mass, "mass")
        currency = reading.currency(book)
        price, unit = unit_price(book, typed.price, "price")
    except Refused:
        return LineSoFar()
    made = worked_out(mg, price, unit, currency)
    printed = _money(book, typed.amount) if typed.amount else made
    return LineSoFar(mg, made, printed, printed is not None and off_by(printed, made, currency) is not None)


def _money(book: Book, text: str) -> Decimal | None:
    try:
        return reading.money(book, text, "amount", negative=True) if text else None
    except Refused:
        return None
