"""The arithmetic of a ticket: what a line makes, and by how much what is printed is off."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from partway.formulas.ticket_fees import fee_of
from partway.ledger.events.kinds import Ticketed, TicketLine, Traded
from partway.quantities import MG_PER_KG, kg_per
from partway.spoken.tongue import english
from partway.things.currencies import smallest

FEE = "fee"  # what a deduction is called that is made by a buyer's terms


def gap_of(ticket: Ticketed) -> Decimal:
    """By how much a total differs from its lines less deductions."""
    taken = sum((d.amount for d in ticket.deductions), Decimal(0))
    return ticket.total - (sum((line.amount for line in ticket.lines), Decimal(0)) - taken)


def fee_due(amounts: Iterable[Decimal], terms: Traded | None, currency: str) -> Decimal:
    """What a buyer keeps back of a ticket by its terms, in whole coins; nothing where it pays for nothing."""
    if terms is None:
        return Decimal(0)
    return fee_of(amounts, terms.ticket_fee, terms.ticket_share).quantize(smallest(currency), rounding="ROUND_HALF_UP")


def fee_on(ticket: Ticketed) -> Decimal:
    """What of a ticket's deductions is a fee, by what they are called."""
    return sum((taken.amount for taken in ticket.deductions if is_fee(taken.what)), Decimal(0))


def is_fee(what: str) -> bool:
    """Whether a deduction is called a fee: of dirt or moisture nobody's terms say anything."""
    return any(word in english().fee_names for word in re.findall(r"[a-z]+", what.lower()))


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
