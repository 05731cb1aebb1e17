"""Distances and driving as the workspace counts them: its unit of distance, what driving costs, and how fast it goes.

What driving costs and the speed are kept as they were said: a number alone is per km, as the names `cost_per_km` and
`kmh` say, and one per mile says so ("0.56 /mi", "28 mph"). Whoever works anything out has it per km from here.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from partway.distances import km_per

DISTANCE = "distance"  # the setting
# Of a workspace that was never asked: its bare numbers were kilometres from the beginning, and stay so.
USUAL = "km"
PER_MILE = {"cost_per_km": " /mi", "kmh": " mph"}  # behind a number that is not per km


def distance_unit(known: Mapping[str, str]) -> str:
    """The unit that distances are shown in, and that one without a unit is in, by the settings: km or mi."""
    return known.get(DISTANCE, USUAL)


def per_mile(name: str, value: str) -> str | None:
    """The number of a setting that was said by the mile; None where it is per km."""
    return value.removesuffix(PER_MILE[name]) if value.endswith(PER_MILE[name]) else None


def cost_per_km(known: Mapping[str, str]) -> Decimal | None:
    """What a kilometre costs, by the settings; None where nobody said."""
    if (said := known.get("cost_per_km")) is None:
        return None
    number = per_mile("cost_per_km", said)
    return Decimal(said) if number is None else Decimal(number) / km_per("mi")


def kmh(said: str) -> Decimal:
    """Kilometres an hour of a speed as the setting has it."""
    number = per_mile("kmh", said)
    return Decimal(said) if number is None else Decimal(number) * km_per("mi")
