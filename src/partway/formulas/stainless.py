"""What a magnet can say about a piece of steel, and what it cannot.

Shares of the pieces of a family that a magnet takes to, in %, from memory. Where several families answer alike the
magnet has said nothing about which it is; 304 bent or drawn cold turns magnetic, so a pull does not rule it out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from partway.errors import BadQuantity

Pull = Literal["strong", "weak", "none"]
PULLS: tuple[Pull, ...] = ("strong", "weak", "none")
SELDOM = 5  # %, at most: seen, but not to be counted on


@dataclass(frozen=True, slots=True)
class Family:
    """Steel of one sort: how often a magnet pulls strongly, weakly, not at all (%), and its density in g/cm3."""

    id: str
    name: str
    strong: int
    weak: int
    none: int
    density: float


FAMILIES = (
    Family("steel", "mild steel", 97, 2, 1, 7.85),
    Family("stainless-430", "stainless 430", 93, 5, 2, 7.7),
    Family("stainless-304", "stainless 304", 2, 18, 80, 7.93),
    Family("stainless-304-cold", "cold-worked stainless 304", 6, 54, 40, 7.93),
    Family("stainless-316", "stainless 316", 1, 8, 91, 7.98),
    Family("stainless-200", "200-series stainless", 3, 25, 72, 7.8),
)


def share(family: Family, pull: Pull) -> int:
    """How many of 100 pieces of a family answer a magnet so.

    Takes: family, a row of FAMILIES; pull, strong, weak or none.
    Gives: %.
    Valid: a hand magnet on a bare piece; BadQuantity for another answer than the three.
    Source: from memory, as all of FAMILIES.

    >>> share(FAMILIES[2], "none")
    80
    """
    if pull not in PULLS:
        raise BadQuantity(f'"{pull}"', "strong, weak or none", "pull of the magnet")
    return {"strong": family.strong, "weak": family.weak, "none": family.none}[pull]


def families_left(pull: Pull) -> tuple[Family, ...]:
    """Families of which more than 5 pieces in a hundred answer so, the likeliest first.

    Takes: pull, strong, weak or none.
    Gives: rows of FAMILIES, densities in g/cm3.
    Valid: as `share`.
    Source: from memory, as all of FAMILIES.

    >>> [family.id for family in families_left("strong")]
    ['steel', 'stainless-430', 'stainless-304-cold']
    """
    left = [family for family in FAMILIES if share(family, pull) > SELDOM]
    return tuple(sorted(left, key=lambda family: -share(family, pull)))


def told_apart_by_density(one: Family, other: Family, uncertainty: float) -> bool:
    """Whether a measured density parts two families: |rho1 - rho2| > 4 u, that is ± 2 u round each.

    Mild steel and 304 lie 0.08 g/cm3 apart.

    Takes: one and other, rows of FAMILIES; uncertainty, the standard uncertainty u of the density, g/cm3.
    Gives: yes or no.
    Valid: uncertainty above 0; solid pieces.
    Source: the factor 2 for 95 of 100 cases: JCGM 100:2008, clause 6.3.3; the densities from memory.

    >>> told_apart_by_density(FAMILIES[0], FAMILIES[2], 0.01), told_apart_by_density(FAMILIES[0], FAMILIES[2], 0.03)
    (True, False)
    """
    if not uncertainty > 0.0:
        raise BadQuantity(f"{uncertainty:g}", "a number above 0", "uncertainty, g/cm3")
    return abs(one.density - other.density) > 4.0 * uncertainty
