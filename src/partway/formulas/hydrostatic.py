"""Density of a piece from its weight in air and hanging in water."""

from __future__ import annotations

import math

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, within
from partway.formulas.water import AIR
from partway.formulas.weighing import reading_uncertainty

LEAST_LOSS = 5  # divisions: below, the loss is read too coarsely for the propagation to hold
AIR_UNCERTAINTY = 0.00006  # g/cm3: weather and height within a tenth, as a rectangle (from memory)


def hydrostatic_density(air_g: float, water_g: float, water: float, air: float = AIR) -> float:
    """Density in g/cm3 of a piece that reads `air_g` in air and `water_g` hanging in water (both in g).

    rho = (A water - B air) / (A - B), the densities of water and air in g/cm3: Archimedes, with the buoyancy of air.
    The scale's own buoyancy correction is the same factor in both readings and drops out. Raises BadQuantity where the
    piece does not sink (B not above 0) or loses nothing, or a density is not above 0; `air` may be 0.
    """
    _check(air_g, water_g, water, air)
    return (air_g * water - water_g * air) / (air_g - water_g)


def density_uncertainty(
    air_g: float, water_g: float, water: float, water_uncertainty: float, division: float, air: float = AIR
) -> float:
    """Standard uncertainty of `hydrostatic_density`, g/cm3, from the division (g) and that of the water's density.

    First-order propagation (JCGM 100, clause 5.1.2): d rho/dA = -B (water - air) / (A - B)2, d rho/dB = A (water - air)
    / (A - B)2, d rho/d water = A / (A - B), d rho/d air = -B / (A - B); each reading d / sqrt(6). Raises BadQuantity as
    the density, and where the piece loses fewer than 5 divisions.
    """
    _check(air_g, water_g, water, air)
    at_least_zero(water_uncertainty, "uncertainty of the water's density, g/cm3")
    reading, loss = reading_uncertainty(division), air_g - water_g
    if loss < LEAST_LOSS * division * (1.0 - 1e-9):
        expected = f"at least 5 divisions, {LEAST_LOSS * division:g} g: a larger piece or a finer scale"
        raise BadQuantity(f"{loss:.4g} g", expected, "loss in water")
    scale = reading * (water - air) / loss**2 * math.hypot(air_g, water_g)
    return math.hypot(scale, water_uncertainty * air_g / loss, AIR_UNCERTAINTY * water_g / loss)


def thread_correction_g(thread_mm: float, under_mm: float, water: float, air: float = AIR) -> float:
    """What a thread, tared in air, takes off the reading in water, in g: its volume under water x (water - air).

    `thread_mm` is its diameter, `under_mm` the length under water. Add it to the reading in water. Raises BadQuantity
    for a thread that is not above 0 and up to 5 mm thick, or a length below 0.
    """
    above_zero(thread_mm, "thread diameter, mm")
    within(thread_mm, 0.0, 5.0, "thread diameter, mm")
    at_least_zero(under_mm, "thread under water, mm")
    return math.pi / 4.0 * thread_mm**2 * under_mm / 1000.0 * (water - air)


def hanging_g(air_g: float, gain_g: float) -> float:
    """Reading a piece would have hanging, g, where instead a vessel of water on the scale gains `gain_g` as it goes in.

    What the piece loses the vessel gains, so B = A - gain. Raises BadQuantity for a gain that is not above 0 or not
    below the reading in air: a piece that floats.
    """
    above_zero(air_g, "reading in air, g")
    above_zero(gain_g, "gain of the vessel, g")
    if gain_g >= air_g:
        raise BadQuantity(
            f"{gain_g:g} g", f"less than the {air_g:g} g in air: the piece has to sink", "gain of the vessel"
        )
    return air_g - gain_g


def _check(air_g: float, water_g: float, water: float, air: float) -> None:
    above_zero(air_g, "reading in air, g")
    above_zero(water, "density of water, g/cm3")
    at_least_zero(air, "density of air, g/cm3")
    if not (math.isfinite(water_g) and 0.0 < water_g < air_g):
        expected = f"above 0 and less than the {air_g:g} g in air: the piece has to sink and to hang free"
        raise BadQuantity(f"{water_g:g} g", expected, "reading in water")
