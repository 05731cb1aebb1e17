"""What stands now, read from a book: finds, bins, buyers, quotes and settings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from partway.ledger.balance.conflicts import Code, codes_by_subject
from partway.ledger.book import Book, Which
from partway.ledger.events.kinds import Works

OPEN = Which("find:", said="kind", unsaid="closed")  # finds of which something is left


@dataclass(frozen=True, slots=True)
class FindNow:
    """A find as the ledger has it; `mg` is what is left of it, 0 where nobody weighed it.

    `conflict` says why its figures are in doubt, empty where they are not.
    """

    id: str
    kind: str
    count: int
    works: Works
    mg: int
    closed: bool
    found: dt.datetime
    source: str = ""
    note: str = ""
    model: str = ""
    signs: str = ""
    conflict: tuple[Code, ...] = ()


@dataclass(frozen=True, slots=True)
class BinNow:
    """A bin and what is in it; `conflict` as of a find."""

    id: str
    grade: str
    mg: int
    name: str = ""
    capacity_l: Decimal | None = None
    conflict: tuple[Code, ...] = ()


def finds(book: Book) -> dict[str, FindNow]:
    """All finds that are not closed, read once for each state of the ledger: a page and the names on it both ask."""
    return dict(book.once(_open_finds))


def _open_finds(book: Book) -> dict[str, FindNow]:
    masses = {place: mg for (place, _), mg in book.balances(OPEN).items()}
    fields: dict[str, dict[str, str]] = {}
    for (subject, name), value in book.facts(OPEN).items():
        fields.setdefault(subject, {})[name] = value
    codes = codes_by_subject(book.conflicts())
    return {s[5:]: _find(s, fields[s], masses.get(s, 0), codes.get(s, ())) for s in sorted(fields)}


def find_ids(book: Book) -> frozenset[str]:
    """The ids of all finds there ever were."""
    return frozenset(subject[5:] for subject, _ in book.facts("find:", "kind"))


def find(book: Book, find_id: str) -> FindNow:
    """One find, closed or not. Raises KeyError."""
    subject = f"find:{find_id}"
    masses = book.balances(subject)
    codes = codes_by_subject(book.conflicts()).get(subject, ())
    return _find(subject, _fields(book, subject), masses.get((subject, ""), 0), codes)


def _fields(book: Book, subject: str) -> dict[str, str]:
    return {name: value for (of, name), value in book.facts(subject).items() if of == subject}


def _find(subject: str, fields: Mapping[str, str], mg: int, conflict: tuple[Code, ...]) -> FindNow:
    return FindNow(
        id=subject[5:],
        kind=fields["kind"],
        count=int(fields.get("count", "1")),
        works=cast(Works, fields.get("works", "unknown")),
        mg=mg,
        closed=fields.get("closed") == "yes",
        found=dt.datetime.fromisoformat(fields["found"]),
        source=fields.get("source", ""),
        note=fields.get("note", ""),
        model=fields.get("model", ""),
        signs=fields.get("signs", ""),
        conflict=conflict,
    )


def bins(book: Book) -> dict[str, BinNow]:
    """All bins, empty ones too."""
    found: dict[str, dict[str, str]] = {}
    for (subject, name), value in book.facts("bin:").items():
        found.setdefault(subject, {})[name] = value
    masses: dict[str, int] = {}
    for (place, _), mg in book.balances("bin:").items():
        masses[place] = masses.get(place, 0) + mg
    codes = codes_by_subject(book.conflicts())
    return {s[4:]: _bin(s, fields, masses.get(s, 0), codes.get(s, ())) for s, fields in sorted(found.items())}


def _bin(subject: str, fields: Mapping[str, str], mg: int, conflict: tuple[Code, ...]) -> BinNow:
    capacity = fields.get("capacity_l") or None
    litres = Decimal(capacity) if capacity else None
    return BinNow(subject[4:], fields["grade"], mg, fields.get("name", ""), litres, conflict)


def settings(book: Book) -> dict[str, str]:
    """Settings by name."""
    return {subject[8:]: value for (subject, _), value in book.facts("setting:", "value").items()}
