"""What lies round the copper: densities of insulation, and the cross-section of the whole wire."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partway.errors import BadQuantity
from partway.formulas.checked import above_zero


@dataclass(frozen=True, slots=True)
class Insulation:
    """A material round a conductor; densities in g/cm3."""

    name: str
    low: float
    likely: float
    high: float
    source: str = "memory"


# From memory, except house-cable: what a cable maker's table of NM-B cable with ground leaves for all that is not
# copper (PVC, nylon, paper, air), by its outside sizes and masses: 1.10 to 1.17 over 14/2, 14/3, 12/2 and 12/3.
INSULATIONS = {
    "pvc": Insulation("PVC", 1.30, 1.40, 1.50),
    "pe": Insulation("polyethylene", 0.92, 0.94, 0.96),
    "xlpe": Insulation("cross-linked polyethylene", 0.92, 0.94, 1.10),
    "rubber": Insulation("rubber", 1.20, 1.40, 1.60),
    "silicone": Insulation("silicone rubber", 1.15, 1.22, 1.40),
    "fluoropolymer": Insulation("fluoropolymer", 1.70, 2.15, 2.20),
    "halogen-free": Insulation("halogen-free compound", 1.40, 1.50, 1.60),
    "house-cable": Insulation("PVC, paper and air of sheathed house cable", 1.05, 1.13, 1.20, "published"),
}


def insulation(name: str) -> Insulation:
    """A material round a conductor, by its id.

    Takes: name, one of INSULATIONS.
    Gives: its row, densities in g/cm3.
    Valid: BadQuantity for another name, naming those there are.
    Source: each row's `source`; most are from memory.

    >>> insulation("pvc").likely
    1.4
    """
    if name not in INSULATIONS:
        raise BadQuantity(f'"{name}"', f"one of {', '.join(INSULATIONS)}", "insulation")
    return INSULATIONS[name]


def round_mm2(diameter_mm: float) -> float:
    """Cross-section of a round wire: A = pi d^2 / 4.

    Takes: diameter_mm, outside diameter, mm.
    Gives: mm2.
    Valid: diameter above 0.
    Source: geometry.

    >>> round(round_mm2(9.5), 2)
    70.88
    """
    above_zero(diameter_mm, "outside diameter, mm")
    return math.pi / 4.0 * diameter_mm**2


def flat_mm2(width_mm: float, height_mm: float) -> float:
    """Cross-section of a flat cable with round edges: A = pi h^2 / 4 + (w - h) h, h the smaller side.

    Takes: width_mm and height_mm, the outside sides in either order, mm.
    Gives: mm2.
    Valid: both above 0; edges that are half circles.
    Source: geometry.

    >>> round(flat_mm2(9.4, 4.2), 2)
    35.69
    """
    above_zero(width_mm, "outside width, mm")
    above_zero(height_mm, "outside height, mm")
    low, high = sorted((width_mm, height_mm))
    return math.pi / 4.0 * low**2 + (high - low) * low


def covered_mm(conductor_mm: float, thickness_mm: float) -> float:
    """Outside diameter of one round conductor under a layer: D = d + 2 t.

    Takes: conductor_mm, diameter of the conductor, mm; thickness_mm, thickness of the layer, mm.
    Gives: mm.
    Valid: both above 0; one conductor only: of several, measure the outside.
    Source: geometry.

    >>> round(covered_mm(1.628, 0.8), 3)
    3.228
    """
    above_zero(conductor_mm, "conductor diameter, mm")
    above_zero(thickness_mm, "insulation thickness, mm")
    return conductor_mm + 2.0 * thickness_mm
