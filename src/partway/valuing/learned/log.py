"""The newest events of some kinds, from which something is learned: read once, and after that what was added since.

Only the newest count (MOST of them, by when they were typed), so that a ledger of ten years is as quick to learn from
as one of a year.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

from partway.ledger.book import Book, Unread

MOST = 2000  # events


@dataclass(frozen=True, slots=True)
class Log:
    """Events, newest first, of a ledger that has `count` of their kinds; ids of all that do not count."""

    count: int
    events: tuple[Unread, ...]
    voided: frozenset[UUID]

    @property
    def counting(self) -> Iterator[Unread]:
        """Those that count."""
        out = {str(one) for one in self.voided}
        return (event for event in self.events if event.id not in out)


def read_on(book: Book, before: Log | None, kinds: Sequence[str]) -> Log:
    """The log as it is now: the one from before where nothing came in, and all of it anew where something came in
    between or does not count any more.
    """
    count, voided = book.count(kinds), book.voided()
    if before is not None and before.events and voided == before.voided:
        new = book.unread(kinds, MOST, after=before.events[0].id)
        if before.count + len(new) == count:
            return Log(count, (*new, *before.events)[:MOST], voided) if new else before
    return Log(count, tuple(book.unread(kinds, MOST)), voided)
