"""The one table of units: how many base units each is, exactly, under every name that people write.

Exact by definition. International pound = 0.45359237 kg and international yard = 0.9144 m (so 1 ft = 0.3048 m, 1 in =
25.4 mm and 1 mile = 1760 yd = 1.609344 km): the yard and pound agreement of 1959. US gallon = 231 cubic inches, short
ton = 2000 lb, long ton = 2240 lb: NIST Handbook 44, Appendix C, General Tables of Units of Measurement. Imperial gallon
= 4.54609 L: UK Weights and Measures Act 1985, Schedule 1. The rest are SI prefixes.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class ShownUnits:
    """What a person reads masses and distances in."""

    mass: str = "kg"
    distance: str = "km"


# Units that masses are accepted and shown in, as they are written.
MASS_UNITS = ("lb", "kg", "oz", "g", "short ton", "long ton", "tonne")
TONS = ("short ton", "long ton", "tonne")
# Hundredweights: 100 lb (short), 112 lb (long, a twentieth of a long ton): NIST Handbook 44, Appendix C (from memory).
# Each as a unit that a price may be per, and how many of it one is; short where money is North American (practice).
HUNDREDWEIGHTS = {"100 lb": ("lb", Decimal(100)), "112 lb": ("long ton", Decimal("0.05"))}
NORTH_AMERICA = frozenset(["CAD", "USD"])

# unit as it is shown: (how many base units one is, other names of it); a name longer than a letter may take a plural s
KILOGRAMS = {
    "kg": ("1", ("kilogram", "kilogramme", "kilo")),
    "g": ("0.001", ("gram", "gramme")),
    "mg": ("0.000001", ("milligram",)),
    "lb": ("0.45359237", ("pound",)),
    "oz": ("0.028349523125", ("ounce",)),
    "tonne": ("1000", ("metric ton",)),
    "short ton": ("907.18474", ()),
    "long ton": ("1016.0469088", ()),
}
LITRES = {
    "l": ("1", ("litre", "liter")),
    "ml": ("0.001", ("millilitre", "milliliter")),
    "m3": ("1000", ("cubic metre", "cubic meter", "cu m")),
    "cu ft": ("28.316846592", ("cubic foot", "cubic feet", "ft3")),
    "us gal": ("3.785411784", ("us gallon",)),
    "imperial gal": ("4.54609", ("imperial gallon", "imp gal")),
}
KILOMETRES = {
    "km": ("1", ("kilometre", "kilometer")),
    "mi": ("1.609344", ("mile",)),
}
DISTANCE_UNITS = tuple(KILOMETRES)  # that ways are read and shown in
# Names that look like units and are not one: more than one quantity goes by each of them.
AMBIGUOUS = {
    **dict.fromkeys(("ton", "tons", "t"), '"short ton", "long ton" or "tonne"'),
    **dict.fromkeys(("gal", "gals", "gallon", "gallons"), '"US gal" or "imperial gal"'),
}

# Lengths in mm, areas in mm2, and electricity as it is written: there units differ by the case of a letter (mV, MV).
LENGTHS = {"mm": "1", "cm": "10", "m": "1000", "in": "25.4", "inch": "25.4", "inches": "25.4", '"': "25.4",
           "mil": "0.0254", "mils": "0.0254", "ft": "304.8", "foot": "304.8", "feet": "304.8"}  # fmt: skip
AREAS = {"mm2": "1", "sq mm": "1", "cm2": "100"}
VOLTAGES = {"V": "1", "v": "1", "volt": "1", "volts": "1", "kV": "1000", "kv": "1000", "KV": "1000", "mV": "0.001"}
CHARGES = {"Ah": "1", "ah": "1", "AH": "1", "mAh": "0.001", "mah": "0.001", "MAH": "0.001"}
ENERGIES = {"Wh": "1", "wh": "1", "WH": "1", "kWh": "1000", "kwh": "1000", "mWh": "0.001"}
MICROFARADS = dict.fromkeys(("uF", "uf", "UF", "μF", "μf", "MFD", "mfd", "Mfd"), "0.000001")
CAPACITANCES = {**MICROFARADS, "F": "1", "f": "1", "nF": "1e-9", "nf": "1e-9", "pF": "1e-12", "pf": "1e-12"}
RESISTANCES = {"ohm": "1", "Ohm": "1", "ohms": "1", "Ω": "1", "R": "1",
               **dict.fromkeys(("kohm", "kOhm", "Kohm", "KOhm", "kΩ", "KΩ", "k", "K"), "1000"),
               **dict.fromkeys(("Mohm", "MOhm", "MΩ", "megohm", "M"), "1000000")}  # fmt: skip


def hundredweight_in(currency: str) -> str | None:
    """The hundredweight where money is counted in a currency; None where it has to be asked which."""
    return "100 lb" if currency in NORTH_AMERICA else None


def names_of(unit: str) -> tuple[str, ...]:
    """Every name of a unit of mass, volume or distance, plurals too: "lb", "lbs", "pound", "pounds"."""
    _, others = (KILOGRAMS | LITRES | KILOMETRES)[unit]
    return tuple(name + plural for name in (unit, *others) for plural in ("", "s") if not plural or len(name) > 1)


# How many kg, litres or km one is, by every name in lower case.
BY_NAME = {
    "mass": {name: Decimal(KILOGRAMS[unit][0]) for unit in KILOGRAMS for name in names_of(unit)},
    "volume": {name: Decimal(LITRES[unit][0]) for unit in LITRES for name in names_of(unit)},
    "distance": {name: Decimal(KILOMETRES[unit][0]) for unit in KILOMETRES for name in names_of(unit)},
}
