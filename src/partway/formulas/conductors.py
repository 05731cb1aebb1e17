"""Conductors by their mm2 sizes and by their strands: how much metal a nominal size promises, and how little it may be.

Source of sizes and resistances: IEC 60228:2004, tables 1 (class 1, solid), 2 (class 2, stranded) and 3 (class 5,
flexible), plain copper, by two cable engineers' copies of them, which agree.
"""

from __future__ import annotations

import math
from typing import Literal

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero

Build = Literal["solid", "stranded", "flexible"]

RESISTIVITY = 17.241  # ohm mm2/km of annealed copper at 20 °C: IACS, as NBS Handbook 100 has it (1.7241 microhm cm)
SIZES = (
    0.5,
    0.75,
    1.0,
    1.5,
    2.5,
    4.0,
    6.0,
    10.0,
    16.0,
    25.0,
    35.0,
    50.0,
    70.0,
    95.0,
    120.0,
    150.0,
    185.0,
    240.0,
    300.0,
)
# Most ohm/km at 20 °C of bare copper, in the order of SIZES. Class 1, class 2, class 5.
MOST_OHM: dict[Build, tuple[float, ...]] = {
    "solid": (36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08, 1.83, 1.15, 0.727, 0.524, 0.387, 0.268, 0.193, 0.153, 0.124,
              0.101, 0.0775, 0.0620),
    "stranded": (36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08, 1.83, 1.15, 0.727, 0.524, 0.387, 0.268, 0.193, 0.153, 0.124,
                 0.0991, 0.0754, 0.0601),
    "flexible": (39.0, 26.0, 19.5, 13.3, 7.98, 4.95, 3.30, 1.91, 1.21, 0.780, 0.554, 0.386, 0.272, 0.206, 0.161, 0.129,
                 0.106, 0.0801, 0.0641),
}  # fmt: skip
GAUGE_LEAST = 0.98  # least share of a gauge's area: from memory of ASTM B8 and of B258's 1 % on the diameter


def most_ohm_per_km(nominal_mm2: float, build: Build) -> float:
    """Highest resistance of a plain copper conductor of a nominal size, at 20 °C.

    Takes: nominal_mm2, nominal cross-section, mm2; build, solid, stranded or flexible.
    Gives: ohm/km.
    Valid: the sizes of the series from 0.5 to 300 mm2; BadQuantity for another, naming the nearest two.
    Source: IEC 60228:2004, table 1, 2 or 3 for class 1, 2 or 5.

    >>> most_ohm_per_km(0.75, "flexible")
    26.0
    """
    if nominal_mm2 not in SIZES:
        nearest = sorted(sorted(SIZES, key=lambda size: abs(size - nominal_mm2))[:2])
        expected = f"a size of IEC 60228 from 0.5 to 300 mm2, such as {nearest[0]:g} or {nearest[1]:g}"
        raise BadQuantity(f"{nominal_mm2:g} mm2", expected, "nominal cross-section")
    return MOST_OHM[build][SIZES.index(nominal_mm2)]


def least_area_mm2(nominal_mm2: float, build: Build) -> float:
    """Least metal that a conductor of a nominal size may have: A = 17.241 / R.

    Makers draw to resistance, so the nominal size is an upper bound.

    Takes: nominal_mm2, nominal cross-section, mm2; build, solid, stranded or flexible.
    Gives: mm2 of copper.
    Valid: as `most_ohm_per_km`; annealed copper of 100 % IACS.
    Source: R from IEC 60228:2004; 17.241 ohm mm2/km from NBS Handbook 100, Copper Wire Tables, 1966.

    >>> round(least_area_mm2(2.5, "solid"), 3)
    2.327
    """
    return RESISTIVITY / most_ohm_per_km(nominal_mm2, build)


def strands_mm2(strands: int, strand_mm: float) -> float:
    """Metal of a stranded conductor: A = n pi d^2 / 4; the twist makes a metre of wire hold a few per cent more.

    Takes: strands, how many; strand_mm, diameter of one, mm.
    Gives: mm2.
    Valid: 1 to 10,000 round strands, diameter above 0.
    Source: geometry. The few per cent of the twist: from memory.

    >>> round(strands_mm2(30, 0.25), 3)
    1.473
    """
    above_zero(strand_mm, "strand diameter, mm")
    if not 1 <= strands <= 10_000:
        raise BadQuantity(f"{strands}", "1 to 10,000 strands", "strands")
    return strands * math.pi / 4.0 * strand_mm**2


def ohm_per_km(area_mm2: float) -> float:
    """Resistance of a copper conductor at 20 °C: R = 17.241 / A.

    Takes: area_mm2, metal cross-section, mm2.
    Gives: ohm/km.
    Valid: area above 0; annealed copper of 100 % IACS, direct current.
    Source: NBS Handbook 100, Copper Wire Tables, 1966 (1.7241 microhm cm).

    >>> round(ohm_per_km(2.081), 3)
    8.285
    """
    above_zero(area_mm2, "conductor cross-section, mm2")
    return RESISTIVITY / area_mm2
