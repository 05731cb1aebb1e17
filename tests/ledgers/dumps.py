"""Ledgers as older versions left them, as SQL: `form-NNNN.sql` for each form of the tables (storage.migrations).

`python -m ledgers.dumps`, with tests/ on the path, writes the one for today's form; do so once, when a form is
released, and never again. 0000 is no release but the events alone, so that there is something older than the first one.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path
from uuid import UUID

from ledgers.devices import seeded_fleet
from ledgers.yard import seeded_history

from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Found
from partway.ledger.events.stamp import Stamp
from partway.storage.migrations import HEAD
from partway.storage.store import SqlBook
from partway.storage.tables.upgrade import APPLICATION_ID
from partway.storage.workspace import open_file

FOLDER = Path(__file__).parent


def dumps() -> list[Path]:
    return sorted(FOLDER.glob("form-*.sql"))


def load(dump: Path, target: Path) -> None:
    """The file that a dump was made of; a dump does not hold the mark in the header, nor the write-ahead log."""
    with closing(sqlite3.connect(target)) as connection:
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("PRAGMA journal_mode = WAL")
        connection.executescript(dump.read_text(encoding="utf-8"))


def dump_text(path: Path) -> str:
    with closing(sqlite3.connect(path)) as connection:
        return "\n".join(connection.iterdump()) + "\n"


def write(target: Path) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ledger.sqlite"
        with open_file(path) as book:
            book.append(seeded_history(11, 30, corrections=6))
            book.append(seeded_fleet(12, 12))
            _noted(book)
        target.write_text(dump_text(path), encoding="utf-8")


def _noted(book: SqlBook) -> None:
    """What a phone noted, and the desk recorded later."""
    start = dt.datetime(2026, 3, 20, 8, 0, tzinfo=dt.UTC)
    for number, kind in enumerate(("fan", "kettle")):
        at = start + dt.timedelta(minutes=number)
        stamp = Stamp(book, "phone", at, new_id, at, UUID(int=0x019D0A43_0E60_7622_91E5_CF9E7DFCC500 + number))
        book.append([stamp.event(Found(f"noted-{number}", kind, mass_mg=1000 + number))])


if __name__ == "__main__":
    write(FOLDER / f"form-{HEAD}.sql")
