"""When the ledger was last backed up: a line for each backup in a file beside the ledger."""

from __future__ import annotations

import datetime as dt
import json
import os
from dataclasses import dataclass
from pathlib import Path

from partway.storage.exchange.atomic_files import private
from partway.storage.store import SqlBook
from partway.storage.workspace import FILE, usual_folder

NAME = "backups.jsonl"


@dataclass(frozen=True, slots=True)
class Made:
    """A backup that was made: when, how many events it holds, and where it is (empty if not known)."""

    at: dt.datetime
    events: int
    file: str


def note_backup(book: SqlBook, file: str, events: int, at: dt.datetime) -> bool:
    """Remember a backup. Returns whether that was possible: a read-only ledger can be backed up, but not noted."""
    path = _path(book)
    line = {"ledger": book.where, "at": at.astimezone(dt.UTC).isoformat(), "events": events, "file": file}
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        private(path)
        with path.open("a", encoding="utf-8") as lines:
            lines.write(json.dumps(line, ensure_ascii=False) + "\n")
            lines.flush()
            os.fsync(lines.fileno())
    except OSError:
        return False
    return True


def last_backup(book: SqlBook) -> Made | None:
    """The latest known backup. A line that cannot be read was cut short and is skipped."""
    try:
        lines = _path(book).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return None
    found = [made for line in lines if (made := _made(line, book.where)) is not None]
    return max(found, key=lambda made: made.at, default=None)


def _made(line: str, ledger: str) -> Made | None:
    try:
        data = json.loads(line)
        if Path(data["ledger"]).name != Path(ledger).name or ("://" in ledger and data["ledger"] != ledger):
            return None
        at = dt.datetime.fromisoformat(data["at"])
        return Made(at, int(data["events"]), str(data["file"])) if at.tzinfo else None
    except (ValueError, TypeError, KeyError):
        return None


def _path(book: SqlBook) -> Path:
    file = Path(book.where)
    return (file.parent if file.name == FILE and "://" not in book.where else usual_folder()) / NAME
