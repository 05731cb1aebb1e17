"""Names of new things: a word and the next number."""

from __future__ import annotations

from partway.ledger.book import Book


def next_name(book: Book, sort: str, kind: str, start: str) -> str:
    """`start` with the number after the highest ever given: `sort` is that of its subjects (find), `kind` that of the
    event that makes one (found).

    A name whose event was taken back stays taken, since that may be taken back in turn. Only inside `deciding` is it
    sure that nobody else takes the same number.
    """
    first = len(f"{sort}:{start}")
    tails = [subject[first:] for subject in book.subjects((kind,), f"{sort}:{start}")]
    return f"{start}{max((int(tail) for tail in tails if tail.isascii() and tail.isdecimal()), default=0) + 1}"
