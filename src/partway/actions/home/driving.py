"""What driving costs and how fast it goes, as they are typed into settings and shown there.

Kept as they were said: a number alone is per km, as the setting's name says; one by the mile keeps its unit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

from partway.actions.buyers.buyers import number
from partway.distances import km_per
from partway.errors import Refused
from partway.ledger.fold.driving import PER_MILE, distance_unit, kmh, per_mile
from partway.spoken import Hearing
from partway.things.units import BY_NAME, DISTANCE_UNITS, names_of

COST_MOST = Decimal(1_000_000)
SLOWEST, FASTEST = Decimal(1), Decimal(200)  # km/h
UNIT = "|".join(sorted(BY_NAME["distance"], key=len, reverse=True))
PER_UNIT = re.compile(rf"(.+?)\s*(?:/|\bper\b|\ban?\b)\s*({UNIT})\.?", re.IGNORECASE)
SPEED = re.compile(rf"(.+?)\s*(?:(mph)|(km/?h|kph)|({UNIT})\s*(?:/|\bper\b|\ban\b)\s*(?:h|hour))\.?", re.IGNORECASE)
UNITS = {name: unit for unit in DISTANCE_UNITS for name in names_of(unit)}


def unit_read(value: str, where: str) -> str:
    """Km or mi, by any of their names. Raises Refused."""
    unit = UNITS.get(value.strip().lower())
    if unit is None:
        raise Refused(f'"{value}"', f"a unit of distance: {' or '.join(DISTANCE_UNITS)}", where)
    return unit


def cost_read(value: str, where: str, _: Hearing) -> str:
    """What driving costs: "0.35" is per km, "0.56 /mi" per mile. Raises Refused."""
    match = PER_UNIT.fullmatch(value.strip())
    found = number(match[1] if match else value, where, COST_MOST)
    return _written("cost_per_km", found, UNITS[match[2].lower()] if match else "km")


def speed_read(value: str, where: str, _: Hearing) -> str:
    """How fast it goes: "45" and "45 km/h" are per km, "28 mph" is by the mile. Raises Refused."""
    match = SPEED.fullmatch(value.strip())
    unit = "km" if match is None or match[3] else "mi" if match[2] else UNITS[match[4].lower()]
    most, least = (FASTEST, SLOWEST) if unit == "km" else (Decimal(int(FASTEST / km_per(unit))), SLOWEST)
    return _written("kmh", number(match[1] if match else value, where, most, least), unit)


def _written(name: str, found: Decimal, unit: str) -> str:
    return f"{found:f}{PER_MILE[name] if unit == 'mi' else ''}"


READERS = {"cost_per_km": cost_read, "kmh": speed_read}


def typed_in(name: str, value: str, unit: str) -> str:
    """What was typed into a field that says the unit: a number alone is by the mile where that is the mile."""
    if unit != "mi" or name not in READERS:
        return value
    try:
        read = READERS[name](value, name, Hearing())
    except Refused:
        return value
    bare = per_mile(name, read) is None and not _says_unit(name, value)
    return f"{value.strip()}{PER_MILE[name]}" if bare else value


def _says_unit(name: str, value: str) -> bool:
    return (PER_UNIT if name == "cost_per_km" else SPEED).fullmatch(value.strip()) is not None


def shown_in(name: str, value: str, unit: str) -> str:
    """The setting as a field that says the unit has it: the number alone, with its unit where that is the other."""
    said = per_mile(name, value)
    if said is not None:
        return said if unit == "mi" else value
    return value if unit == "km" else f"{value}{' /km' if name == 'cost_per_km' else ' km/h'}"


def speed_usual(value: str, known: Mapping[str, str]) -> str:
    """A speed that is taken where none was set, in the unit of the workspace: "45", or "28 mph"."""
    unit = distance_unit(known)
    return value if unit == "km" else f"{round(kmh(value) / km_per(unit))} mph"
