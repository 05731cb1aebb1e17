"""The form in which something is learned from a ledger: what is read from it, and what that makes of an anatomy."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass

from partway.ledger.book import Book
from partway.things.anatomy import Anatomy


def whole_ledger(book: Book) -> Hashable:
    """The state of the ledger: for a learner that does not say what it hangs on."""
    return book.mark()


@dataclass(frozen=True, slots=True)
class Learner:
    """`learn` puts what a book knows better in place of an anatomy's estimates.

    `evidence` is all of the ledger that it hangs on: the same evidence gives the same anatomies, so that what was
    worked out from them is kept while other things change. Nothing learned is stored, and the order in which two
    ledgers were merged makes no difference.
    """

    learn: Callable[[Book, Anatomy], Anatomy]
    evidence: Callable[[Book], Hashable] = whole_ledger
