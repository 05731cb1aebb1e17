"""Water and air as they weigh at the bench."""

from __future__ import annotations

from partway.formulas.checked import at_least_zero, within

AIR = 0.0012  # g/cm3: the conventional 1.2 kg/m3 of OIML D 28; weather and height move it by a tenth
COLDEST, WARMEST = 0.0, 40.0  # °C, where the equation below holds


def water_density(celsius: float) -> float:
    """Density of clean, air-free water at 101.325 kPa: rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4))).

    Takes: celsius, temperature, °C.
    Gives: g/cm3.
    Valid: 0 to 40 °C. Tap water is heavier by up to about 0.0005 g/cm3 (from memory).
    Source: Tanaka and others, "Recommended table for the density of water between 0 °C and 40 °C based on recent
    experimental reports", Metrologia 38, 2001, 301-309; a1 to a5 as three open programs have them.

    >>> round(water_density(20.0), 5)
    0.99821
    """
    within(celsius, COLDEST, WARMEST, "water temperature, °C")
    t = celsius
    return 0.999974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


def water_density_uncertainty(celsius: float, celsius_uncertainty: float) -> float:
    """Standard uncertainty of the water's density from that of its temperature.

    The larger of the changes over one standard uncertainty up and down, so that it does not vanish at 4 °C; the ends
    of 0 to 40 °C count as reached.

    Takes: celsius, temperature, °C; celsius_uncertainty, its standard uncertainty, °C.
    Gives: g/cm3, one standard uncertainty.
    Valid: as `water_density`; uncertainty of at least 0.
    Source: `water_density`, differences in place of a derivative (JCGM 100:2008, clause 5.1.3, note 2, from memory).

    >>> round(water_density_uncertainty(20.0, 1.0), 5)
    0.00021
    """
    at_least_zero(celsius_uncertainty, "uncertainty of the temperature, °C")
    here = water_density(celsius)
    ends = (max(COLDEST, celsius - celsius_uncertainty), min(WARMEST, celsius + celsius_uncertainty))
    return max(abs(water_density(end) - here) for end in ends)
