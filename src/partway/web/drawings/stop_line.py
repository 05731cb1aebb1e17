"""The line of the drawn anatomy that says where to stop, and the words that stand on it."""

from __future__ import annotations

from dataclasses import dataclass

PLATE = 20.0  # pixels: width of the plate with the words; it stands to the right of the line
WORDS = ((84.0, "Stop here"), (0.0, "Stop"))  # pixels of height that each needs, the first that fits


@dataclass(frozen=True, slots=True)
class Stretch:
    """A straight stretch of the line."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Plate:
    """The words on the line: `x` and `y` of its middle as shares of the picture, `height` in pixels."""

    words: str
    x: float
    y: float
    height: float


def stairs(edge: list[tuple[float, float, float]]) -> tuple[Stretch, ...]:
    """Down along the right edge of every end, sideways where two do not end alike; stretches in a row are one."""
    found: list[Stretch] = []
    for x, top, bottom in edge:
        last = found[-1] if found else None
        if last and last.x2 == x:
            found[-1] = Stretch(x, last.y1, x, bottom)
            continue
        if last:
            found.append(Stretch(last.x2, top, x, top))
        found.append(Stretch(x, top, x, bottom))
    return tuple(found)


def plate(line: tuple[Stretch, ...], pixels: int) -> Plate:
    """Where the words stand: at the middle of the longest stretch down."""
    longest = max((one for one in line if one.x1 == one.x2), key=lambda one: (one.y2 - one.y1, -one.y1))
    room = (longest.y2 - longest.y1) * pixels
    needs, words = next(one for one in WORDS if room >= one[0])
    return Plate(words, longest.x1, (longest.y1 + longest.y2) / 2.0, min(room, needs or 44.0))
