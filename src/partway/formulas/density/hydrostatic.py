"""Density of a piece from its weight in air and hanging in water."""

from __future__ import annotations

import math

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, within
from partway.formulas.density.water import AIR
from partway.formulas.weighing import reading_uncertainty

LEAST_LOSS = 5  # divisions: below, the loss is read too coarsely for the propagation to hold
AIR_UNCERTAINTY = 0.00006  # g/cm3: weather and height within a tenth, as a rectangle (from memory)


def hydrostatic_density(air_g: float, water_g: float, water: float, air: float = AIR) -> float:
    """Density of a piece weighed in air and hanging in water: rho = (A w - B a) / (A - B).

    A and B are the two readings, w and a the densities of water and air: Archimedes, with the buoyancy of air. The
    scale's own buoyancy correction is the same factor in both readings and drops out.

    Takes: air_g and water_g, the readings, g; water and air, densities, g/cm3.
    Gives: g/cm3.
    Valid: a piece that sinks and hangs free (0 < B < A); densities above 0, that of air may be 0.
    Source: OpenStax, College Physics, section 11.7, whose coin is the example; the term with air follows from the
    same balance.

    >>> round(hydrostatic_density(8.63, 7.8, 1.0, 0.0), 1)
    10.4
    """
    _check(air_g, water_g, water, air)
    return (air_g * water - water_g * air) / (air_g - water_g)


def density_uncertainty(
    air_g: float, water_g: float, water: float, water_uncertainty: float, division: float, air: float = AIR
) -> float:
    """Standard uncertainty of `hydrostatic_density`, by first-order propagation of its four numbers.

    d rho/dA = -B (w - a) / (A - B)^2, d rho/dB = A (w - a) / (A - B)^2, d rho/dw = A / (A - B), d rho/da = -B / (A -
    B); each reading stands for division / sqrt(6), the density of air for 0.00006 g/cm3.

    Takes: air_g, water_g and division (smallest step of the scale), g; water, water_uncertainty and air, g/cm3.
    Gives: g/cm3, one standard uncertainty.
    Valid: as the density, and a piece that loses at least 5 divisions in water: below, first order does not hold.
    Source: JCGM 100:2008 (GUM), clause 5.1.2; the readings after clause 4.3.7. The 0.00006 and the 5 divisions: from
    memory.

    >>> round(density_uncertainty(86.3, 78.0, 0.9982, 0.0002, 0.01), 4)
    0.0072
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
    """What a thread, tared in air, takes off the reading in water: pi d^2 / 4 x length x (w - a).

    Add it to the reading in water.

    Takes: thread_mm, diameter of the thread, mm; under_mm, its length under water, mm; water and air, densities,
    g/cm3.
    Gives: g.
    Valid: a thread above 0 and up to 5 mm thick that soaks up nothing; length of at least 0.
    Source: Archimedes, as `hydrostatic_density`.

    >>> round(thread_correction_g(0.3, 30.0, 0.9982), 5)
    0.00211
    """
    above_zero(thread_mm, "thread diameter, mm")
    within(thread_mm, 0.0, 5.0, "thread diameter, mm")
    at_least_zero(under_mm, "thread under water, mm")
    return math.pi / 4.0 * thread_mm**2 * under_mm / 1000.0 * (water - air)


def hanging_g(air_g: float, gain_g: float) -> float:
    """Reading a piece would have hanging, from what a vessel of water gains as it goes in: B = A - gain.

    Takes: air_g, reading in air, g; gain_g, what the vessel gains with the piece hung into it, g.
    Gives: g.
    Valid: gain above 0 and below the reading in air: a piece that sinks and does not touch the vessel.
    Source: what the water bears of the piece the scale bears of the water (Newton's third law).

    >>> round(hanging_g(8.63, 0.83), 2)
    7.8
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
