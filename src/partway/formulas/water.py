"""Water and air as they weigh at the bench."""

from __future__ import annotations

from partway.formulas.checked import at_least_zero, within

AIR = 0.0012  # g/cm3: the conventional 1.2 kg/m3 of OIML D 28; weather and height move it by a tenth
COLDEST, WARMEST = 0.0, 40.0  # °C, where the equation below holds


def water_density(celsius: float) -> float:
    """Density of clean, air-free water at 101.325 kPa, in g/cm3, from its temperature in °C.

    rho = a5 (1 - (t + a1)2 (t + a2) / (a3 (t + a4))). Source: Tanaka and others, "Recommended table for the density of
    water between 0 °C and 40 °C", Metrologia 38, 2001, 301-309. Raises BadQuantity outside 0 to 40 °C. Tap water is
    heavier by up to about 0.0005 g/cm3 (from memory).
    """
    within(celsius, COLDEST, WARMEST, "water temperature, °C")
    t = celsius
    return 0.999974950 * (1.0 - (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881)))


def water_density_uncertainty(celsius: float, celsius_uncertainty: float) -> float:
    """Standard uncertainty of the water's density, g/cm3, from that of its temperature in °C.

    The larger of the changes over one standard uncertainty up and down, so that it does not vanish at 4 °C. The ends of
    0 to 40 °C count as reached. Raises BadQuantity as `water_density`, and for an uncertainty below 0.
    """
    at_least_zero(celsius_uncertainty, "uncertainty of the temperature, °C")
    here = water_density(celsius)
    ends = (max(COLDEST, celsius - celsius_uncertainty), min(WARMEST, celsius + celsius_uncertainty))
    return max(abs(water_density(end) - here) for end in ends)
