"""Names beside their places so that none covers another, or a place; a name without room is left out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

SIZE = 38.0  # of the letters
LETTER = 0.56  # of the size, wide on average
LONGEST = 26  # letters
DOT = 18.0  # half of a place's mark
GAP = 8.0
CROSSED = 1.0  # what a line behind a name costs, more than the least liked side without one

Box = tuple[float, float, float, float]  # left, top, right, bottom
Line = tuple[float, float, float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Marked:
    """A place with its name."""

    x: float
    y: float
    name: str


@dataclass(frozen=True, slots=True)
class Label:
    """A name whose baseline begins, ends or has its middle (`anchor`, as SVG calls it) at x, y."""

    text: str
    x: float
    y: float
    anchor: Anchor


def place_labels(
    marked: Sequence[Marked], lines: Iterable[Line], size: tuple[float, float], taken: Box
) -> list[Label | None]:
    """A label for each place, the first ones first, at the best of eight sides that is free."""
    dots = [(m.x - DOT, m.y - DOT, m.x + DOT, m.y + DOT) for m in marked]
    lines, boxes, labels = list(lines), [taken], list[Label | None]()
    for n, place in enumerate(marked):
        others = [*boxes, *dots[:n], *dots[n + 1 :]]
        free = [s for s in _sides(place) if _inside(s[1], size) and not any(_overlap(s[1], box) for box in others)]
        best = min(free, key=lambda s: s[2] + CROSSED * sum(_crosses(line, s[1]) for line in lines), default=None)
        labels.append(None if best is None else best[0])
        if best is not None:
            boxes.append(best[1])
    return labels


def _sides(place: Marked) -> Iterable[tuple[Label, Box, float]]:
    """A label at each side with the box it fills and how little it is liked."""
    text = place.name if len(place.name) <= LONGEST else f"{place.name[: LONGEST - 1]}…"
    wide, off = LETTER * SIZE * len(text), DOT + GAP
    ways: tuple[tuple[Anchor, float, float], ...] = (
        ("start", off, 0.35 * SIZE),
        ("end", -off, 0.35 * SIZE),
        ("middle", 0.0, -off),
        ("middle", 0.0, off + 0.8 * SIZE),
        ("start", 0.6 * off, -0.8 * off),
        ("end", -0.6 * off, -0.8 * off),
        ("start", 0.6 * off, off + 0.6 * SIZE),
        ("end", -0.6 * off, off + 0.6 * SIZE),
    )
    for liked, (anchor, dx, dy) in enumerate(ways):
        x, y = place.x + dx, place.y + dy
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        box = left, y - 0.8 * SIZE, left + wide, y + 0.25 * SIZE
        yield Label(text, round(x, 1), round(y, 1), anchor), box, 0.1 * liked


def _inside(box: Box, size: tuple[float, float]) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= size[0] and box[3] <= size[1]


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _crosses(line: Line, box: Box) -> bool:
    """Whether a line passes through a box, by clipping it at each side (Liang and Barsky, ACM TOG 3, 1984)."""
    x1, y1, x2, y2 = line
    enters, leaves = 0.0, 1.0
    for by, room in ((x1 - x2, x1 - box[0]), (x2 - x1, box[2] - x1), (y1 - y2, y1 - box[1]), (y2 - y1, box[3] - y1)):
        if math.isclose(by, 0.0):
            if room < 0:
                return False
        elif by < 0:
            enters = max(enters, room / by)
        else:
            leaves = min(leaves, room / by)
    return enters < leaves
