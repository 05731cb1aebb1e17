"""How full a bin is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from partway.ledger.fold.standing import BinNow
from partway.quantities import MG_PER_KG
from partway.things.estimate import Estimate
from partway.things.material import Grade

NEAR = 0.8  # of a capacity (common practice, no source)


@dataclass(frozen=True, slots=True)
class Fill:
    """How full a bin is by the bulk density of its grade, which has a range: litres and shares low, likely, high.

    `holds_kg` is what fits in all, likely; `over` says that even the lowest is more than it holds.
    """

    capacity_l: float
    used_l: tuple[float, float, float]
    share: tuple[float, float, float]
    holds_kg: float
    source: str

    @property
    def near(self) -> bool:
        """Whether it is about full."""
        return self.share[1] >= NEAR

    @property
    def over(self) -> bool:
        """Whether it is down as more than it can hold."""
        return self.share[0] > 1.0

    @property
    def drawn(self) -> tuple[float, float, float]:
        """Parts of a hundred to draw: how far the likely fill reaches, where its range begins and how wide it is."""
        low, likely, high = (round(100.0 * min(1.0, share), 1) for share in self.share)
        return likely, low, round(high - low, 1)


def fill_of(one: BinNow, density: Estimate | None, source: str) -> Fill | None:
    """How full a bin is; None where its capacity, or the density of its grade, is not known."""
    if not one.capacity_l or density is None or density.low <= 0:
        return None
    capacity, kg = float(one.capacity_l), max(0, one.mg) / MG_PER_KG
    used = (kg / density.high, kg / density.likely, kg / density.low)
    share = (used[0] / capacity, used[1] / capacity, used[2] / capacity)
    return Fill(capacity, used, share, capacity * density.likely, source)


def near_full(bins: Iterable[BinNow], grades: Mapping[str, Grade]) -> Iterator[tuple[BinNow, Fill]]:
    """The bins that are about full, each with how full."""
    for one in bins:
        grade = grades.get(one.grade)
        fill = fill_of(one, grade.density, grade.source) if grade else None
        if fill is not None and fill.near:
            yield one, fill
