"""Masses and prices that others published, as tests/references/published.toml has them, and ours beside them."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

from partway.catalogue import Catalogue
from partway.things.anatomy import Anatomy
from partway.things.estimate import Estimate

FILE = Path(__file__).parent / "references" / "published.toml"
ROUNDING = 1e-9

Verdict = Literal["in", "out", "explained", "lacking"]


class NotOurs(LookupError):
    """The catalogue has no kind, piece or grade of that name, or no ratio for the grade."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One published figure. `of` is a kind or a grade; a grade has no pieces."""

    of: str
    pieces: tuple[str, ...]
    share_of: tuple[str, ...]
    what: str
    source: str
    value: float
    at: str
    which: str
    why: str

    def __str__(self) -> str:
        named = " + ".join(self.pieces) or "price"
        return f"{self.of}, {named}: {self.value:g} ({self.what} {self.which}; {self.source}, {self.at})"


@cache
def figures() -> tuple[Figure, ...]:
    """Every figure of the file, in its order."""
    tables = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return (*_measured(tables["measured"]), *_priced(tables["price"]))


def _measured(rows: Sequence[Mapping[str, Any]]) -> Iterator[Figure]:
    for row in rows:
        pieces, share_of = tuple(row["pieces"]), tuple(row.get("share_of", ()))
        unit = "share" if share_of else "kg"
        for one in row["figures"]:
            yield Figure(row["kind"], pieces, share_of, row["what"], row["source"], one[unit], *_where(one))


def _priced(rows: Sequence[Mapping[str, Any]]) -> Iterator[Figure]:
    for row in rows:
        for one in row["figures"]:
            yield Figure(row["grade"], (), (), "a kilogram", row["source"], one["ratio"], *_where(one))


def _where(one: Mapping[str, Any]) -> tuple[str, str, str]:
    """Where it stands, which one it is, why it lies outside."""
    return one["at"], one.get("of", ""), one.get("why", "")


def ours(figure: Figure, catalogue: Catalogue) -> tuple[float, float]:
    """What the catalogue says of the same, low and high. A share is of what the others likely weigh."""
    if not figure.pieces:
        grade = catalogue.grades.get(figure.of)
        if grade is None or grade.ratio is None:
            raise NotOurs(f"no grade {figure.of} with a ratio")
        return grade.ratio.low, grade.ratio.high
    if figure.of not in catalogue.kinds:
        raise NotOurs(f"no kind {figure.of}")
    anatomy = catalogue.anatomy(figure.of)
    masses = [mass_of(anatomy, piece) for piece in figure.pieces]
    whole = sum(mass_of(anatomy, piece).likely for piece in figure.share_of) or 1.0
    return sum(mass.low for mass in masses) / whole, sum(mass.high for mass in masses) / whole


def mass_of(anatomy: Anatomy, piece: str) -> Estimate:
    """The mass of a piece; "whole" is the find, whatever its piece is called."""
    if piece == "whole":
        return anatomy.whole.mass
    found = [one.mass for one in anatomy.pieces if one.id == piece]
    if not found:
        raise NotOurs(f"no piece {piece} in {anatomy.kind}")
    return found[0]


def inside(figure: Figure, catalogue: Catalogue) -> bool:
    """Whether our range holds the figure. Raises NotOurs."""
    low, high = ours(figure, catalogue)
    return low - ROUNDING <= figure.value <= high + ROUNDING


def verdict(figure: Figure, catalogue: Catalogue) -> Verdict:
    """In our range, out of it, out and explained, or of something the catalogue lacks."""
    try:
        held = inside(figure, catalogue)
    except NotOurs:
        return "lacking"
    return "in" if held else "explained" if figure.why else "out"
