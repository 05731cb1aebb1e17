"""What went on to be used again or recycled, and what that spares by the factors of one set.

Masses are those of `valuing.ends.diverted`, which says what is kept out of the landfill. Only what recyclers
took is counted as sparing emissions: no set here says what a part or a machine that works on spares.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass

from partway.catalogue.factors import FactorSet
from partway.formulas.emissions import avoided
from partway.ledger.balance.sheet import sort_of
from partway.ledger.fold.period import Moved
from partway.quantities import MG_PER_KG
from partway.valuing.ends.diverted import Ends, ends_of

KG = 1.0 / MG_PER_KG
BURIED = "buried"  # the setting: the share of what is taken that would else have gone to the landfill


@dataclass(frozen=True, slots=True)
class Spared:
    """A category of the set: what recyclers took of it, and kg CO2e spared; `grades` are those that came."""

    category: str
    name: str
    mg: int
    kg_co2e: float
    grades: tuple[str, ...]
    proxy: str


@dataclass(frozen=True, slots=True)
class CarefulPieces:
    """Pieces of a grade that can hurt: how many were taken out of finds by the piece, and what buyers took of it."""

    grade: str
    pieces: int
    out_mg: int
    handed_mg: int


@dataclass(frozen=True, slots=True)
class Impact:
    """A stretch: where its mass ended, what is spared by the set, what the set has no category for.

    `took` has the milligrams that recyclers took and `unmapped` those of it that the set has no category for, heaviest
    first, by grade (what has none by its kind, "find:..."); `buried` is the share of what is taken that would else have
    gone to the landfill, None where nobody said so.
    """

    factors: FactorSet
    ends: Ends
    took: Mapping[str, int]
    spared: tuple[Spared, ...]
    unmapped: tuple[tuple[str, int], ...]
    careful: tuple[CarefulPieces, ...]
    buried: float | None

    @property
    def kg_co2e(self) -> float:
        """Spared by all that recyclers took and the set has a category for: all that was handled."""
        return sum(line.kg_co2e for line in self.spared)

    @property
    def additional(self) -> float | None:
        """That which is spared because you took it: the share that would else have been buried. None: not known."""
        return None if self.buried is None else self.kg_co2e * self.buried

    @property
    def mapped_mg(self) -> int:
        """What recyclers took that the set has a category for."""
        return sum(line.mg for line in self.spared)

    @property
    def unmapped_mg(self) -> int:
        """What recyclers took that it has none for: it is counted nowhere."""
        return sum(mg for _, mg in self.unmapped)


Pieces = Mapping[str, tuple[int, int]]  # by grade: how many pieces came out of finds, and their milligrams


def impact_of(
    moved: Moved,
    tips: Collection[str],
    stock: int,
    factors: FactorSet,
    careful: Pieces,
    buried: float | None = None,
) -> Impact:
    """The figures of a stretch; `stock` in mg at its end, `careful` the pieces of grades that can hurt."""
    took = recycled_by_grade(moved, tips)
    by_category: dict[str, Counter[str]] = {}
    for grade, mg in took.items():
        by_category.setdefault(factors.of.get(grade, ""), Counter())[grade] = mg
    unmapped = by_category.pop("", Counter[str]())
    return Impact(
        factors,
        ends_of(moved, tips, stock),
        took,
        tuple(sorted(_spared(factors, by_category), key=lambda line: (-abs(line.kg_co2e), line.category))),
        tuple(unmapped.most_common()),
        tuple(CarefulPieces(grade, *careful[grade], took.get(grade, 0)) for grade in sorted(careful)),
        buried,
    )


def _spared(factors: FactorSet, by_category: Mapping[str, Counter[str]]) -> Iterable[Spared]:
    for category, grades in by_category.items():
        factor, mg = factors.factors[category], grades.total()
        # what came back from a buyer may outweigh what went there in a stretch: then it was spared before
        kg_co2e = avoided(abs(mg) * KG, factor.recycled, factors.landfill) * (1 if mg >= 0 else -1)
        yield Spared(category, factor.name, mg, kg_co2e, tuple(sorted(grades)), factor.proxy)


def recycled_by_grade(moved: Moved, tips: Collection[str]) -> dict[str, int]:
    """Milligrams that buyers other than tips took, net of what came back, by grade; without one by where it was."""
    net: Counter[str] = Counter()
    for (source, target, grade), mg in moved.items():
        if sort_of(source, grade, tips) == "buyer":
            net[grade or target] -= mg
        if sort_of(target, grade, tips) == "buyer":
            net[grade or source] += mg
    return {grade: mg for grade, mg in net.items() if mg}


def careful_pieces(opened: Iterable[tuple[str, int, int]], hurts: Callable[[str], bool]) -> dict[str, tuple[int, int]]:
    """The pieces of grades that can hurt, added up, of (grade, pieces, milligrams) that came out of finds."""
    sums: dict[str, tuple[int, int]] = {}
    for grade, pieces, mg in opened:
        if hurts(grade):
            count, mass = sums.get(grade, (0, 0))
            sums[grade] = (count + pieces, mass + mg)
    return sums
