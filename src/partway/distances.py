"""Distances as they are shown, in kilometres or miles; `quantities` and `spoken` read them."""

from __future__ import annotations

from decimal import Decimal

from partway.quantities import plain_text
from partway.things.units import KILOMETRES

KM_FINEST = 9  # decimals of a km that are kept: miles come back as they were said


def km_per(unit: str) -> Decimal:
    """How many km one of a unit of distance is, exactly."""
    return Decimal(KILOMETRES[unit][0])


def distance_digits(amount: Decimal) -> int:
    """How many decimals a distance is shown with: to the hundred paces, below one unit to ten."""
    return 1 if abs(amount) >= 1 else 2


def distance_number(km: Decimal, unit: str) -> str:
    """Kilometres as the number alone of a unit, with the fewest decimals that `KM_FINEST` tells from others."""
    for digits in range(KM_FINEST + 2):
        number = round(km / km_per(unit), digits)
        if round(number * km_per(unit), KM_FINEST) == km:
            break
    return plain_text(number)


def format_km_in(km: float | Decimal, unit: str) -> str:
    """A distance as the ledger and notes have it: "14 km", "8.7 mi", "0.25 mi"."""
    amount = Decimal(km) / km_per(unit)
    return f"{plain_text(round(amount, distance_digits(amount)))} {unit}"
