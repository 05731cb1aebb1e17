"""A pasted or dictated price list of a buyer: read against what it said before, saved as a whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partway.actions.buyers.buyers import buyer_named
from partway.actions.buyers.quoting import QuoteGiven, quotes
from partway.actions.buyers.results import QuotesResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides
from partway.catalogue import shipped
from partway.display import decimal_comma
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.fold.standing import settings
from partway.pricelist import PriceLine, all_understood, read_price_list
from partway.pricelist.lines import EACH
from partway.quantities import MG_PER_KG, kg_per


def read_list(book: Book, buyer: str, text: str, *, comma: bool = False) -> list[PriceLine]:
    """What a list says; lines that are not clear carry a question. Raises Refused for a list that says nothing.

    `comma`: decimals come after a comma, as they do where the workspace's locale has it so.
    """
    locale = settings(book).get("locale")
    comma = comma or (locale is not None and decimal_comma(locale))
    of = buyer_named(book, buyer).buyer
    unit = settings(book).get("unit")
    if unit is None:
        raise Refused("a workspace without a unit", "the unit of a bare price", "quotes", hint=Hint("set", "unit"))
    heard = trading.quotes(book, of)
    known = {q.grade: float(q.price / kg_per(q.unit)) for q in heard if q.price is not None and not q.from_mg}
    pieces = {q.grade: q.piece_mg for q in heard if q.price is not None and q.piece_mg}
    mosts = {(q.grade, q.from_mg): (q.most_mg, q.most_pieces) for q in heard if q.price is not None}
    lines = read_price_list(
        text, shipped().grades, reading.currency(book), unit, known, comma=comma, pieces=pieces, mosts=mosts
    )
    if all(line.status == "remark" for line in lines):
        raise Refused("nothing", 'a price list, such as "no 2 copper 4.10, motors 38c"', "quotes")
    return lines


@decides(shipped)
def save_list(book: Book, context: Context, buyer: str, lines: Sequence[PriceLine]) -> Recorded[QuotesResult]:
    """Record all lines, and what holds for the whole ticket in the buyer's note, where no computation reads it yet.

    Raises Refused, with the questions, while one of them is not clear.
    """
    questions = [line.question for line in lines if line.question]
    if not all_understood(lines):
        raise Refused(
            "; ".join(questions) or "lines that are not clear", "an answer to each; nothing was saved", "quotes"
        )
    given = [_given(line) for line in lines if line.status != "remark"]
    terms = [" ".join(line.text.split()) for line in lines if line.passed_over == "ticket"]
    return quotes(book, context, buyer, given, terms)


def _given(line: PriceLine) -> QuoteGiven:
    per = "each" if line.unit == EACH else f"/{line.unit}"
    price = "no" if line.refuses or line.price is None else f"{line.price:f} {per}"
    if line.ends:
        price = f"{line.ends[0]:f} to {line.ends[1]:f} {per}"
    most = f"{line.most_pieces} pieces" if line.most_pieces else None
    if line.most_mg:
        most = f"{Decimal(line.most_mg) / MG_PER_KG:f} kg"
    least = line.minimum_mg or None
    return QuoteGiven(line.grade or "", price, line.from_mg or None, least, line.text, line.piece_mg or None, most)
