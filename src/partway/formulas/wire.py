"""Copper wire: gauge to diameter, mass of a length, and the metal share of insulated wire."""

from __future__ import annotations

import math

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero

COPPER_DENSITY = 8.89  # g/cm3 at 20 °C, wire of annealed copper: NBS Handbook 100, "Copper Wire Tables", 1966
MM_PER_MIL = 0.0254  # exact: a mil is a thousandth of an inch
THICKEST = -3  # AWG 4/0
FINEST = 40


def awg_diameter_mm(gauge: int) -> float:
    """Diameter of a solid conductor of an American wire gauge, in mm; 1/0 to 4/0 are 0 to -3.

    d = 5 * 92 ** ((36 - gauge) / 39) mil. Source: ASTM B258. Raises BadQuantity outside -3 (4/0) to 40.
    """
    if isinstance(gauge, bool) or not isinstance(gauge, int) or not THICKEST <= gauge <= FINEST:
        raise BadQuantity(f"{gauge!r}", f"a whole number from {THICKEST} (4/0) to {FINEST}", "wire gauge (AWG)")
    mils: float = 5.0 * 92.0 ** ((36 - gauge) / 39)
    return mils * MM_PER_MIL


def solid_area_mm2(gauge: int) -> float:
    """Cross-section of a solid conductor of a gauge, in mm2. Raises BadQuantity as awg_diameter_mm does."""
    return math.pi / 4.0 * awg_diameter_mm(gauge) ** 2


def copper_g_per_m(area_mm2: float) -> float:
    """Mass of a metre of copper conductor, in g, from its metal cross-section in mm2.

    A nominal cross-section is an upper bound: makers draw to resistance (IEC 60228). Raises BadQuantity
    for an area that is not above 0.
    """
    above_zero(area_mm2, "conductor cross-section, mm2")
    return area_mm2 * COPPER_DENSITY


def recovery_of_insulated_wire(
    conductor_mm2: float, conductors: int, outside_mm2: float, insulation_density: float
) -> float:
    """Metal share of the mass (0 to 1) of insulated copper wire.

    `conductor_mm2` is the metal cross-section of one conductor, `outside_mm2` that of the whole wire,
    `insulation_density` in g/cm3 is that of all that is not copper. A mass balance per length; air between
    strands or cores counts as insulation, so the true share is a little higher. Raises BadQuantity where an
    area or the density is not above 0, or the copper does not fit.
    """
    above_zero(conductor_mm2, "conductor cross-section, mm2")
    above_zero(conductors, "conductors")
    above_zero(outside_mm2, "outside cross-section, mm2")
    above_zero(insulation_density, "density of the insulation, g/cm3")
    metal = conductor_mm2 * conductors
    if metal > outside_mm2:
        expected = f"at least the {metal:g} mm2 of copper inside"
        raise BadQuantity(f"{outside_mm2:g} mm2", expected, "outside cross-section, mm2")
    copper = metal * COPPER_DENSITY
    return copper / (copper + (outside_mm2 - metal) * insulation_density)
