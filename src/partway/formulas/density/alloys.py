"""Densities of what is found in scrap, as ranges: a measured density leaves some and rules out the others.

From memory unless marked; `published` ranges hold a data sheet's value (C26000 brass 8.53, zinc AG40A 6.6) or that of
the elements in two open packages. No alloy is computed from its elements: mixing by volume puts cartridge brass 2.5 %
too light (8.32 for 8.53), more than the scale's error, because the metals shrink as they alloy.
"""

from __future__ import annotations

from dataclasses import dataclass

from partway.formulas.checked import above_zero

COVER = 2.0  # standard uncertainties: 95 of 100


@dataclass(frozen=True, slots=True)
class Alloy:
    """A material and the densities it is met with, g/cm3."""

    id: str
    name: str
    low: float
    high: float
    source: str = "memory"


ALLOYS = (
    Alloy("plastic", "plastic that sinks", 1.0, 1.6),
    Alloy("magnesium", "magnesium alloy", 1.74, 1.83),
    Alloy("aluminium", "aluminium, sheet or extrusion", 2.66, 2.80),
    Alloy("aluminium-cast", "cast aluminium", 2.63, 2.85),
    Alloy("copper-clad-aluminium", "copper-clad aluminium", 3.2, 4.1),
    Alloy("titanium", "titanium", 4.42, 4.55),
    Alloy("ferrite", "ferrite magnet", 4.7, 5.1),
    Alloy("zinc-die-cast", "zinc die-cast", 6.55, 6.75, "published"),
    Alloy("cast-iron", "grey cast iron", 6.9, 7.35),
    Alloy("zinc", "zinc", 7.10, 7.15, "published"),
    Alloy("tin", "tin or pewter", 7.25, 7.50),
    Alloy("stainless-430", "stainless 430", 7.65, 7.80),
    Alloy("stainless-200", "stainless, 200 series", 7.75, 7.85),
    Alloy("steel", "mild steel", 7.75, 7.88),
    Alloy("stainless-304", "stainless 304", 7.90, 8.03),
    Alloy("stainless-316", "stainless 316", 7.95, 8.03),
    Alloy("copper-clad-steel", "copper-clad steel", 7.95, 8.35),
    Alloy("brass-yellow", "yellow brass", 8.38, 8.55, "published"),
    Alloy("nickel-silver", "nickel silver", 8.55, 8.80),
    Alloy("brass-red", "red brass", 8.65, 8.83),
    Alloy("bronze", "bronze", 8.70, 8.90),
    Alloy("nickel", "nickel", 8.85, 8.91, "published"),
    Alloy("copper", "copper", 8.89, 8.96, "published"),
    Alloy("silver-alloyed", "silver with copper in it", 10.25, 10.45),
    Alloy("silver", "silver", 10.45, 10.50, "published"),
    Alloy("lead", "lead, hard to soft", 10.8, 11.35, "published"),
    Alloy("carbide", "tungsten carbide", 13.5, 15.1),
    Alloy("gold-alloyed", "gold alloy", 11.0, 18.5),
    Alloy("gold", "gold", 19.2, 19.33, "published"),
)


def alloys_left(density: float, uncertainty: float) -> tuple[Alloy, ...]:
    """Materials whose range reaches into density ± 2 uncertainties, the nearest middle first.

    What is left is possible, not found: a hollow, plated or mixed piece has a density of its own.

    Takes: density, g/cm3; uncertainty, its standard uncertainty, g/cm3.
    Gives: rows of ALLOYS, densities in g/cm3.
    Valid: both numbers above 0; a solid piece of one material near 20 °C.
    Source: each row's `source`; the factor 2 for 95 of 100 cases: JCGM 100:2008, clause 6.3.3.

    >>> [alloy.id for alloy in alloys_left(8.9, 0.005)]
    ['nickel', 'copper', 'bronze']
    """
    above_zero(density, "density, g/cm3")
    above_zero(uncertainty, "uncertainty, g/cm3")
    low, high = density - COVER * uncertainty, density + COVER * uncertainty
    left = [alloy for alloy in ALLOYS if alloy.low <= high and alloy.high >= low]
    return tuple(sorted(left, key=lambda alloy: abs((alloy.low + alloy.high) / 2.0 - density)))
