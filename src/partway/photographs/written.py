"""From words with the places where they stand in a photograph to lines of text, as somebody would copy them.

Geometry alone: who read the words does not matter. A sheet that lies askew is turned level first, by the slant of its
words; one line are words whose heights overlap, from left to right; a gap wider than a letter is tall parts columns.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

Point = tuple[float, float]
OVERLAP_LEAST = 0.5  # of the lower one's height, for two words of one line
COLUMN_LEAST = 1.0  # of a line's height: a wider gap parts columns
LONG = 3.0  # times as wide as high: the slant of shorter words is chance
SPACE, COLUMN = " ", "  "


@dataclass(frozen=True, slots=True)
class WrittenWord:
    """Words read at one place: the corners from the upper left, clockwise, in pixels; `sure` from 0 to 1."""

    text: str
    corners: tuple[Point, Point, Point, Point]
    sure: float = 1.0


@dataclass(frozen=True, slots=True)
class _Level:
    """A word on a sheet that lies level."""

    text: str
    left: float
    right: float
    top: float
    bottom: float

    @property
    def height(self) -> float:
        return self.bottom - self.top


def lines_of(words: Sequence[WrittenWord]) -> list[str]:
    """The lines from top to bottom."""
    slant = _slant(words)
    rows: list[list[_Level]] = []
    for word in sorted((_level(word, slant) for word in words), key=lambda one: (one.top + one.bottom, one.left)):
        row = next((row for row in reversed(rows) if _same_line(row, word)), None)
        if row is None:
            rows.append([word])
        else:
            row.append(word)
    return [_joined(sorted(row, key=lambda one: one.left)) for row in rows]


def _slant(words: Sequence[WrittenWord]) -> float:
    """By how much the lines fall to the right, as an angle: the middle of what long words say."""
    angles = []
    for word in words:
        (x0, y0), (x1, y1), _, (x3, y3) = word.corners
        if math.hypot(x1 - x0, y1 - y0) >= LONG * math.hypot(x3 - x0, y3 - y0):
            angles.append(math.atan2(y1 - y0, x1 - x0))
    return median(angles) if angles else 0.0


def _level(word: WrittenWord, slant: float) -> _Level:
    cos, sin = math.cos(slant), math.sin(slant)
    turned = [(x * cos + y * sin, y * cos - x * sin) for x, y in word.corners]
    middle = sum(y for _, y in turned) / len(turned)
    (x0, y0), (x3, y3) = word.corners[0], word.corners[3]
    half = math.hypot(x3 - x0, y3 - y0) / 2
    across = [x for x, _ in turned]
    return _Level(word.text, min(across), max(across), middle - half, middle + half)


def _same_line(row: Sequence[_Level], word: _Level) -> bool:
    """Whether a word stands on a line, beside what is there already and not over it."""
    top, bottom = median(one.top for one in row), median(one.bottom for one in row)
    overlap = min(bottom, word.bottom) - max(top, word.top)
    beside = all(one.right <= word.left + word.height or word.right <= one.left + word.height for one in row)
    return beside and overlap >= OVERLAP_LEAST * min(bottom - top, word.height)


def _joined(row: Sequence[_Level]) -> str:
    wide = COLUMN_LEAST * median(one.height for one in row)
    text = row[0].text
    for before, word in pairwise(row):
        text += (COLUMN if word.left - before.right > wide else SPACE) + word.text
    return text
