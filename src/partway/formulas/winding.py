"""Motors and transformers: open or leave, and whether a coil is copper or aluminium."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero, at_least_zero, finite, within

# g/cm3 and ohm mm2/m at 20 °C. Copper: NBS Handbook 100. Aluminium: IEC 60889, hard-drawn wire (from memory).
DENSITY = {"copper": 8.89, "aluminium": 2.703}
RESISTIVITY = {"copper": 0.017241, "aluminium": 0.028264}
CLOSE = (
    0.15  # enamel, heat and a rule read to a tenth of a millimetre: how far a coil wire's figures stray (from memory)
)


@dataclass(frozen=True, slots=True)
class Wound:
    """A motor or transformer: kg, shares of copper and iron (the rest is residue), minutes, prices per kg, wage."""

    mass: float
    copper_share: float
    iron_share: float
    minutes: float
    sealed: float
    copper: float
    iron: float
    wage: float

    def __post_init__(self) -> None:
        """Refuses shares outside 0 to 1 or of more than the whole, a mass not above 0, minutes or a wage below 0."""
        above_zero(self.mass, "mass, kg")
        above_zero(self.copper_share, "copper share")
        within(self.copper_share, 0.0, 1.0, "copper share")
        within(self.iron_share, 0.0, 1.0 - self.copper_share, "iron share")
        at_least_zero(self.minutes, "minutes")
        at_least_zero(self.wage, "wage")
        for price, what in (
            (self.sealed, "price as it is"),
            (self.copper, "price of copper"),
            (self.iron, "price of iron"),
        ):
            finite(price, what)


def gain_of_opening(it: Wound) -> float:
    """Money for opening one rather than selling it as it is: m (c copper + f iron - sealed) - wage minutes/60."""
    inside = it.copper_share * it.copper + it.iron_share * it.iron
    return it.mass * (inside - it.sealed) - it.wage * it.minutes / 60.0


def break_even_copper(it: Wound) -> float:
    """Price of a kg of its copper from which opening pays, all else as it is."""
    return it.copper - gain_of_opening(it) / (it.mass * it.copper_share)


def break_even_sealed(it: Wound) -> float:
    """Price of a kg as it is up to which opening pays, all else as it is."""
    return it.sealed + gain_of_opening(it) / it.mass


def break_even_wage(it: Wound) -> float | None:
    """What an hour of opening brings, wage not taken off; None where it takes no time. Below 0: it never pays."""
    return None if it.minutes == 0.0 else it.wage + gain_of_opening(it) * 60.0 / it.minutes


def break_even_minutes(it: Wound) -> float | None:
    """Most minutes at which opening pays; None where an hour costs nothing. Below 0: it never pays."""
    return None if it.wage == 0.0 else it.minutes + gain_of_opening(it) * 60.0 / it.wage


def wire_density(mass_g: float, diameter_mm: float, length_m: float) -> float:
    """Density in g/cm3 of bare round wire: mass / (pi d2/4 length). Raises BadQuantity where one is not above 0."""
    above_zero(mass_g, "mass of the wire, g")
    above_zero(diameter_mm, "wire diameter, mm")
    above_zero(length_m, "length of the wire, m")
    return mass_g / (math.pi / 4.0 * diameter_mm**2 * length_m)


def wire_resistivity(ohms: float, diameter_mm: float, length_m: float) -> float:
    """Resistivity of round wire, ohm mm2/m: R pi d2/4 / length. Raises BadQuantity where one is not above 0."""
    above_zero(ohms, "resistance, ohm")
    above_zero(diameter_mm, "wire diameter, mm")
    above_zero(length_m, "length of the wire, m")
    return ohms * math.pi / 4.0 * diameter_mm**2 / length_m


def coil_mass_g(metal: str, ohms: float, diameter_mm: float) -> float:
    """Mass in g of a coil of one wire of a metal, never unwound: density R A2 / resistivity, A = pi d2/4.

    Copper's is 5.4 times aluminium's, so a coil weighed loose tells them apart. Winding at 20 °C, disconnected. Raises
    BadQuantity for another metal, or a number that is not above 0.
    """
    if metal not in DENSITY:
        raise BadQuantity(f'"{metal}"', "copper or aluminium", "metal")
    above_zero(ohms, "resistance, ohm")
    above_zero(diameter_mm, "wire diameter, mm")
    area = math.pi / 4.0 * diameter_mm**2
    return DENSITY[metal] * ohms * area**2 / RESISTIVITY[metal]


def coil_metal(mass_g: float, ohms: float, diameter_mm: float) -> str | None:
    """Copper or aluminium, whichever a loose coil weighs as much as, within twice the area's error; else None.

    None is an answer of its own: parallel wires, a tapped winding, copper-clad aluminium. Raises BadQuantity as
    `coil_mass_g`.
    """
    above_zero(mass_g, "mass of the coil, g")
    for metal in DENSITY:
        if abs(math.log(mass_g / coil_mass_g(metal, ohms, diameter_mm))) <= math.log1p(2.0 * CLOSE):
            return metal
    return None


def wire_metal(density: float) -> str | None:
    """Copper or aluminium by the density of a wire (g/cm3), within 15 %; None for neither, such as clad wire."""
    above_zero(density, "density, g/cm3")
    return next((metal for metal, known in DENSITY.items() if abs(density / known - 1.0) <= CLOSE), None)
