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
    """Diameter of a solid conductor of an American wire gauge: d = 5 x 92^((36 - gauge) / 39) mil.

    Takes: gauge, a whole number; 1/0 to 4/0 are 0 to -3.
    Gives: mm.
    Valid: -3 (4/0) to 40.
    Source: ASTM B258, the ratio of its clause on nominal diameters (clause and edition from memory: B258-18, clause
    4).

    >>> round(awg_diameter_mm(14), 3)
    1.628
    """
    if isinstance(gauge, bool) or not isinstance(gauge, int) or not THICKEST <= gauge <= FINEST:
        raise BadQuantity(f"{gauge!r}", f"a whole number from {THICKEST} (4/0) to {FINEST}", "wire gauge (AWG)")
    mils: float = 5.0 * 92.0 ** ((36 - gauge) / 39)
    return mils * MM_PER_MIL


def solid_area_mm2(gauge: int) -> float:
    """Cross-section of a solid conductor of a gauge: A = pi d^2 / 4.

    Takes: gauge, as `awg_diameter_mm`.
    Gives: mm2.
    Valid: as `awg_diameter_mm`.
    Source: ASTM B258, and geometry.

    >>> round(solid_area_mm2(14), 3)
    2.081
    """
    return math.pi / 4.0 * awg_diameter_mm(gauge) ** 2


def copper_g_per_m(area_mm2: float) -> float:
    """Mass of a metre of copper conductor: 8.89 A.

    A nominal cross-section is an upper bound: makers draw to resistance (IEC 60228).

    Takes: area_mm2, metal cross-section, mm2.
    Gives: g/m.
    Valid: area above 0; annealed copper at 20 °C.
    Source: NBS Handbook 100, Copper Wire Tables, 1966 (8.89 g/cm3).

    >>> round(copper_g_per_m(2.081), 2)
    18.5
    """
    above_zero(area_mm2, "conductor cross-section, mm2")
    return area_mm2 * COPPER_DENSITY


def recovery_of_insulated_wire(
    conductor_mm2: float, conductors: int, outside_mm2: float, insulation_density: float
) -> float:
    """Metal share of the mass of insulated copper wire: r = c / (c + (A - n a) rho), c = 8.89 n a.

    A balance of mass per length. Air between strands or cores counts as insulation, so the true share is a little
    higher.

    Takes: conductor_mm2 (a), metal cross-section of one conductor, mm2; conductors (n), how many; outside_mm2 (A),
    cross-section of the whole wire, mm2; insulation_density (rho), of all that is not copper, g/cm3.
    Gives: a share, above 0 and up to 1.
    Valid: all above 0; copper that fits into the outside.
    Source: geometry, with the copper of NBS Handbook 100, 1966; held against a cable maker's table in
    tests/references/test_wire.py.

    >>> round(recovery_of_insulated_wire(2.081, 3, 35.69, 1.13), 3)
    0.625
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
