"""Energy of a battery or a capacitor pack, and where the rules of transport draw their lines.

Source: ADR 2025 and IMDG Code, chapter 3.3, special provisions 188 (small cells and batteries), 376 (damaged), 377
and 636 (recycling), 361 and 372 (capacitors). By road and by sea; transport by air is under other rules and not
covered.
"""

from __future__ import annotations

from typing import Literal

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, within

Chemistry = Literal[
    "li-ion", "li-metal", "lead-acid", "lead-sealed", "nicd-sealed", "nicd-vented", "nimh", "alkaline"
]  # fmt: skip
LITHIUM = ("li-ion", "li-metal")

SMALL_CELL_WH, SMALL_BATTERY_WH = 20.0, 100.0  # SP 188, lithium ion
SMALL_CELL_G, SMALL_BATTERY_G = 1.0, 2.0  # SP 188, grams of lithium metal
SMALL_PACKAGE_KG = 30.0  # SP 188, gross
CAPACITOR_WH = 0.3  # SP 361 and 372: at or below, not subject

# (by itself, in or with equipment); None: no number of its own by road. Nickel-cadmium: vented cells with filler caps
# are "wet, filled with alkali"; a larger one that cannot spill is UN 2800 until it passes special provision 238; sealed
# cells are dry batteries (read on 2026-11-29: a battery trade's guide to ADR and the US rules, 2024, and 49 CFR
# 172.102, special provision 130, which leaves dry sealed batteries free but for their terminals and heat).
UN_NUMBERS: dict[Chemistry, tuple[int | None, int | None]] = {
    "li-ion": (3480, 3481),
    "li-metal": (3090, 3091),
    "lead-acid": (2794, 2794),
    "lead-sealed": (2800, 2800),
    "nicd-sealed": (None, None),
    "nicd-vented": (2795, 2795),
    "nimh": (None, None),
    "alkaline": (None, None),
}


def watt_hours(volts: float, amp_hours: float) -> float:
    """Energy of a battery: E = V Q.

    Takes: volts, nominal voltage, V; amp_hours, rated capacity, Ah.
    Gives: Wh.
    Valid: above 0, up to 1500 V and 10,000 Ah (beyond, something was misread).
    Source: the definition of the watt-hour rating in ADR 2025, special provision 188 (its wording from memory).

    >>> watt_hours(36.0, 10.0)
    360.0
    """
    above_zero(volts, "voltage, V")
    above_zero(amp_hours, "capacity, Ah")
    within(volts, 0.0, 1500.0, "voltage, V")
    within(amp_hours, 0.0, 10_000.0, "capacity, Ah")
    return volts * amp_hours


def is_small_ion(wh: float, *, cell: bool) -> bool:
    """Whether a lithium-ion cell or battery is small: at most 20 Wh a cell, 100 Wh a battery.

    Takes: wh, energy, Wh; cell, whether it is one cell rather than a battery of several.
    Gives: yes or no.
    Valid: energy above 0; road and sea. Damaged ones are under special provision 376, whatever they hold.
    Source: ADR 2025 and IMDG Code, chapter 3.3, special provision 188 (a) and (b).

    >>> is_small_ion(100.0, cell=False), is_small_ion(100.1, cell=False), is_small_ion(21.0, cell=True)
    (True, False, False)
    """
    above_zero(wh, "energy, Wh")
    return wh <= (SMALL_CELL_WH if cell else SMALL_BATTERY_WH)


def is_small_metal(lithium_g: float, *, cell: bool) -> bool:
    """Whether a lithium-metal cell or battery is small: at most 1 g of lithium a cell, 2 g a battery.

    Takes: lithium_g, lithium in it, g; cell, whether it is one cell rather than a battery of several.
    Gives: yes or no.
    Valid: lithium above 0; road and sea.
    Source: ADR 2025 and IMDG Code, chapter 3.3, special provision 188 (a) and (b).

    >>> is_small_metal(2.0, cell=False), is_small_metal(2.0, cell=True)
    (True, False)
    """
    above_zero(lithium_g, "lithium, g")
    return lithium_g <= (SMALL_CELL_G if cell else SMALL_BATTERY_G)


def small_in_package(mass_kg: float) -> int:
    """How many small batteries fit one package: floor(30 kg / mass), the box itself not counted.

    Takes: mass_kg, mass of one battery, kg.
    Gives: a count, at least 1.
    Valid: mass above 0, up to 30 kg.
    Source: ADR 2025 and IMDG Code, chapter 3.3, special provision 188: 30 kg gross a package.

    >>> small_in_package(0.7)
    42
    """
    above_zero(mass_kg, "mass of one battery, kg")
    within(mass_kg, 0.0, SMALL_PACKAGE_KG, "mass of one battery, kg")
    return int(SMALL_PACKAGE_KG / mass_kg * (1.0 + 1e-12))


def un_number(chemistry: Chemistry, *, in_equipment: bool) -> int | None:
    """UN number by road; None for dry cells and nickel-metal hydride, which have none there.

    By sea nickel-metal hydride is UN 3496.

    Takes: chemistry, one of UN_NUMBERS; in_equipment, built into a device or packed with it.
    Gives: a UN number, or None.
    Valid: road; batteries that are sold as such. BadQuantity for a chemistry that is not listed.
    Source: ADR 2025, chapter 3.2, table A; the sea's number: IMDG Code, chapter 3.2; sealed nickel-cadmium:
    49 CFR 172.102, special provision 130.

    >>> un_number("li-ion", in_equipment=False), un_number("li-ion", in_equipment=True)
    (3480, 3481)
    """
    if chemistry not in UN_NUMBERS:
        raise BadQuantity(f'"{chemistry}"', f"one of {', '.join(UN_NUMBERS)}", "chemistry")
    return UN_NUMBERS[chemistry][in_equipment]


def capacitor_watt_hours(farads: float, upper: float, lower: float = 0.0) -> float:
    """Energy of a capacitor between two voltages: E = C (U1^2 - U2^2) / 7200.

    Takes: farads, capacitance, F; upper and lower, rated and least voltage of use, V.
    Gives: Wh.
    Valid: capacitance and upper voltage above 0; lower from 0 to below the upper.
    Source: ADR 2025 and IMDG Code, chapter 3.3, special provision 372.

    >>> round(capacitor_watt_hours(3000.0, 2.7), 4)
    3.0375
    """
    above_zero(farads, "capacitance, F")
    above_zero(upper, "upper voltage, V")
    at_least_zero(lower, "lower voltage, V")
    if lower >= upper:
        raise BadQuantity(f"{lower:g} V", f"below the upper voltage of {upper:g} V", "lower voltage")
    return farads * (upper**2 - lower**2) / 7200.0
