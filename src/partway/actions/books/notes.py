"""A note: a line in one's own words about a find, a buyer, a bin, or nothing in particular."""

from __future__ import annotations

from partway.actions.bins.bins import bin_named
from partway.actions.books.results import NoteResult
from partway.actions.buyers.buyers import buyer_named
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.naming import tell_find, thing_named
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.kinds import Noted
from partway.ledger.fold import standing


@decides(shipped)
def note(
    book: Book,
    context: Context,
    text: str,
    find: str | None = None,
    buyer: str | None = None,
    bin_id: str | None = None,
) -> Recorded[NoteResult]:
    """Note something down. A find may also be one of which nothing is left: what is learned of it comes later, too."""
    noted = Noted(reading.words(text, "text"), *about_of(book, context, find, buyer, bin_id))
    result = NoteResult(noted.text, noted.find or "", noted.buyer or "", noted.bin or "")
    return record(book, context, [noted], result)


def about_of(
    book: Book, context: Context, find: str | None, buyer: str | None, bin_id: str | None
) -> tuple[str | None, str | None, str | None]:
    """The find, the buyer and the bin that are meant, None where none was said. Raises Refused."""
    return (
        None if find is None else _find(book, context, find),
        None if buyer is None else buyer_named(book, buyer).buyer,
        None if bin_id is None else bin_named(book, bin_id, exact=context.exact).id,
    )


def _find(book: Book, context: Context, given: str) -> str:
    """The find that a text names, gone or not. Raises Refused, also for a day before it was found."""
    name = thing_named(
        given,
        standing.find_ids(book),
        "find",
        "find",
        lambda key: tell_find(book, standing.find(book, key)),
        context.exact,
    )
    found = standing.find(book, name).found
    if context.time < found:
        raise Refused(f"a day before {name} was found", f"{found:%Y-%m-%d} or later", "on")
    return name
