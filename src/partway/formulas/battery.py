"""Energy of a battery or a capacitor pack, and where the rules of transport draw their lines.

Sources: ADR and IMDG Code, chapter 3.3, special provisions 188 (small cells and batteries), 376 (damaged), 377 and 636
(recycling), 361 and 372 (capacitors). By road and by sea; transport by air is under other rules and not covered.
"""

from __future__ import annotations

from typing import Literal

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, within

Chemistry = Literal["li-ion", "li-metal", "lead-acid", "lead-sealed", "nicd", "nicd-sealed", "nimh", "alkaline"]
LITHIUM = ("li-ion", "li-metal")

SMALL_CELL_WH, SMALL_BATTERY_WH = 20.0, 100.0  # SP 188, lithium ion
SMALL_CELL_G, SMALL_BATTERY_G = 1.0, 2.0  # SP 188, grams of lithium metal
SMALL_PACKAGE_KG = 30.0  # SP 188, gross
COLLECTED_G = 500.0  # SP 636, gross mass of one cell or battery
CAPACITOR_WH = 0.3  # SP 361 and 372: at or below, not subject

# (by itself, in or with equipment); None: no number of its own by road.
UN_NUMBERS: dict[Chemistry, tuple[int | None, int | None]] = {
    "li-ion": (3480, 3481),
    "li-metal": (3090, 3091),
    "lead-acid": (2794, 2794),
    "lead-sealed": (2800, 2800),
    "nicd": (2795, 2795),
    "nicd-sealed": (None, None),
    "nimh": (None, None),
    "alkaline": (None, None),
}


def watt_hours(volts: float, amp_hours: float) -> float:
    """Energy of a battery in Wh: nominal voltage (V) x rated capacity (Ah).

    Raises BadQuantity outside 0 to 1500 V and 0 to 10,000 Ah, neither of them 0.
    """
    above_zero(volts, "voltage, V")
    above_zero(amp_hours, "capacity, Ah")
    within(volts, 0.0, 1500.0, "voltage, V")
    within(amp_hours, 0.0, 10_000.0, "capacity, Ah")
    return volts * amp_hours


def is_small_ion(wh: float, *, cell: bool) -> bool:
    """Whether a lithium-ion cell (at most 20 Wh) or battery (at most 100 Wh) is small under special provision 188."""
    above_zero(wh, "energy, Wh")
    return wh <= (SMALL_CELL_WH if cell else SMALL_BATTERY_WH)


def is_small_metal(lithium_g: float, *, cell: bool) -> bool:
    """Whether a lithium-metal cell (at most 1 g) or battery (at most 2 g lithium) is small, special provision 188."""
    above_zero(lithium_g, "lithium, g")
    return lithium_g <= (SMALL_CELL_G if cell else SMALL_BATTERY_G)


def small_in_package(mass_kg: float) -> int:
    """How many batteries of a mass (kg each) fit one package of special provision 188, 30 kg gross, box not counted.

    Raises BadQuantity for a mass that is not above 0, or above 30 kg.
    """
    above_zero(mass_kg, "mass of one battery, kg")
    within(mass_kg, 0.0, SMALL_PACKAGE_KG, "mass of one battery, kg")
    return int(SMALL_PACKAGE_KG / mass_kg * (1.0 + 1e-12))


def un_number(chemistry: Chemistry, *, in_equipment: bool) -> int | None:
    """UN number by road; None for dry cells and NiMH, which have none there (NiMH: UN 3496, by sea only).

    Raises BadQuantity for a chemistry that is not listed.
    """
    if chemistry not in UN_NUMBERS:
        raise BadQuantity(f'"{chemistry}"', f"one of {', '.join(UN_NUMBERS)}", "chemistry")
    return UN_NUMBERS[chemistry][in_equipment]


def capacitor_watt_hours(farads: float, upper: float, lower: float = 0.0) -> float:
    """Energy of a capacitor in Wh between two voltages: C (U1^2 - U2^2) / 7200 (F, V).

    Source: special provision 372. Raises BadQuantity where a number is not above 0 (the lower may be 0), or the upper
    voltage is not above the lower.
    """
    above_zero(farads, "capacitance, F")
    above_zero(upper, "upper voltage, V")
    at_least_zero(lower, "lower voltage, V")
    if lower >= upper:
        raise BadQuantity(f"{lower:g} V", f"below the upper voltage of {upper:g} V", "lower voltage")
    return farads * (upper**2 - lower**2) / 7200.0
