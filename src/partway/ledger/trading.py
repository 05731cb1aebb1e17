"""Buyers, their quotes, hauls and tickets as they stand, read from a book."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from partway.ledger.book import Book, Facts
from partway.ledger.events.codec import payload_kept
from partway.ledger.events.event import Event
from partway.ledger.events.kinds import Quoted, Ticketed, Traded

# Canonical JSON of a ticket has this field once, and a quote within a text is written with a backslash.
TOTAL = re.compile(r'"total":"(-?[0-9.]+)"')


@dataclass(frozen=True, slots=True)
class HaulNow:
    """A haul as last heard of."""

    id: str
    status: str
    stops: tuple[str, ...]


def buyers(book: Book) -> dict[str, Traded]:
    """Buyers with their terms."""
    facts = book.facts("buyer:", "terms")
    return {s[6:]: cast(Traded, payload_kept("traded", text, s)) for (s, _), text in sorted(facts.items())}


def quotes(book: Book, buyer: str = "", grade: str = "") -> tuple[Quoted, ...]:
    """The last word on each buyer, grade and tier, withdrawn ones (price None) too."""
    prefix = f"quote:{buyer}:{grade}:" if grade else f"quote:{buyer}:" if buyer else "quote:"
    facts = book.facts(prefix, "heard")
    return tuple(cast(Quoted, payload_kept("quoted", text, s)) for (s, _), text in sorted(facts.items()))


def terms_on(book: Book, buyer: str, ticket: Event) -> Traded | None:
    """A buyer's terms when a ticket was printed; None where nobody had named it yet."""
    said = [
        word.value
        for word in book.words((f"buyer:{buyer}",), "terms")
        if word.subject == f"buyer:{buyer}" and word.position < ticket.position
    ]
    return cast(Traded, payload_kept("traded", said[-1], f"buyer:{buyer}")) if said else None


def hauls(book: Book) -> dict[str, HaulNow]:
    """Hauls by id."""
    return _hauls(book.facts("haul:"))


def haul(book: Book, name: str) -> HaulNow | None:
    """One haul; None where nobody knows it."""
    return _hauls(_of(book, f"haul:{name}")).get(name)


def started(book: Book) -> dict[str, HaulNow]:
    """Hauls that somebody is on, by id: only those are read."""
    names = [s for (s, _), status in sorted(book.facts("haul:", "status").items()) if status == "started"]
    return {s[5:]: _hauls(_of(book, s))[s[5:]] for s in names}


def _of(book: Book, subject: str) -> Facts:
    return {key: value for key, value in book.facts(subject).items() if key[0] == subject}


def _hauls(facts: Facts) -> dict[str, HaulNow]:
    fields: dict[str, dict[str, str]] = {}
    for (subject, name), value in facts.items():
        fields.setdefault(subject[5:], {})[name] = value
    return {haul: HaulNow(haul, of["status"], _stops(of)) for haul, of in sorted(fields.items())}


def _stops(fields: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(json.loads(fields.get("stops") or "[]"))


def tickets(book: Book) -> dict[str, Ticketed]:
    """Tickets by id."""
    facts = book.facts("ticket:", "printed")
    return {s[7:]: cast(Ticketed, payload_kept("ticketed", text, s)) for (s, _), text in sorted(facts.items())}


def ticket(book: Book, name: str) -> Ticketed | None:
    """One ticket; None where nobody knows it."""
    text = book.facts(f"ticket:{name}", "printed").get((f"ticket:{name}", "printed"))
    return cast(Ticketed, payload_kept("ticketed", text, f"ticket:{name}")) if text else None


@dataclass(frozen=True, slots=True)
class Owed:
    """A ticket of which `open` is still to come."""

    id: str
    buyer: str
    total: Decimal
    open: Decimal


def owed(book: Book) -> dict[str, Owed]:
    """Tickets of which something is still to come, by id. Of the others nothing but their totals is read."""
    received, left = paid(book), {}
    for (subject, _), text in sorted(book.facts("ticket:", "printed").items()):
        name = subject[7:]
        came = received.get(name, Decimal(0))
        if _total(text, subject) > came:
            ticket = cast(Ticketed, payload_kept("ticketed", text, subject))
            left[name] = Owed(name, ticket.buyer, ticket.total, ticket.total - came)
    return left


def _total(text: str, subject: str) -> Decimal:
    """The total in a ticket's text; the rest is read only where it does not stand as the ledger writes it."""
    written = TOTAL.search(text)
    return Decimal(written[1]) if written else cast(Ticketed, payload_kept("ticketed", text, subject)).total


def paid(book: Book) -> dict[str, Decimal]:
    """What came in for each ticket."""
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for (_, ticket), amount in book.tagged("paid:").items():
        if ticket:
            sums[ticket] += amount
    return dict(sums)
