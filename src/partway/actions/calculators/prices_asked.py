"""Prices as they are typed into a calculator: their currency and the unit they are shown in again."""

from __future__ import annotations

import re
from contextlib import suppress

from partway.actions.recording.said_amounts import NO_CURRENCY, per_kg_said, price_written
from partway.errors import BadQuantity
from partway.things.units import MASS_UNITS

CODE = re.compile(r"\s*([A-Za-z]{3})\s*[-+.0-9]")


def currency_of(named: str | None, *prices: str | None) -> str | None:
    """The currency named, by option or before a price; None where none is: amounts are then shown plain."""
    if named is not None:
        return named.upper()
    found = next((match for price in prices if (match := CODE.match(price or ""))), None)
    return found[1].upper() if found else None


def unit_of(price: str) -> str:
    """The unit of mass a price was typed in."""
    with suppress(BadQuantity):  # with a currency, or none at all: what reads the price says so
        price = price_written(price, NO_CURRENCY, "price")
    return next((u for u in MASS_UNITS if price.rstrip().casefold().endswith(u)), "kg")


def per_kg(price: str, currency: str | None, where: str) -> float:
    """A price per kg. Raises BadQuantity, also for one in another currency."""
    return float(per_kg_said(price, currency or NO_CURRENCY, where))
