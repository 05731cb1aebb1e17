"""Of several columns of prices the one that counts: of this currency, the first of two that say the same, the last day.

Also columns of the numbers by which a yard knows its goods. What does not count becomes space; where two columns say
different things that a heading does not tell apart, nothing is changed, and which one counts is asked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.pricelist.folding import ALLOYS, TYPES
from partway.pricelist.tables.side_by_side import Part, cells_of
from partway.quantities import kg_per, number_readings
from partway.spoken.money import SIGN, SIGNS
from partway.spoken.tokens import tokens_of
from partway.spoken.tongue import Hearing, english
from partway.spoken.units import per_at
from partway.things.currencies import CURRENCIES

PRICE = re.compile(rf"[{SIGN}]? ?([0-9]*[.,]?[0-9]+(?:[.,][0-9]+)?) ?[c¢p]?")
NONE = re.compile(r"-+|n/?a|call|poa", re.IGNORECASE)
DATE = re.compile(r"(0?[1-9]|[12][0-9]|3[01])/(0?[1-9]|[12][0-9]|3[01])(?:/(?:20)?[0-9]{2})?")
CODE = re.compile(r"[0-9]{1,5}")
LEAST, LEAST_CODES = 2, 3  # rows of a table
ROUNDED = Decimal("0.015")  # by how much two prices of the same may differ, each rounded
HALF_A_YEAR, MONTHS = 6, 12
FIRST_CODE = 10  # lower numbers may be grades
Says = tuple[str, tuple[str, Decimal]]  # the currency that a heading names, and the unit and how many of it


@dataclass(frozen=True)
class PricedTable:
    """A heading and the rows below it with as many cells; `first` is the place of its first column of prices."""

    head: int
    rows: tuple[int, ...]
    first: int


def without_codes(text: str) -> str:
    """The text without a first column of whole numbers before names, "101 | Brass | 4.80", in rows below each other."""
    rows = text.split("\n")
    found = {at: cells for at, row in enumerate(rows) if _has_code(cells := cells_of(row))}
    numbers = [int(cells[0][1]) for cells in found.values()]
    counted = len(numbers) > LEAST_CODES and numbers == list(range(1, len(numbers) + 1))
    if len(numbers) < LEAST_CODES or len(set(numbers)) < len(numbers) or not (counted or min(numbers) >= FIRST_CODE):
        return text
    head = min(found) - 1
    above = cells_of(rows[head]) if head >= 0 and not any(map(str.isdigit, rows[head].partition("/")[0])) else []
    known = {token.text for _, cell in above[:1] for token in tokens_of(cell)} & english().codes  # read elsewhere
    if len(above) == len(found[min(found)]) and not known:
        found[head] = above
    for at, cells in found.items():
        behind = cells[1][0]
        rows[at] = " " * behind + rows[at][behind:]
    return "\n".join(rows)


def _has_code(cells: Sequence[Part]) -> bool:
    if len(cells) <= LEAST:
        return False
    (_, code), (_, name), *others = cells
    number = code.strip()
    other = number in TYPES | ALLOYS or not CODE.fullmatch(number)
    return not other and name.strip()[:1].isalpha() and any(_is_price(cell.strip()) for _, cell in others)


def _is_price(cell: str) -> bool:
    return bool(PRICE.fullmatch(cell) or NONE.fullmatch(cell))


def one_column(text: str, hearing: Hearing, has: Callable[[str], bool]) -> str:
    """The text with one column of prices in each table whose heading tells which one counts; `has` tells whether a
    word is of the trade.
    """
    rows = text.split("\n")
    for at in range(len(rows) - LEAST):
        cells = cells_of(rows[at])
        if len(cells) >= LEAST and (alone := _unit_alone(rows, at, cells, hearing, has)):
            rows[at] = alone
            continue
        keep = _kept(rows, at, cells, hearing) if len(cells) >= LEAST else None
        if keep is None:
            continue
        table, place = keep
        for row in (table.head, *table.rows):
            parts = cells_of(rows[row])
            offset = len(parts) - len(cells)
            for n in range(len(parts) - 1, table.first + offset - 1, -1):
                start, cell = parts[n]
                if n != place + offset:
                    rows[row] = rows[row][:start] + " " * len(cell) + rows[row][start + len(cell) :]
    return "\n".join(rows)


def _unit_alone(
    rows: Sequence[str], at: int, cells: Sequence[Part], hearing: Hearing, has: Callable[[str], bool]
) -> str:
    """A heading over one column of prices as the unit that it says, where its other words are none of the trade."""
    start, last = cells[-1]
    words = [token.text for _, cell in cells[:-1] for token in tokens_of(cell) if token.kind == "word"]
    digits = any(char.isdigit() for _, cell in cells[:-1] for char in cell)
    said = _says(last, hearing)
    others = any(_says(cell, hearing) for _, cell in cells[:-1]) or any(map(has, words))
    if said is None or digits or not words or others:
        return ""
    if not _is_own(said[0], hearing) or _table(rows, at, len(cells), len(cells) - 1) is None:
        return ""
    named = re.match(r"[A-Za-z]{3}(?=[ /])", last)
    blank = len(named[0]) if named is not None and named[0].upper() in CURRENCIES else 0
    return " " * (start + blank) + last[blank:]


def _kept(rows: Sequence[str], at: int, cells: Sequence[Part], hearing: Hearing) -> tuple[PricedTable, int] | None:
    """The table below a heading, and the place of the column that counts; None where its heading does not tell."""
    says = [_says(cell, hearing) for _, cell in cells]
    first = next((n for n in range(len(says)) if all(says[n:]) and n < len(says) - 1), None)
    if first is not None:
        table = _table(rows, at, len(cells), first)
        return _by_unit(rows, table, [one for one in says[first:] if one], hearing) if table else None
    days = [DATE.fullmatch(cell.strip()) for _, cell in cells]
    first = next((n for n in range(len(days)) if all(days[n:]) and n < len(days) - 1), None)
    table = _table(rows, at, len(cells), first) if first is not None else None
    latest = _latest([(int(day[1]), int(day[2])) for day in days[first:] if day]) if table else None
    return (table, table.first + latest) if table is not None and latest is not None else None


def _table(rows: Sequence[str], head: int, size: int, first: int) -> PricedTable | None:
    """The rows below a heading that have a name and prices where it has its columns; over the names stands nothing
    where a heading has a cell less.
    """
    columns, found = size - first, list[int]()
    for at in range(head + 1, len(rows)):
        if not rows[at].strip():
            continue
        cells = [cell.strip() for _, cell in cells_of(rows[at])]
        prices = cells[len(cells) - columns :] if len(cells) in {size, size + 1} and len(cells) > columns else []
        if not prices or not all(map(_is_price, prices)):
            if len(cells) > 1:
                break
            continue  # a heading between the rows
        found.append(at)
    return PricedTable(head, tuple(found), first) if len(found) >= LEAST else None


def _says(cell: str, hearing: Hearing) -> Says | None:
    """The currency and the unit that a cell of a heading names, "CAD/lb", "$ per 100 kg"; None where it does not."""
    said = tokens_of(cell)
    header = hearing.tongue.header | hearing.tongue.over_words | {"(", ")"}
    currency, left = "", list(said)
    while left and (left[0].text in SIGNS or left[0].text.upper() in CURRENCIES or left[0].text in header):
        if left[0].text in SIGNS or left[0].text.upper() in CURRENCIES:
            currency = left[0].text.upper()
        if left[0].text == "per":
            break
        left = left[1:]
    while left and left[-1].text == ")":
        left = left[:-1]
    per = per_at(left, 0, hearing) if left else None
    if per is None or per.end < len(left) or len(per.units) != 1:
        return None
    return currency, (per.units[0], per.count)


def _by_unit(
    rows: Sequence[str], table: PricedTable, says: Sequence[Says], hearing: Hearing
) -> tuple[PricedTable, int] | None:
    """The column of this currency; of several that say the same the one in the usual unit, else the first."""
    mine = [n for n, (currency, _) in enumerate(says) if _is_own(currency, hearing)]
    foreign = any(currency and not _is_own(currency, hearing) for currency, _ in says)
    if not mine or (len(mine) == len(says) and foreign):
        return None
    if len(mine) > 1 and not _agree(rows, table, [(n, says[n][1]) for n in mine], hearing):
        return None
    usual = next((n for n in mine if says[n][1] == (hearing.unit, Decimal(1))), mine[0])
    return table, table.first + usual


def _is_own(currency: str, hearing: Hearing) -> bool:
    return not currency or currency == hearing.currency or hearing.currency in SIGNS.get(currency, frozenset())


def _agree(
    rows: Sequence[str], table: PricedTable, columns: Sequence[tuple[int, tuple[str, Decimal]]], hearing: Hearing
) -> bool:
    """Whether each row says the same in all columns, as far as its prices are rounded."""
    if len({unit for _, unit in columns}) < len(columns):
        return False
    for at in table.rows:
        cells = [cell.strip() for _, cell in cells_of(rows[at])]
        prices = cells[len(cells) - (max(n for n, _ in columns) + 1) :]
        per_kg = [
            (price / (kg_per(unit) * count), _half_a_digit(price) / (kg_per(unit) * count))
            for n, (unit, count) in columns
            if (price := _amount(prices[n], hearing)) is not None
        ]
        first, rounded = per_kg[0] if per_kg else (Decimal(0), Decimal(0))
        if any(abs(price - first) > rounded + half + ROUNDED * first for price, half in per_kg[1:]):
            return False
    return True


def _amount(cell: str, hearing: Hearing) -> Decimal | None:
    found = PRICE.fullmatch(cell)
    readings = number_readings(found[1], comma=hearing.comma) if found is not None else ()
    return readings[-1] if readings else None


def _half_a_digit(price: Decimal) -> Decimal:
    exponent = price.as_tuple().exponent
    return Decimal(5).scaleb(min(0, exponent if isinstance(exponent, int) else 0) - 1)


def _latest(days: Sequence[tuple[int, int]]) -> int | None:
    """Which of several days is the latest, by month and day or by day and month; None where that is not the same."""
    found = {
        max(range(len(days)), key=lambda n: _since(order[n], order)) for order in (days, [(b, a) for a, b in days])
        if all(month <= MONTHS for month, _ in order)
    }  # fmt: skip
    return found.pop() if len(found) == 1 and len(set(days)) == len(days) else None


def _since(day: tuple[int, int], days: Sequence[tuple[int, int]]) -> tuple[int, int]:
    """A day to compare with the others: a January beside a December is of the year after."""
    last = max(month for month, _ in days)
    return (day[0] + MONTHS if last - day[0] > HALF_A_YEAR else day[0]), day[1]
