"""Words that fit a box: a name in as many lines as there is room for, shortened at a word where it must be.

No browser is asked how wide letters are; the widths here are those of bold DejaVu Sans, the widest of the usual
fonts, to a tenth of their height. A browser that draws narrower letters has room left.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

LETTERS = 13.0  # pixels: height of the letters of a name
FIRST, PITCH, FOOT = 17.0, 16.0, 5.0  # pixels: down to the first line, to each further one, and below the last
_TENTHS = {
    3: " 'ijl",
    4: ",-./:;IJ|",
    5: '!"()*[]_`rt',
    6: "?Lcsxz",
    8: "#+<=>ABDGHKNRUVX^~×",
    9: "&OQw",
    10: "%@Mm",
    11: "W",
}
_WIDTHS = {letter: tenths / 10 for tenths, letters in _TENTHS.items() for letter in letters}
_OTHER = 0.7  # of its height, every other letter and digit
_WORDS = re.compile(r"[^\s-]*-(?=\S)|\S+")  # a hyphen inside a word is a place to break it
# What no label ends with when the words behind it are left out.
_HANGING = frozenset(
    ("a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "the", "to", "with", "without")
)


@dataclass(frozen=True, slots=True)
class BoxText:
    """Lines of a name, none wider than its box, and how many lines of text have room below them."""

    rows: tuple[str, ...]
    more: int


def wide(text: str, size: float = LETTERS) -> float:
    """Pixels that a text takes in letters of a size."""
    return sum(_WIDTHS.get(letter, _OTHER) for letter in text) * size


def fitting(height: float) -> int:
    """How many lines of text a height in pixels has room for."""
    return max(0, int((height - FIRST - FOOT) // PITCH) + 1)


def label(name: str, width: float, height: float, tail: str = "") -> BoxText:
    """A name for a box so many pixels wide and high, with a `tail` that is never left out; no rows where none fits."""
    rows = wrapped(name, width, fitting(height), tail)
    return BoxText(rows, fitting(height) - len(rows))


def wrapped(name: str, width: float, most: int, tail: str = "") -> tuple[str, ...]:
    """A name in at most so many lines: whole, or without its last words, or nothing."""
    words = _WORDS.findall(name)
    while words:
        rows = _rows([*words, *tail.split()], width)
        if len(rows) <= most and all(wide(row) <= width for row in rows):
            return rows
        words.pop()
        while words and words[-1].lower() in _HANGING:
            words.pop()
    return ()


def _rows(words: list[str], width: float) -> tuple[str, ...]:
    """As many words on each line as it holds."""
    rows = [words[0]]
    for word in words[1:]:
        longer = f"{rows[-1]}{'' if rows[-1].endswith('-') else ' '}{word}"
        if wide(longer) <= width:
            rows[-1] = longer
        else:
            rows.append(word)
    return tuple(rows)
