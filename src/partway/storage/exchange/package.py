"""A ledger as a Data Package (datapackage.org, version 2): CSV files and a datapackage.json, in a folder or a zip file.

The same events always give the same bytes. Reading one back is `partway.storage.exchange.unpack`.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import shutil
import tempfile
import zipfile
from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import IO

from partway.ledger.book import Book
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Pictured
from partway.ledger.pictures import named_in
from partway.storage.exchange.atomic_files import new_file, new_folder
from partway.storage.exchange.columns import Json, Table, event_tables, list_tables
from partway.storage.exchange.convenience import DERIVED
from partway.storage.exchange.csvfile import header, line
from partway.storage.exchange.descriptor import NAME, PHOTOGRAPHS, FileSize, descriptor_text
from partway.storage.exchange.flatten import rows_of
from partway.storage.exchange.package_photographs import resources, write_photographs
from partway.storage.refusals import BadLedger

ZIP = ".zip"
ATTEMPTS = 5  # at a moment in which nobody adds anything
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest time a zip file knows: the same events, the same bytes


def write_package(book: Book, target: Path, since: dt.datetime | None = None, until: dt.datetime | None = None) -> int:
    """Write the events of a book to a new folder, or to a zip file if `target` ends in .zip. Returns how many.

    With `since` or `until` (since <= happened < until) derived tables are left out, as they follow from all events.
    Raises Refused if `target` exists or cannot be written; then nothing is left behind.
    """
    if target.suffix.lower() != ZIP:
        with new_folder(target) as folder:
            return _fill(book, folder, since, until)
    with new_file(target) as part, tempfile.TemporaryDirectory(dir=target.parent, prefix=".partway-") as folder_name:
        count = _fill(book, Path(folder_name), since, until)
        _pack(Path(folder_name), part)
    return count


def _fill(book: Book, folder: Path, since: dt.datetime | None, until: dt.datetime | None) -> int:
    """The files of a package, in an empty folder."""
    tables = [*event_tables(), *list_tables()]
    if since is None and until is None:
        count = _fill_whole(book, folder)
        tables += DERIVED
        about = "All of the ledger."
    else:
        count = _fill_events(book.recorded(since, until), folder)
        about = f"Events that happened {_span(since, until)}; what follows from all events is left out."
    files = {table.file: _measured(folder / table.file) for table in tables}
    pictured = named_in(book.events((Pictured.KIND,), since=since, until=until))
    photographs = {file: _measured(folder / file) for file in write_photographs(pictured, book.photographs, folder)}
    text = descriptor_text(files, tables, about, resources(photographs))
    (folder / NAME).write_text(text, encoding="utf-8", newline="")
    return count


def _fill_whole(book: Book, folder: Path) -> int:
    """The tables of all events and the derived tables of the same moment, also while others write to the ledger."""
    derived = {table: list(rows(book)) for table, rows in DERIVED.items()}
    for _ in range(ATTEMPTS):
        count = _fill_events(book.recorded(), folder)
        before, derived = derived, {table: list(rows(book)) for table, rows in DERIVED.items()}
        if derived == before:
            break
    else:
        raise BadLedger("a ledger that others write to all the time", "a quiet moment; try again", "ledger")
    for table, rows in derived.items():
        with _Writers(folder, [table]) as writers:
            writers.write_rows(table, rows)
    return count


def _fill_events(events: Iterable[Event], folder: Path) -> int:
    with _Writers(folder, [*event_tables(), *list_tables()]) as writers:
        return writers.write(events)


def _span(since: dt.datetime | None, until: dt.datetime | None) -> str:
    words = [f"from {since.isoformat()} on" if since else "", f"before {until.isoformat()}" if until else ""]
    return " and ".join(filter(None, words))


class _Writers:
    """Keeps a file open for each table, so that one pass over the events is enough."""

    def __init__(self, folder: Path, tables: Sequence[Table]) -> None:
        self._folder, self._tables = folder, tables
        self._files: dict[str, IO[str]] = {}
        self._stack = ExitStack()

    def __enter__(self) -> _Writers:
        for table in self._tables:
            file = self._stack.enter_context((self._folder / table.file).open("w", encoding="utf-8", newline=""))
            file.write(header(table.columns))
            self._files[table.name] = file
        return self

    def __exit__(self, *_: object) -> None:
        self._stack.close()

    def write(self, events: Iterable[Event]) -> int:
        """The rows of all events; how many events."""
        count = 0
        for event in events:
            for table, values in rows_of(event):
                self._files[table.name].write(line(values, table.columns))
            count += 1
        return count

    def write_rows(self, table: Table, rows: Iterable[Sequence[Json]]) -> None:
        """Rows of one table."""
        for values in rows:
            self._files[table.name].write(line(values, table.columns))


def _measured(file: Path) -> FileSize:
    with file.open("rb") as binary:
        return FileSize(file.stat().st_size, hashlib.file_digest(binary, "sha256").hexdigest())


def _pack(folder: Path, part: Path) -> None:
    with zipfile.ZipFile(part, "x", zipfile.ZIP_DEFLATED) as package:
        files = {file.relative_to(folder).as_posix(): file for file in folder.rglob("*") if file.is_file()}
        for name, file in sorted(files.items(), key=lambda item: (item[0] != NAME, item[0])):
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_STORED if name.startswith(PHOTOGRAPHS) else zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            with file.open("rb") as source, package.open(entry, "w", force_zip64=False) as sink:
                shutil.copyfileobj(source, sink)
