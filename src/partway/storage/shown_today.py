"""Which caution cards somebody was shown in full today: a small file beside the ledger, no part of it.

It may be lost, cut short or written by two programs at once without harm: then a card is shown in full once more.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from pathlib import Path

from partway.storage.exchange.atomic_files import beside, private
from partway.storage.store import SqlBook
from partway.storage.workspace import FILE, usual_folder

NAME = "cautions-shown.json"
MOST_BYTES = 1_000_000  # nothing of ours is so large


def shown_to(book: SqlBook, who: str, day: dt.date) -> frozenset[str]:
    """Ids of the cards that somebody was shown in full on a day; none where that is not known."""
    return frozenset(_read(_path(book), day).get(who, ()))


def note_shown(book: SqlBook, who: str, day: dt.date, cards: Iterable[str]) -> None:
    """Remember that somebody was shown these cards in full on a day; earlier days are forgotten."""
    path = _path(book)
    known = _read(path, day)  # once more: somebody else may have been shown some meanwhile
    known[who] = sorted({*known.get(who, ()), *cards})
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with beside(path) as part:
            private(part)
            part.write_text(json.dumps({"day": day.isoformat(), "shown": known}, ensure_ascii=False), encoding="utf-8")
            part.replace(path)
    except OSError:
        return  # a folder that may only be read: shown in full again


def _read(path: Path, day: dt.date) -> dict[str, list[str]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            return {}
        data = json.loads(path.read_text(encoding="utf-8"))
        if data["day"] != day.isoformat():
            return {}
        return {str(who): [str(card) for card in cards] for who, cards in data["shown"].items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}


def _path(book: SqlBook) -> Path:
    file = Path(book.where)
    return (file.parent if file.name == FILE and "://" not in book.where else usual_folder()) / NAME
