"""Line drawings of kinds, pieces and grades, to stand beside their names: `sketches.toml` as SVG path data."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal

from partway.catalogue import shipped

Sort = Literal["kind", "piece", "grade", "family", "key"]  # "key": where the test key, a guide or a calculator begins
GRID, STROKE, MARGIN = 32, 2, 3  # of every drawing; nothing but a stroke comes nearer to the edge than the margin


@dataclass(frozen=True, slots=True)
class Sketch:
    """A drawing: the path that is stroked and the one below it that is tinted, which may be empty."""

    lines: str
    tint: str


@dataclass(frozen=True)
class Sketches:
    """All drawings by name, and which of them a kind, a word of a piece, a grade and a family have."""

    drawings: dict[str, Sketch]
    kinds: dict[str, str]
    pieces: dict[str, str]
    grades: dict[str, str]
    families: dict[str, str]
    key: dict[str, str]

    def name(self, sort: Sort, id_: str) -> str:
        """The name of the drawing of a thing; empty where there is none, as of most kinds of one's own."""
        if sort == "piece":
            return self._of_piece(id_)
        if sort == "grade":
            return self._of_grade(id_)
        return {"kind": self.kinds, "family": self.families, "key": self.key}[sort].get(id_, "")

    def _of_piece(self, piece: str) -> str:
        """By the last part of its id, whole or by its last word that is known; an answer is what it answers about."""
        parts = piece.split(".")
        words = [word for part in reversed(parts) for word in (part, *reversed(part.split("-")))]
        return next((self.pieces[word] for word in words if word in self.pieces), "")

    def _of_grade(self, grade: str) -> str:
        known = shipped().grades.get(grade)
        return self.grades.get(grade) or (self.families.get(known.family, "") if known else "")


@cache
def sketches() -> Sketches:
    """The drawings, read once."""
    read = tomllib.loads((files("partway.web.drawings") / "sketches.toml").read_text())
    return Sketches(
        drawings={name: drawn(**shapes) for name, shapes in read["draw"].items()},
        kinds=_turned(read["kinds"]),
        pieces=_turned(read["pieces"]),
        grades=_turned(read["grades"]),
        families=read["families"],
        key=_turned(read["key"]),
    )


def sketch(sort: Sort, id_: str) -> Sketch | None:
    """The drawing of a thing, None where there is none."""
    return sketches().drawings.get(sketches().name(sort, id_))


def drawn(lines: Sequence[str], tint: Sequence[str] = ()) -> Sketch:
    """A drawing from its shapes as the file has them."""
    return Sketch(" ".join(map(path_of, lines)), " ".join(map(path_of, tint)))


def path_of(shape: str) -> str:
    """One shape, such as "box 3 9 26 14 2", as SVG path data."""
    sort, _, rest = shape.partition(" ")
    if sort == "path":
        return rest
    numbers = [float(number) for number in rest.split()]
    if sort == "line":
        return "M" + " ".join(f"{number:g}" for number in numbers)
    return _circle(*numbers) if sort == "circle" else _box(*numbers)


def _circle(x: float, y: float, radius: float) -> str:
    half = f"a{radius:g} {radius:g} 0 0 1"
    return f"M{x - radius:g} {y:g}{half} {2 * radius:g} 0{half} {-2 * radius:g} 0z"


def _box(x: float, y: float, width: float, height: float, radius: float = 0.0) -> str:
    if not radius:
        return f"M{x:g} {y:g}h{width:g}v{height:g}h{-width:g}z"
    across, down, corner = width - 2 * radius, height - 2 * radius, f"a{radius:g} {radius:g} 0 0 1"
    return (
        f"M{x + radius:g} {y:g}h{across:g}{corner} {radius:g} {radius:g}v{down:g}{corner} {-radius:g} {radius:g}"
        f"h{-across:g}{corner} {-radius:g} {-radius:g}v{-down:g}{corner} {radius:g} {-radius:g}z"
    )


def _turned(table: dict[str, list[str]]) -> dict[str, str]:
    return {one: name for name, many in table.items() for one in many}
