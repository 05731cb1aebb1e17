"""Buyers, their quotes, hauls and tickets as they stand, read from a book."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from partway.ledger.book import Book
from partway.ledger.codec import payload_from
from partway.ledger.payloads import Paid, Quoted, Ticketed, Traded


@dataclass(frozen=True, slots=True)
class HaulNow:
    """A haul as last heard of."""

    id: str
    status: str
    stops: tuple[str, ...]


def buyers(book: Book) -> dict[str, Traded]:
    """Buyers with their terms."""
    facts = book.facts("buyer:", "terms")
    return {s[6:]: cast(Traded, payload_from("traded", text, s)) for (s, _), text in sorted(facts.items())}


def quotes(book: Book, buyer: str = "", grade: str = "") -> tuple[Quoted, ...]:
    """The last word on each buyer, grade and tier, withdrawn ones (price None) too."""
    prefix = f"quote:{buyer}:{grade}:" if grade else f"quote:{buyer}:" if buyer else "quote:"
    facts = book.facts(prefix, "heard")
    return tuple(cast(Quoted, payload_from("quoted", text, s)) for (s, _), text in sorted(facts.items()))


def hauls(book: Book) -> dict[str, HaulNow]:
    """Hauls by id."""
    fields: dict[str, dict[str, str]] = {}
    for (subject, name), value in book.facts("haul:").items():
        fields.setdefault(subject[5:], {})[name] = value
    return {haul: HaulNow(haul, of["status"], _stops(of)) for haul, of in sorted(fields.items())}


def _stops(fields: Mapping[str, str]) -> tuple[str, ...]:
    import json

    return tuple(json.loads(fields.get("stops") or "[]"))


def tickets(book: Book) -> dict[str, Ticketed]:
    """Tickets by id."""
    facts = book.facts("ticket:", "printed")
    return {s[7:]: cast(Ticketed, payload_from("ticketed", text, s)) for (s, _), text in sorted(facts.items())}


def paid(book: Book) -> dict[str, Decimal]:
    """What came in for each ticket."""
    voided = book.voided()
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for event in book.events(("paid",)):
        if event.id not in voided and isinstance(event.what, Paid) and event.what.ticket:
            sums[event.what.ticket] += event.what.amount
    return dict(sums)
