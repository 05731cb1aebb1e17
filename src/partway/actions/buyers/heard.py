"""A price that is only a number, "410" or "4.10": read, and asked about, as a line of a price list is."""

from __future__ import annotations

from partway.actions.buyers.price_lists import price_of, read_list
from partway.actions.buyers.quoting import quote
from partway.actions.buyers.results import QuotesResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides
from partway.actions.recording.questions import Asked
from partway.catalogue import shipped
from partway.errors import Refused
from partway.ledger.book import Book
from partway.pricelist import PriceLine
from partway.quantities import shown

EXPECTED = 'a price, such as "4.10 /lb", 38c or "four ten"'


@decides(shipped)
def quote_heard(
    book: Book,
    context: Context,
    buyer: str,
    grade: str,
    price: str,
    from_lot: reading.Mass | None = None,
    minimum: reading.Mass | None = None,
    piece: reading.Mass | None = None,
    most: str | None = None,
) -> Recorded[QuotesResult]:
    """Record one price. Raises Asked for a number that may be of cents as well as of whole units."""
    of = reading.grade(grade, "grade")
    heard = bare_price(book, buyer, of, price)
    return quote(book, context, buyer, of, heard, from_lot, minimum, piece, most)


def bare_price(book: Book, buyer: str, grade: str, given: str) -> str:
    """The price as an action takes it; what is more than a number stays as it is. Raises Asked and Refused."""
    if not reading.BARE.fullmatch(reading.pointed(book, given, "price").strip()) or given.strip().startswith("-"):
        return given
    line = price_line(book, buyer, grade, given.strip())
    if line.question:
        raise asked_of(line, given)
    return price_of(line)


def price_line(book: Book, buyer: str, grade: str, text: str) -> PriceLine:
    """A price of one grade as a list would have it. Raises Refused."""
    try:
        lines = read_list(book, buyer, f"{shipped().grades[grade].name} {text}")
    except Refused:  # of a whole list, which nobody typed
        raise Refused(shown(text), EXPECTED, "price") from None
    if len(lines) != 1 or lines[0].grade != grade:
        raise Refused(shown(text), EXPECTED, "price")
    return lines[0]


def asked_of(line: PriceLine, text: str) -> Asked:
    """The question of such a line, for somebody who is not there to answer: the answer is sent as the price."""
    choices = tuple((choice.key, choice.label) for choice in line.choices)
    expected = " or ".join(f'"{key}"' for key, _ in choices if "/" in key) or 'a price, such as "4.10 /lb"'
    return Asked(shown(text), expected, "price", option="price", choices=choices)
