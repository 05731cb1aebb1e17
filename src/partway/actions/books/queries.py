"""Which part of the ledger somebody wants to see."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from typing import TypedDict

from partway.actions.recording import reading
from partway.actions.recording.context import start_said
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import PAYLOADS
from partway.ledger.fold import standing
from partway.quantities import shown

SORTS = ("find", "bin", "buyer", "haul", "ticket", "round", "setting", "context", "rule", "listing")


class Filters(TypedDict):
    """Arguments of reports.books.ledger.report_ledger."""

    kinds: tuple[str, ...]
    subject: str | None
    since: dt.datetime | None
    until: dt.datetime | None


def filters(
    book: Book, now: dt.datetime, kinds: Sequence[str], about: str | None, since: str | None, until: str | None
) -> Filters:
    """What was asked for, as the report takes it. Raises Refused."""
    return {
        "kinds": tuple(reading.one_of(kind, PAYLOADS, "kind of event", "kind") for kind in kinds),
        "subject": None if about is None else _subject(book, about),
        "since": None if since is None else start_said(since, now, "since"),
        "until": None if until is None else start_said(until, now, "until"),
    }


def _named_whole(book: Book, name: str) -> str | None:
    """The subject of that very name: asked first, since all names of ten years are many."""
    plain = re.sub(r"[\s_]+", "-", name)
    subjects = (f"{sort}:{plain}" for sort in SORTS[:6])
    return next((s for s in subjects if any(of == s for of, _ in book.facts(s))), None)


def _subject(book: Book, about: str) -> str:
    sort, colon, name = about.strip().lower().partition(":")
    if colon:
        if sort not in SORTS:
            raise Refused(shown(about), f"one of {', '.join(f'{s}:ID' for s in SORTS)}", "about")
        return f"{sort}:{reading.text(name, 'about')}"
    if whole := _named_whole(book, sort):
        return whole
    known = {name: f"find:{name}" for name in standing.find_ids(book)}
    for prefix, names in (("bin", standing.bins(book)), ("buyer", trading.buyers(book)), ("haul", trading.hauls(book))):
        known |= {name: f"{prefix}:{name}" for name in names if name not in known}
    known |= {name: f"ticket:{name}" for name in trading.tickets(book) if name not in known}
    return known[reading.one_of(about, known, "find, bin, buyer, haul or ticket", "about")]
