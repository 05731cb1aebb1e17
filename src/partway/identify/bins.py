"""BinValues a piece could go into and what each would bring, whatever the piece turns out to be.

A mixed bin is priced at its worst piece: brass among copper makes it a bin of brass. Metals whose prices do not go
together (steel among brass, aluminium among stainless) make it the best grade that both may be sold as, and where there
is none (lead among aluminium, magnesium among aluminium) the bin is worth nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from partway.identify.rates import Rates, lower_grades
from partway.things.material import Grade
from partway.things.testkey import KeyContext, Material

RESIDUE = "inert"  # the family of what nobody pays for
ASIDE = "aside"  # no bin: the piece waits and spoils nothing
KEPT_ASIDE = 0.25  # of a piece's own worth: a doubtful one may be looked at again, and some never are
SHELF = 0.005  # kg of No. 2 copper for each kg: what room costs, and what a metal no grade takes may yet bring
OTHERS = 3.0  # what lies with the piece at the least, as a multiple of it: a bin that is nearly empty will fill up
MOST_OTHERS = 10.0  # of a fuller bin a yard picks the one wrong piece out instead of paying less for all of it


@dataclass(frozen=True)
class BinValues:
    """Money by material and bin; the last bin is to set the piece aside. `best` is each material's own bin."""

    materials: tuple[str, ...]
    grades: tuple[str, ...]
    money: NDArray[np.float64]  # materials x bins
    best: tuple[str, ...]

    @property
    def perfect(self) -> NDArray[np.float64]:
        """What each material brings in its best bin."""
        top: NDArray[np.float64] = self.money.max(axis=1)
        return top


def bins_of(
    materials: Sequence[Material],
    context: KeyContext,
    grades: Mapping[str, Grade],
    rates: Rates,
    mass_kg: float,
    stock: Mapping[str, float],
) -> BinValues:
    """The bins of all materials, and setting aside.

    `stock` has what bins are known to hold, in kg. At least three times the piece's mass counts, since more will come
    into an emptier bin, and no more than ten times of any.
    """
    own = [context.grades.get(material.id, material.grades) for material in materials]
    fits = [lower_grades(grades, names) for names in own]
    names = [*sorted({name for some in own for name in some}, key=list(grades).index), ASIDE]
    money = np.zeros((len(materials), len(names)))
    for row, (mine, mine_fits) in enumerate(zip(own, fits, strict=True)):
        piece = _Piece(mine, mine_fits, grades, rates)
        for column, name in enumerate(names[:-1]):
            others = min(max(stock.get(name, 0.0), OTHERS * mass_kg), MOST_OTHERS * mass_kg)
            money[row, column] = piece.money_in(name, mass_kg, others)
    shelf = SHELF * mass_kg * rates.copper
    tops = money[:, :-1].max(axis=1)
    money[:, -1] = [_kept(top) - shelf if mine else shelf for top, mine in zip(tops, own, strict=True)]
    best = tuple(max(mine, key=rates.mean) if mine else ASIDE for mine in own)
    return BinValues(tuple(material.id for material in materials), tuple(names), money, best)


def _kept(top: float) -> float:
    return KEPT_ASIDE * top if top > 0.0 else top


@dataclass(frozen=True)
class _Piece:
    """A piece known for what it is."""

    own: tuple[str, ...]
    fits: frozenset[str]
    grades: Mapping[str, Grade]
    rates: Rates

    def money_in(self, bin_grade: str, mass_kg: float, others_kg: float) -> float:
        price = self.rates.mean(bin_grade)
        if bin_grade in self.fits:
            return mass_kg * price
        mixed = self._mixed(bin_grade, price)
        return mass_kg * mixed - others_kg * (price - mixed)

    def _mixed(self, bin_grade: str, price: float) -> float:
        """The price per kg of the bin once the piece lies in it."""
        lower = self.fits & lower_grades(self.grades, (bin_grade,))
        common = [grade for grade in lower if self.grades[grade].family != RESIDUE]
        if not common:
            return min(price, 0.0)
        if any(self.grades[bin_grade].anchor == self.grades[grade].anchor is not None for grade in self.own):
            return min(price, max(self.rates.mean(grade) for grade in self.own))
        return min(price, max(self.rates.mean(grade) for grade in common))
