"""The arithmetic of a ticket: what a line makes, and by how much what is printed is off."""

from __future__ import annotations

from decimal import Decimal

from partway.ledger.events.kinds import Ticketed, TicketLine
from partway.quantities import MG_PER_KG, kg_per
from partway.things.currencies import smallest


def gap_of(ticket: Ticketed) -> Decimal:
    """By how much a total differs from its lines less deductions."""
    taken = sum((d.amount for d in ticket.deductions), Decimal(0))
    return ticket.total - (sum((line.amount for line in ticket.lines), Decimal(0)) - taken)


def amount_off(line: TicketLine, currency: str) -> Decimal | None:
    """By how much an amount differs from mass times price; None within the coin that rounding explains."""
    return off_by(line.amount, worked_out(line.mass_mg, line.price, line.unit, currency), currency)


def off_by(amount: Decimal, made: Decimal, currency: str) -> Decimal | None:
    """By how much an amount differs from what mass times price make; None within the coin that rounding explains."""
    return amount - made if abs(amount - made) > smallest(currency) else None


def worked_out(mass_mg: int, price: Decimal, unit: str, currency: str) -> Decimal:
    """What a mass makes at a price per unit, in whole coins, halves up as tickets round."""
    amount = Decimal(mass_mg) / MG_PER_KG / kg_per(unit) * price
    return amount.quantize(smallest(currency), rounding="ROUND_HALF_UP")


def per(price: Decimal, unit: str, wanted: str) -> Decimal:
    """A price per one unit as it is per another."""
    return price / kg_per(unit) * kg_per(wanted)
