"""A table with a column of prices for each lot, "under 100 | 100-499 | 500+": its rows in words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from partway.pricelist.lexicon import Lexicon
from partway.pricelist.tables.side_by_side import Part, cells_of
from partway.spoken.money import SIGN
from partway.spoken.tokens import level

UNIT = r"(?: ?(?P<unit>lbs?|pounds?|kgs?|kilos?|#))?\.?"
NUMERAL = r"(?P<first>[0-9][0-9,]*)"
FOR = r"(?:(?:qty|quantity|lots?(?: of)?|weight) ?)?"
LOTS = (  # what heads a column of prices for lots; without `first` they begin with nothing
    re.compile(rf"{FOR}(?:under|below|less than|up to|<|to) ?[0-9][0-9,]*{UNIT}", re.IGNORECASE),
    re.compile(rf"{FOR}{NUMERAL} ?(?:lbs?|kgs?)? ?(?:-|–|to) ?[0-9][0-9,]*{UNIT}", re.IGNORECASE),
    re.compile(
        rf"{FOR}{NUMERAL}{UNIT} ?(?:\+(?: ?(?:lbs?|kgs?)\.?)?|and (?:up|over|more|above)|or more|plus|up)",
        re.IGNORECASE,
    ),
    re.compile(rf"{FOR}(?:over|above|from|more than|at least|>=?|≥) ?{NUMERAL}{UNIT} ?\+?", re.IGNORECASE),
)
AMOUNT = rf"[{SIGN}]?[0-9]*[.,]?[0-9]+ ?[c¢p]?"
PRICE = rf"{AMOUNT}|call|ask|-+"
ONE_PRICE = re.compile(PRICE, re.IGNORECASE)
FIGURE = re.compile(rf"{AMOUNT}(?: ?/ ?[a-z]+)?", re.IGNORECASE)
NAME_ENDS = r"(?:[ \t|:]+(?:\.{2,}|…)*[ \t|]*|(?:\.{2,}|…)[ \t|]*)"
PART = r"[ \t|/]+"  # between two cells of prices
LEAST = 2  # columns of prices, and rows of them
WORDS = re.compile(r"#?\w+")
LEADER = re.compile(rf"(?<![ .…\t])[ .…\t]{{2,}}(?=[{SIGN}]?[.,]?[0-9])|(?<![ .…\t])…(?=[{SIGN}]?[.,]?[0-9])")
CELL_MOST, NAME_MOST = 24, 120  # characters: what is longer is no price, and no name
MINIMUM = re.compile(r"min(?:imum)?\.?(?: (?:lot|qty|quantity|weight|load))?", re.IGNORECASE)
NO_LOT = re.compile(r"none|no(?: min(?:imum)?)?|n/a|-+", re.IGNORECASE)
LOT = re.compile(r"[0-9]+ ?(?:lbs?|kgs?|kilos?|t|tonnes?)\.?", re.IGNORECASE)
Lot = tuple[str, str]  # from how much, "" or "0" for any, and the unit as it was said


def tiers_in_words(text: str) -> str:
    """The text with the rows of such a table as "copper 4.10, at least 100 lb 4.20", its heading without the lots."""
    rows = text.split("\n")
    lots: tuple[Lot, ...] = ()
    for at, row in enumerate(rows):
        cells = cells_of(row)
        headed = _lots(cells)
        if headed is not None:
            lots, rows[at] = headed, " ".join(cell for _, cell in cells[: len(cells) - len(headed)])
        elif lots and row.strip():
            said = _in_words(row, lots)
            rows[at], lots = (said, lots) if said is not None else (row, lots if len(cells) == 1 else ())
    return "\n".join(rows)


def whole_names(text: str, lexicon: Lexicon) -> str:
    """The text with spaces for commas before leader dots: "Melt, under 3 ft ... 210", and "Tires, off rim ... 4" where
    what stands before the comma is no name by itself.
    """
    rows = text.split("\n")
    for at, row in enumerate(rows):
        leaders = [found for found in LEADER.finditer(row) if "..." in found[0] or "…" in found[0]]
        if len(leaders) != 1 or leaders[0].start() > NAME_MOST:
            continue
        end = leaders[0].start()
        name, _, behind = row[:end].partition(",")
        if any(char.isdigit() for char in behind) or not lexicon.match(tuple(WORDS.findall(level(name))))[1]:
            rows[at] = row[:end].replace(",", " ") + row[end:]
    return "\n".join(rows)


def side_by_side_prices(text: str) -> str:
    """The text with spaces for the strokes and tabs between the prices of a row, in a table of names and nothing but
    prices: which column counts is one question then. Empty where there is no such table.
    """
    rows = text.split("\n")
    found = {at: cells for at, row in enumerate(rows) if len(cells := _figures(row)) >= LEAST}
    if len(found) < LEAST:
        return ""
    for at, cells in found.items():
        first = cells[0][0]
        rows[at] = rows[at][:first] + "   ".join(cell.strip() for _, cell in cells)
    return "\n".join(rows)


def _figures(row: str) -> list[Part]:
    """The prices of a row that is a name and nothing but prices behind it, in cells of a table."""
    cells = cells_of(row)
    parted = len(cells) > LEAST and any(char.isalpha() for char in cells[0][1])
    return cells[1:] if parted and all(_is(FIGURE, cell) for _, cell in cells[1:]) else []


def _is(shape: re.Pattern[str], cell: str) -> bool:
    """Whether a cell is of this shape; a long one is not looked at, which could take the square of its length."""
    plain = cell.strip()
    return len(plain) <= CELL_MOST and shape.fullmatch(plain) is not None


def column_names(text: str) -> tuple[str, ...]:
    """What heads the columns of prices of a table, "Material | Trade | Retail"; nothing where no row does."""
    rows = [[cell.strip() for _, cell in cells_of(row)] for row in text.split("\n")]
    for above, below in pairwise(rows):
        prices = sum(_is(ONE_PRICE, cell) for cell in below[1:])
        words = all(cell[:1].isalpha() for cell in above)
        if prices >= LEAST and prices == len(below) - 1 and words and len(above) in {prices, prices + 1}:
            return tuple(above[-prices:])
    return ()


def minimums_in_words(text: str) -> str:
    """The text of a table that has a column of least lots with "min" before each: "Bright | 11.40 | min 10kg"."""
    rows = text.split("\n")
    place, size = 0, 0
    for at, row in enumerate(rows):
        cells = cells_of(row)
        heads = [n for n, (_, cell) in enumerate(cells) if n and MINIMUM.fullmatch(cell.strip())]
        if len(heads) == 1 and not any(char.isdigit() for char in row):
            place, size = heads[0], len(cells)
        elif place and place < len(cells) <= size:
            start, cell = cells[place]
            said = cell.strip()
            if LOT.fullmatch(said) or NO_LOT.fullmatch(said):
                put = f"min {said}" if LOT.fullmatch(said) else ""
                rows[at] = row[:start] + put + row[start + len(cell) :]
    return "\n".join(rows)


def _lots(cells: Sequence[Part]) -> tuple[Lot, ...] | None:
    """The lots that the last cells of a heading are; None where it is no such heading."""
    found: list[Lot] = []
    for _, cell in cells[-1::-1]:
        lot = _lot(cell.strip())
        if lot is None:
            break
        found.insert(0, lot)
    other = "".join(cell for _, cell in cells[: len(cells) - len(found)])
    return tuple(found) if len(found) >= LEAST and not any(char.isdigit() for char in other) else None


def _lot(cell: str) -> Lot | None:
    for shape in LOTS:
        if (found := shape.fullmatch(cell)) is not None:
            said = found.groupdict()
            return (said.get("first") or "").replace(",", ""), said.get("unit") or ""
    return None


def _in_words(row: str, lots: Sequence[Lot]) -> str | None:
    """The row in words; None where it is none of the table."""
    found = re.fullmatch(rf"(.*?){NAME_ENDS}{PART.join([f'({PRICE})'] * len(lots))}[ \t|]*", row.strip(), re.IGNORECASE)
    if found is None:
        return None
    name, *prices = found.groups()
    unit = next((unit for _, unit in lots if unit), "")
    said = (
        price if first in {"", "0", "1"} else f"at least {first}{f' {of or unit}' if of or unit else ''} {price}"
        for (first, of), price in zip(lots, (price.strip() for price in prices), strict=True)
        if price[-1].isdigit() or price[-1] in "c¢p"
    )
    name = name.replace(",", " ")  # "Copper, greasy" is one cell
    return f"{name} {', '.join(said)}"
