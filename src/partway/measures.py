"""What a label, a rule or a meter says: lengths, temperatures and electrical values, with the worth of the last digit.

Units of electricity differ by the case of a letter (mV, MV), so they are read as written, not through `quantities`.
Every factor is exact: SI prefixes and the inch of 1959 (25.4 mm). An old label's MFD is a microfarad, never a
millifarad, so that a bare mF is refused and asked about: common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import NoReturn

from partway.errors import BadQuantity
from partway.quantities import NUMBER, kg_per, number_typed, parse_mass, shown, typed
from partway.things.units import AREAS, CAPACITANCES, CHARGES, ENERGIES, LENGTHS, RESISTANCES, VOLTAGES


@dataclass(frozen=True, slots=True)
class Dimension:
    """What is read: its name, its units with their worth in the first of them, how to say what was expected."""

    name: str
    units: dict[str, str]
    expected: str
    by_case: bool = False


LENGTH = Dimension("length", LENGTHS, 'a length such as "9.5 mm", "0.374 in" or "2 ft"')
AREA = Dimension("area", AREAS, 'an area such as "2.5 mm2"')
VOLTAGE = Dimension("voltage", VOLTAGES, 'a voltage such as "36 V" or "2.1 kV"', by_case=True)
CHARGE = Dimension("charge", CHARGES, 'a capacity such as "10 Ah" or "3350 mAh"', by_case=True)
ENERGY = Dimension("energy", ENERGIES, 'an energy such as "360 Wh"', by_case=True)
CAPACITANCE = Dimension(
    "capacitance",
    CAPACITANCES,
    'a capacitance in F, uF (an old label says MFD), nF or pF, such as "1 uF"',
    by_case=True,
)
RESISTANCE = Dimension(
    "resistance", RESISTANCES, 'a resistance in ohm, kohm or Mohm (M is a million), such as "10 Mohm"', by_case=True
)

VALUE = re.compile(rf"({NUMBER})\s*(\D.*)?", re.IGNORECASE)
BETWEEN = re.compile(r"\s*[x×]\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reading:
    """A value in base units (mm, mm2, V, Ah, Wh, F, ohm, g, °C) and what its last digit is worth in them."""

    value: float
    step: float


def read(text: str, dimension: Dimension, where: str) -> Reading:
    """A value above 0 of one dimension, such as "9.5mm" or "1 uF". Raises BadQuantity."""
    match = VALUE.fullmatch(typed(text, dimension.expected, where))
    factor = _factor(match[2] or "", dimension) if match else None
    if match is None or factor is None:
        _refuse(text, dimension.expected, where)
    number = number_typed(match[1], text, where)
    if number <= 0:
        _refuse(text, f"a {dimension.name} above 0", where)
    return Reading(float(number * factor), float(_last_digit(number) * factor))


def is_a(text: str, dimension: Dimension) -> bool:
    """Whether a text ends in a unit of the dimension; says nothing about its number."""
    match = VALUE.fullmatch(text.strip())
    return match is not None and _factor(match[2] or "", dimension) is not None


def read_mass(text: str, where: str) -> Reading:
    """A mass above 0 in grams, with its last digit: "8.630 g" steps by 0.001 g. Raises BadQuantity."""
    grams = parse_mass(text, where, positive=True) * 1000
    match = VALUE.fullmatch(typed(text, "a mass", where))
    if match is None:  # what is a mass has a number and a unit
        _refuse(text, "a mass", where)
    step = _last_digit(number_typed(match[1], text, where)) * kg_per(match[2]) * 1000
    return Reading(float(grams), float(step))


def read_temperature(text: str, where: str) -> Reading:
    """A temperature in °C from "20C", "20 °C" or "68F". Raises BadQuantity."""
    expected = 'a temperature such as "20 C" or "68 F"'
    match = VALUE.fullmatch(typed(text, expected, where))
    if match is None or (match[2] or "").replace("°", "").strip().upper() not in {"C", "F"}:
        _refuse(text, expected, where)
    number = number_typed(match[1], text, where)
    fahrenheit = match[2].replace("°", "").strip().upper() == "F"
    celsius = (number - 32) * 5 / 9 if fahrenheit else number
    return Reading(float(celsius), float(_last_digit(number)) * (5 / 9 if fahrenheit else 1.0))


def read_sides(text: str, where: str) -> tuple[float, ...]:
    """One diameter, or width and height, in mm: "9.5mm", "9.4 x 4.2 mm", "0.37in x 0.17in". Raises BadQuantity."""
    expected = 'a diameter such as "9.5 mm", or width and height such as "9.4 x 4.2 mm"'
    sides = BETWEEN.split(typed(text, expected, where))
    unit = VALUE.fullmatch(sides[-1])
    if len(sides) > 2 or unit is None or not unit[2]:
        _refuse(text, expected, where)
    given = [side if not re.fullmatch(NUMBER, side) else f"{side} {unit[2]}" for side in sides]
    if not all(is_a(side, LENGTH) for side in given):
        _refuse(text, expected, where)
    return tuple(read(side, LENGTH, where).value for side in given)


def _factor(unit: str, dimension: Dimension) -> Decimal | None:
    name = " ".join(unit.split())
    worth = dimension.units.get(name if dimension.by_case else name.casefold())
    return None if worth is None else Decimal(worth)


def _last_digit(number: Decimal) -> Decimal:
    exponent = number.as_tuple().exponent
    return Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0)


def _refuse(text: object, expected: str, where: str) -> NoReturn:
    raise BadQuantity(shown(text), expected, where)
