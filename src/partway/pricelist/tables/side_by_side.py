"""Two lists side by side, "Bright 4.40    Cast .62": one below the other, each under its own heading."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from partway.spoken.money import SIGN
from partway.spoken.tokens import level
from partway.spoken.tongue import english

GAP = re.compile(r" {2,}|[ ]*[\t|][ \t|]*")
PRICE = re.compile(
    rf"(?<![\w.#])[{SIGN}]?(?:[0-9]{{1,3}}|[0-9]*[.,][0-9]+) ?(?:c|¢|p)?(?: ?(?:/ ?[a-z0-9]+|ea|each|lbs?|kg)\.?)?$",
    re.IGNORECASE,
)
POINTED = re.compile(rf"[{SIGN}]?[0-9]*[.,][0-9]+")
WHOLE = re.compile(r"(?:^|[ #])[0-9]+$")
DOTS = re.compile(r"(?<=\S)[ ]*(?:\.{2,}|…)[ .…]*")
TYPED = re.compile(r"(?:[234][0-9]{2}|#?[12])L?(?!\S)")  # "304", "#1": numerals that open a name
HUNDRED = re.compile(r"(?:\bper|/) ?100(?: ?(?:lbs?|kgs?|kilos?))?(?![\w.])", re.IGNORECASE)
LEAST = 2  # rows of such pairs
BELOW = 3  # rows that may have the first column alone

Part = tuple[int, str]  # where it stands in its row, and what it is


def one_below_the_other(text: str) -> str:
    """The text with each such block as its first column, then its second; any other text as it is."""
    rows = text.splitlines()
    found: list[str] = []
    at = 0
    while at < len(rows):
        block = _block(rows, at)
        if block is None:
            found.append(rows[at])
            at += 1
        else:
            columns, at = block
            found += [part for column in columns for part in column]
    return "\n".join(found) if len(found) != len(rows) else text


def _block(rows: Sequence[str], first: int) -> tuple[list[list[str]], int] | None:
    """The columns of the block that begins with a row, and the row behind it; None where none begins there."""
    size = next((len(pairs) for row in rows[first : first + 2] if len(pairs := _pairs(row)) > 1), 0)
    if not size or not (len(_pairs(rows[first])) == size or _heads(rows[first], size)):
        return None
    columns: list[list[str]] = [[] for _ in range(size)]
    starts: tuple[int, ...] = ()
    at, pairs_in = first, 0
    while at < len(rows):
        pairs = _pairs(rows[at])
        if len(pairs) == size:
            starts, pairs_in = tuple(start for start, _ in pairs), pairs_in + 1
        elif len(pairs) == 1 and _only_the_nearest(rows, at, starts, size):
            columns[_nearest(starts, pairs[0][0])].append(pairs[0][1])
            at += 1
            continue
        parts = _parts_of(rows, at, pairs, starts, size)
        if parts is None:
            break
        for column, (_, part) in zip(columns, parts, strict=False):
            column.extend([part] if part else [])
        at += 1
    return (columns, at) if pairs_in >= LEAST else None


def _parts_of(
    rows: Sequence[str], at: int, pairs: Sequence[Part], starts: Sequence[int], size: int
) -> Sequence[Part] | None:
    """What a row says in each column of its block, nothing between two of its rows; None where the block ends."""
    if len(pairs) == size:
        return pairs
    heads = _heads(rows[at], size)
    if heads and at + 1 < len(rows) and len(_pairs(rows[at + 1])) == size:
        return heads
    if found := (_by_strokes(rows[at], size) if starts else []) or _beside(rows[at], starts):
        return found
    if len(pairs) == 1 and starts and pairs[0][0] == starts[0] and _beside_below(rows, at + 1, starts):
        return pairs
    goes_on = not rows[at].strip() and at + 1 < len(rows) and _goes_on(rows, at + 1, size)
    return () if goes_on else None


def _only_the_nearest(rows: Sequence[str], at: int, starts: Sequence[int], size: int) -> bool:
    """Whether a row with one price is indented, and of no column by its place: it is of the nearest one."""
    if not starts or not rows[at].startswith(" "):
        return False
    return _parts_of(rows, at, _pairs(rows[at]), starts, size) is None


def _nearest(starts: Sequence[int], start: int) -> int:
    return min(range(len(starts)), key=lambda n: abs(starts[n] - start))


def _by_strokes(row: str, size: int) -> list[Part]:
    """The parts of a row that strokes part as they do the columns, "MONEL  CALL |": an empty one is of no column."""
    parts = row.split("|")
    named = all(not part.strip() or any(char.isalpha() for char in part) for part in parts)
    return [(0, part.strip()) for part in parts] if len(parts) == size and row.strip(" |") and named else []


def _beside(row: str, starts: Sequence[int]) -> tuple[Part, ...]:
    """The parts of a row that begin where its columns do, one of them at least in a column behind the first: "BRASS" as
    the heading of one beside "DIRTY AL  .18" of the other; nothing where it is no such row.
    """
    edges = [*starts, len(row) + 1]
    parts = tuple((start, row[start:end].strip()) for start, end in pairwise(edges))
    cut = any(row[start - 1 : start].strip() or (part and row[start : start + 1] == " ") for start, part in parts[1:])
    said = [part for _, part in parts if part]
    wholes = all(
        _pairs(part) or (not any(char.isdigit() for char in part) and len(cells_of(part)) == 1) for part in said
    )
    return parts if starts and "\t" not in row and not cut and wholes and any(part for _, part in parts[1:]) else ()


def _beside_below(rows: Sequence[str], at: int, starts: Sequence[int]) -> bool:
    """Whether the columns go on below a row that has only the first of them."""
    below = next((row for row in rows[at : at + BELOW] if not row.strip() or _beside(row, starts)), "")
    return bool(below.strip())


def _goes_on(rows: Sequence[str], at: int, size: int) -> bool:
    behind = at + 1 < len(rows) and len(_pairs(rows[at + 1])) == size
    return len(_pairs(rows[at])) == size or (behind and bool(_heads(rows[at], size)))


def cells_of(row: str) -> list[Part]:
    """The cells of a row, with where each begins; leader dots part nothing."""
    plain = DOTS.sub(lambda found: "." * len(found[0]), row)
    edges = [found.span() for found in GAP.finditer(plain)]
    starts, ends = [0, *(end for _, end in edges)], [*(start for start, _ in edges), len(row)]
    return [(start, row[start:end]) for start, end in zip(starts, ends, strict=True) if row[start:end].strip()]


def _pairs(row: str) -> list[Part]:
    """The row as names each with a price; nothing where a cell is left over, or opens a tier of the name before it."""
    found: list[Part] = []
    open_: list[Part] = []  # joined only once, since a row may have thousands of cells
    cells = cells_of(row)
    for at, (start, cell) in enumerate(cells):
        open_.append((start, cell))
        named = PRICE.sub("", cell)
        numbered = cell[-1:].isdigit() and at + 1 < len(cells) and POINTED.match(cells[at + 1][1])
        if numbered and WHOLE.search(cell):
            continue  # "Stainless 304    .52"
        if named != cell and (len(open_) > 1 or named.strip()):
            said = "  ".join(part for _, part in open_)
            if not _opens_a_name(said[: len(said) - len(cell) + len(named)].strip()):
                return []
            found.append((open_[0][0], said))
            open_ = []
    return found if not open_ else []


def _opens_a_name(name: str) -> bool:
    """Whether words may be a name: "over 100 lb" is a tier, "500 lb" a lot, "was" an old price."""
    tongue, first = english(), level(name).split()[0]
    lots = (*tongue.from_lot, *tongue.below, *tongue.minimum, *tongue.maximum, *tongue.changes, *tongue.now)
    if any(first == phrase[0] for phrase in lots) or first.strip(":") in {"each", "per"}:
        return False
    return bool(TYPED.match(name)) or (
        any(char.isalpha() for char in name) and not first[0].isdigit() and first[0] != "/"
    )


def _heads(row: str, size: int) -> tuple[Part, ...]:
    """The headings of the columns, where a row has one for each, or two, "Item | Price", and no figure."""
    cells = cells_of(row)
    if any(char.isdigit() for char in HUNDRED.sub("", row)) or len(cells) not in {size, 2 * size}:
        return ()
    step = len(cells) // size
    return tuple((cells[n][0], "  ".join(cell for _, cell in cells[n : n + step])) for n in range(0, len(cells), step))
