"""Cash comes in whole coins: what a ticket is rounded to, currency by currency."""

from __future__ import annotations

from decimal import Decimal

from partway.quantities import plain_text
from partway.things.currencies import coin

CASH = ("", "cash")  # how money comes in that may be rounded; anything else said is paid to the cent


def rounded_off(currency: str, owed: Decimal, came: Decimal, how: str) -> Decimal:
    """What cash is less than what was owed because there is no smaller coin, below 0 where it is more; 0 where the
    difference is none of rounding.
    """
    smallest = coin(currency)
    apart = owed - came
    to_the_nearest = came % smallest == 0 and abs(apart) * 2 <= smallest
    return apart if how.strip().lower() in CASH and owed > 0 and to_the_nearest else Decimal(0)


def what_for(currency: str, ticket: str) -> str:
    """What the cents are booked as."""
    return f"{ticket}: cash rounded to {plain_text(coin(currency))}"
