"""Columns of a table that say what a price was, by how much it moved, or a code: none of them is a price of today."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from partway.spoken.money import SIGN
from partway.spoken.tokens import level
from partway.spoken.tongue import Tongue

CELLS = re.compile(r"[|\t]|(?: {2,})(?=\S)")
WORDS = re.compile(r"[^\W_]+|[+\-±Δ%]")
FORMER = re.compile(
    rf"(?<![\w.,])[{SIGN}]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+) ?[c¢p]? ?(?:-+>|=>|→)(?= ?[{SIGN}]?[.,]?[0-9])"
)
LEAST = 2  # cells of a table
ROW_MOST = 500  # characters
ARROWS = frozenset(["", "▲", "▼", "△", "▽", "↑", "↓", "-", "=", "–"])  # a last cell that only says which way it went
COMMAS = re.compile(
    r"^(?:[^,\n]*[^\W\d][^,\n]*|[0-9]{1,6}(?=,[^,\n]*[^\W\d]))(?:,(?! )[^,\n]*){2,}$"
)  # name,unit,price, or a code before them


def without_former(text: str) -> str:
    """The text with spaces for a price that an arrow leads away from, "1.10 -> 1.15"."""
    return FORMER.sub(lambda found: " " * len(found[0]), text)


def with_cells(text: str) -> str:
    """The text with strokes for the commas of a table whose cells they part: "Bare bright,lb,4.60", in several rows."""
    rows = text.split("\n")
    few = (row for row in rows if row.count(",") >= LEAST and len(row) <= ROW_MOST)  # the shape is slow on long rows
    counts = Counter(row.count(",") for row in few if COMMAS.match(row.rstrip("\r")))
    count, times = max(counts.items(), key=lambda pair: pair[1], default=(0, 0))
    if times < LEAST:
        return text
    return "\n".join(row.replace(",", "|") if row.count(",") == count else row for row in rows)


def without_old(text: str, tongue: Tongue) -> str:
    """The text with spaces where columns headed "last week", "was" or "change" stand, each character at its old place.

    Only below a heading without a figure that has another column beside, and only in rows of as many cells. So with
    notes that have no figure: they say no price.
    """
    rows = text.splitlines(keepends=True)
    old: frozenset[int] = frozenset()
    notes: frozenset[int] = frozenset()
    size = 0
    for at, row in enumerate(rows):
        cells = _cells(row)
        above = [(0, 0), *cells] if row.startswith("  ") else cells  # over the names stands nothing
        heads = _old_cells(row, above, tongue)
        if heads is not None:
            (old, notes), size = heads, len(above)
            rows[at] = _blanked(row, [above[n] for n in old if above[n][1]])
            continue
        if len(cells) != size and row.strip():
            continue
        if (old or notes) and row.strip():
            blank = {n for n in notes if n < len(cells) and not any(char.isdigit() for char in row[slice(*cells[n])])}
            rows[at] = _blanked(row, [cells[n] for n in old | blank if n < len(cells)])
    return "".join(rows)


def _cells(row: str) -> list[tuple[int, int]]:
    """Where the cells of a row begin and end; an empty one at either edge is none."""
    edges = [found.span() for found in CELLS.finditer(row)]
    starts, ends = [0, *(end for _, end in edges)], [*(start for start, _ in edges), len(row.rstrip("\r\n"))]
    cells = list(zip(starts, ends, strict=True))
    while cells and not row[slice(*cells[0])].strip():
        cells = cells[1:]
    while cells and row[slice(*cells[-1])].strip() in ARROWS:
        cells = cells[:-1]
    return cells


def _old_cells(
    row: str, cells: Sequence[tuple[int, int]], tongue: Tongue
) -> tuple[frozenset[int], frozenset[int]] | None:
    """The places of a heading's cells that say what was, or head codes, and of those with notes; None for neither."""
    if len(cells) <= LEAST or any(char.isdigit() for char in row):
        return None
    words = [tuple(WORDS.findall(level(row[slice(*cell)]))) for cell in cells]
    codes = frozenset(n for n, said in enumerate(words) if said and tongue.codes.issuperset(said))
    old = codes | frozenset(n for n, said in enumerate(words) if n and _is_old(said, tongue))
    notes = frozenset(n for n, said in enumerate(words) if n and said and set(said) <= tongue.notes)
    return (old, notes) if (old or notes) and len(old | notes) < len(cells) - 1 else None


def _is_old(said: tuple[str, ...], tongue: Tongue) -> bool:
    return any(said[n : n + len(phrase)] == phrase for phrase in tongue.old_columns for n in range(len(said)))


def _blanked(row: str, cells: Sequence[tuple[int, int]]) -> str:
    for start, end in cells:
        row = row[:start] + " " * (end - start) + row[end:]
    return row
