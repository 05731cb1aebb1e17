"""Emissions that recycling spares, by the factors of one set."""

from __future__ import annotations

from partway.formulas.checked import at_least_zero, finite


def avoided(mass_kg: float, recycled: float, landfill: float = 0.0) -> float:
    """Emissions that recycling a mass spares: m (l - r), below zero where it causes more.

    Takes: mass_kg, what is recycled, kg; recycled (r) and landfill (l), what a kilogram causes, kg CO2e/kg, of ONE set.
    Gives: kg CO2e.
    Valid: within one factor set; two sets draw the line around different things, and nothing of both may be added.
    Source: US EPA, documentation of the Waste Reduction Model: a pathway less its baseline. With l = 0 it is "primary
    less closed loop" of the UK government's conversion factors.

    >>> round(avoided(907.18474, -4.489 / 0.90718474, 0.0203 / 0.90718474), 1)
    4509.3
    """
    at_least_zero(mass_kg, "mass, kg")
    finite(recycled, "recycled, kg CO2e/kg")
    finite(landfill, "landfill, kg CO2e/kg")
    return mass_kg * (landfill - recycled)
