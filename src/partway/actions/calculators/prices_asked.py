"""Prices as they are typed into a calculator: their currency and the unit they are shown in again."""

from __future__ import annotations

import re
from contextlib import suppress
from decimal import Decimal

from partway.actions.recording.said_amounts import ANY, NO_CURRENCY, per_kg_said, price_written, wage_said
from partway.errors import BadQuantity
from partway.quantities import shown
from partway.spoken import Hearing
from partway.things.units import MASS_UNITS

WAGE_MOST = 1_000_000
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


def wage_asked(said: float | str | None, counted: str | None, *prices: str | None) -> float | None:
    """What an hour is worth, in the money that is `counted` in; where none is, in one in which the prices are said.

    Raises BadQuantity.
    """
    if not isinstance(said, str):
        return said
    wage = float(_wage(said, [counted] if counted else [code for code in ANY if _all_in(code, prices)]))
    if not 0 <= wage <= WAGE_MOST:
        raise BadQuantity(shown(said), f"an amount from 0 to {WAGE_MOST:,}", "wage")
    return wage


def _wage(said: str, codes: list[str]) -> Decimal:
    for code in codes[:-1]:
        with suppress(BadQuantity):
            return wage_said(said, "wage", Hearing(code))
    return wage_said(said, "wage", Hearing(codes[-1] if codes else NO_CURRENCY))


def _all_in(code: str, prices: tuple[str | None, ...]) -> bool:
    """Whether all prices may be said in a money; one that is no price is for whoever reads it to refuse."""
    with suppress(BadQuantity):
        for price in filter(None, prices):
            price_written(price, code, "price")
        return True
    return False
