"""The bins by family of grades: what is due or worth most in sight, the others behind the family's name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from partway.reports.bins.all import BinLine, Bins

MOST = 3  # bins in sight over all families
OF_BEST = 2  # bins in sight of the family that is worth most


@dataclass(frozen=True, slots=True)
class BinFamily:
    """The bins of one family that hold something, most valuable first: those in sight, and the others.

    `value` counts what nobody takes as nothing; `unpriced` says that some of it is so.
    """

    name: str
    shown: tuple[BinLine, ...]
    folded: tuple[BinLine, ...]
    mass_kg: float
    value: float
    unpriced: bool

    @property
    def lines(self) -> tuple[BinLine, ...]:
        """All of them."""
        return (*self.shown, *self.folded)

    @property
    def due(self) -> int:
        """How many of those that are not in sight are due."""
        return sum(is_due(line) for line in self.folded)


def is_due(line: BinLine) -> bool:
    """Whether a bin asks for something: it is about full, or near a lot that is worth more."""
    return bool((line.fill and line.fill.near) or (line.next and line.next.near) or line.short)


def families_of(bins: Bins) -> tuple[BinFamily, ...]:
    """The families with anything in them, most valuable first."""
    found: dict[str, list[BinLine]] = {}
    for line in bins.lines:
        if line.mass_kg != 0:
            found.setdefault(line.family, []).append(line)
    ordered = sorted(found.items(), key=lambda one: (-_value(one[1]), one[0]))
    shown = _in_sight([lines for _, lines in ordered])
    return tuple(_family(name, lines, shown) for name, lines in ordered)


def _in_sight(families: list[list[BinLine]]) -> frozenset[str]:
    """Names of the bins in sight: those due, then the best of the first family, as far as there is room."""
    due = [line.bin for lines in families for line in lines if is_due(line)]
    best = [line.bin for line in families[0][:OF_BEST]] if families else []
    return frozenset(list(dict.fromkeys([*due, *best]))[:MOST])


def _family(name: str, lines: list[BinLine], shown: frozenset[str]) -> BinFamily:
    return BinFamily(
        name=name,
        shown=tuple(line for line in lines if line.bin in shown),
        folded=tuple(line for line in lines if line.bin not in shown),
        mass_kg=sum(line.mass_kg for line in lines),
        value=_value(lines),
        unpriced=any(line.value is None for line in lines),
    )


def _value(lines: Iterable[BinLine]) -> float:
    return sum(line.value or 0.0 for line in lines)
