"""The tables as a spreadsheet (Office Open XML, ECMA-376) or as CSV files (RFC 4180) in a zip file.

Nothing that somebody typed is ever run: in the spreadsheet every text is written as a text; in CSV, which knows no
types, a text that begins like a formula gets an apostrophe before it (OWASP, "CSV Injection"). Numbers stay numbers,
those below zero too.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from pathlib import PurePath
from typing import Any

from partway.errors import Refused
from partway.ledger.events.shapes import decimal_text
from partway.quantities import shown
from partway.reports.books.told.year import YearBooks
from partway.storage.yearbook.tables import Cell, YearTable, tables_of

BEGINS = (
    "=",
    "+",
    "-",
    "@",
    "\t",
    "\r",
    "\n",
    "＝",
    "＋",
    "－",
    "＠",
)  # the wide ones count in East Asian spreadsheets
NO_DAY = (1980, 1, 1, 0, 0, 0)  # a zip file's first: the same books are the same bytes
WIDTH = {"about": 34, "where": 34, "category": 28, "note": 110}


def guarded(text: str) -> str:
    """A text that no spreadsheet takes for a formula when it reads it from CSV."""
    return f"'{text}" if text.lstrip(" ").startswith(BEGINS) else text


def as_csv(books: YearBooks) -> bytes:
    """A zip file with a CSV file for each table."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        for table in tables_of(books):
            entry = zipfile.ZipInfo(f"{table.name}-{books.year}.csv", NO_DAY)
            package.writestr(entry, _csv(table).encode("utf-8-sig"), zipfile.ZIP_DEFLATED)
    return out.getvalue()


def _csv(table: YearTable) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(table.columns)
    writer.writerows([_text(cell) for cell in row] for row in table.rows)
    return out.getvalue()


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return decimal_text(cell)
    return guarded(cell) if isinstance(cell, str) else cell.isoformat() if isinstance(cell, dt.date) else str(cell)


def as_spreadsheet(books: YearBooks) -> bytes:
    """An .xlsx file with a sheet for each table."""
    import xlsxwriter

    out = io.BytesIO()
    plain = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    with xlsxwriter.Workbook(out, plain) as workbook:
        workbook.set_properties({"title": f"Books {books.year}", "created": dt.datetime(*NO_DAY)})  # noqa: DTZ001
        styles = {
            "head": workbook.add_format({"bold": True, "bottom": 1}),
            "day": workbook.add_format({"num_format": "yyyy-mm-dd"}),
            "money": workbook.add_format({"num_format": "#,##0.00##"}),
        }
        for table in tables_of(books):
            _sheet(workbook.add_worksheet(table.title), table, styles)
    return out.getvalue()


def _sheet(sheet: Any, table: YearTable, styles: Mapping[str, object]) -> None:  # the library ships no types
    """One sheet; the columns' names stay in sight."""
    sheet.freeze_panes(1, 0)
    for column, name in enumerate(table.columns):
        sheet.write_string(0, column, name, styles["head"])
        sheet.set_column(column, column, WIDTH.get(name, 14))
    for number, row in enumerate(table.rows, 1):
        for column, cell in enumerate(row):
            if isinstance(cell, str):
                sheet.write_string(number, column, cell)
            elif isinstance(cell, Decimal | int):
                sheet.write_number(number, column, cell, styles["money"] if column in table.money else None)
            elif cell is not None:
                sheet.write_datetime(number, column, dt.datetime.combine(cell, dt.time()), styles["day"])


FORMS: Mapping[str, tuple[str, Callable[[YearBooks], bytes]]] = {
    ".xlsx": ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", as_spreadsheet),
    ".zip": ("application/zip", as_csv),
}


def form_of(file: str | PurePath, forms: Iterable[str] = tuple(FORMS)) -> str:
    """The form that a file's name asks for. Raises Refused."""
    ending = PurePath(file).suffix.lower()
    if ending not in forms:
        raise Refused(shown(str(file)), f"a name that ends in {' or '.join(forms)}", "output")
    return ending
