"""CSV as RFC 4180 has it, in UTF-8: commas, CRLF, one row of names.

Text is always in quotes and exactly as it was typed, also where it begins with = + - or @: quotes do not keep a
spreadsheet from taking such a cell for a formula, but a sign put before it would make it another text. A CSV file is
data; open it through a spreadsheet's import, with the text columns set to text.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import IO

from partway.errors import Refused
from partway.quantities import shown
from partway.storage.exchange.cells import expected_of, text_of, value_of
from partway.storage.exchange.columns import Column, Json

END = "\r\n"
QUOTED = ("string", "object")


class BadPackage(Refused):
    """A Data Package that cannot be read as what partway wrote, or as anything it could have written."""


@dataclass(frozen=True, slots=True)
class CsvRow:
    """One row of a file; `number` counts as spreadsheets do, the names being row 1."""

    file: str
    number: int
    values: dict[str, Json]

    @property
    def where(self) -> str:
        """File and row."""
        return f"{self.file}, row {self.number}"


def header(columns: Sequence[Column]) -> str:
    """The first line."""
    return ",".join(column.name for column in columns) + END


def line(values: Iterable[Json], columns: Sequence[Column]) -> str:
    """One row."""
    return ",".join(_cell(value, column) for value, column in zip(values, columns, strict=True)) + END


def _cell(value: Json, column: Column) -> str:
    text = text_of(value)
    return '"' + text.replace('"', '""') + '"' if column.type in QUOTED and value is not None else text


def read_rows(binary: IO[bytes], columns: Sequence[Column], file: str) -> Iterator[CsvRow]:
    """The rows of a file one by one. Raises BadPackage at the first cell that is not of its column's type."""
    names = [column.name for column in columns]
    number = 0
    try:
        with io.TextIOWrapper(binary, encoding="utf-8", errors="surrogateescape", newline="") as text:
            for number, cells in enumerate(csv.reader(text, strict=True), start=1):
                if number == 1:
                    _check_names(cells, names, file)
                else:
                    yield _row(cells, columns, file, number)
    except csv.Error as error:
        raise BadPackage(str(error), "rows as RFC 4180 has them", f"{file}, row {number + 1}") from error
    if number == 0:
        raise BadPackage("an empty file", f"a first row with the names {', '.join(names)}", file)


def _check_names(cells: list[str], names: list[str], file: str) -> None:
    if cells == names:
        return
    place = next((i for i, (a, b) in enumerate(zip(cells, names, strict=False)) if a != b), min(len(cells), len(names)))
    given = shown(cells[place]) if place < len(cells) else f"{len(cells)} columns"
    expected = f'"{names[place]}"' if place < len(names) else f"{len(names)} columns"
    raise BadPackage(given, f"{expected}; the names are {', '.join(names)}", f"{file}, row 1, column {place + 1}")


def _row(cells: list[str], columns: Sequence[Column], file: str, number: int) -> CsvRow:
    where = f"{file}, row {number}"
    if len(cells) != len(columns):
        raise BadPackage(f"{len(cells)} cells", f"{len(columns)}", where)
    return CsvRow(file, number, {c.name: _value(text, c, where) for text, c in zip(cells, columns, strict=True)})


def _value(text: str, column: Column, where: str) -> Json:
    if not text.isascii() and any(
        "\udc80" <= character <= "\udcff" for character in text
    ):  # what surrogateescape makes of other bytes
        raise BadPackage("bytes that are not UTF-8", "text in UTF-8", f"{where}, column {column.name}")
    try:
        return value_of(text, column)
    except ValueError:
        raise BadPackage(shown(text), expected_of(column), f"{where}, column {column.name}") from None
