"""What was filled in about the place, as it stands."""

from __future__ import annotations

from typing import cast

from partway.ledger.book import Book
from partway.ledger.events.codec import payload_kept
from partway.ledger.events.kinds import Ruled


def rules(book: Book) -> dict[str, Ruled]:
    """The last word on each place card that has one."""
    facts = book.facts("rule:", "here")
    return {s[5:]: cast(Ruled, payload_kept("ruled", text, s)) for (s, _), text in sorted(facts.items())}
