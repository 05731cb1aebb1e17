"""A table with materials across and days down: of its rows the latest counts, as one name and price below the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import islice

from partway.pricelist.tables.side_by_side import cells_of
from partway.spoken.money import SIGN
from partway.spoken.tongue import english

PRICE = re.compile(rf"[{SIGN}]?[0-9]*[.,]?[0-9]+ ?[c¢p]?")
DAY = re.compile(rf"(?P<month>{'|'.join(english().months)})[a-z]*\.? (?P<day>[0-9]{{1,2}})", re.IGNORECASE)
DATE = re.compile(r"(?P<month>[0-9]{1,2})/(?P<day>[0-9]{1,2})")
LEAST = 3  # materials across


def latest_of_days(text: str) -> str:
    """The text with such a table as the names and prices of its latest row; any other text as it is."""
    rows = text.split("\n")
    for at, row in enumerate(rows):
        names = [cell.strip() for _, cell in cells_of(row)]
        if len(names) <= LEAST or any(PRICE.fullmatch(name) for name in names):
            continue  # most rows: what is below them is not looked at
        if not (below := _below(rows, at + 1, len(names))):
            continue
        days = [_day(cells[0]) for cells in below]
        if all(days):
            latest = max(zip(days, below, strict=True), key=lambda pair: pair[0] or (0, 0))[1]
            said = [f"{name}  {price}" for name, price in zip(names[1:], latest[1:], strict=True)]
            return "\n".join([*rows[:at], *said, *rows[at + 1 + len(below) :]])
    return text


def _below(rows: Sequence[str], first: int, size: int) -> list[list[str]]:
    """The cells of the rows from there that follow as one with a label and a price in each other column."""
    found: list[list[str]] = []
    for row in islice(rows, first, None):
        cells = [cell.strip() for _, cell in cells_of(row)]
        if len(cells) != size or not all(PRICE.fullmatch(cell) for cell in cells[1:]):
            break
        found.append(cells)
    return found


def _day(label: str) -> tuple[int, int] | None:
    """Month and day that a label is; rows of one table lie within one year."""
    named, dated = DAY.fullmatch(label), DATE.fullmatch(label)
    if named is not None:
        return english().months[named["month"].lower()], int(named["day"])
    return (int(dated["month"]), int(dated["day"])) if dated is not None else None
