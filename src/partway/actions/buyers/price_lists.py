"""A pasted or dictated price list of a buyer: read against what it said before, saved as a whole or not at all."""

from __future__ import annotations

from collections.abc import Container, Sequence
from decimal import Decimal

from partway.actions.buyers.buyers import buyer_named
from partway.actions.buyers.quoting import QuoteGiven, quotes
from partway.actions.buyers.results import QuotesResult
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides
from partway.actions.saying.remembered import meant_before, remembering
from partway.catalogue import shipped
from partway.display import decimal_comma
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Set
from partway.ledger.fold.standing import settings
from partway.pricelist import PriceLine, all_understood, answer, fee_of, read_price_list
from partway.pricelist.layout.ticket_fees import TicketFee, together
from partway.pricelist.lines import EACH
from partway.quantities import MG_PER_KG, kg_per, shown
from partway.valuing.one_piece import one_piece


def read_list(book: Book, buyer: str, text: str, *, comma: bool = False, who: str = "") -> list[PriceLine]:
    """What a list says; lines that are not clear carry a question. Raises Refused for a list that says nothing.

    `comma`: decimals come after a comma, as they do where the workspace's locale has it so. `who`: what this person
    answered before of a name, at this buyer, is not asked again.
    """
    locale = settings(book).get("locale")
    comma = comma or (locale is not None and decimal_comma(locale))
    terms = buyer_named(book, buyer)
    of = terms.buyer
    unit = settings(book).get("unit")
    if unit is None:
        raise Refused("a workspace without a unit", "the unit of a bare price", "quotes", hint=Hint("set", "unit"))
    heard = trading.quotes(book, of)
    known = {q.grade: float(q.price / kg_per(q.unit)) for q in heard if q.price is not None and not q.from_mg}
    pieces = {q.grade: q.piece_mg for q in heard if q.price is not None and q.piece_mg}
    mosts = {(q.grade, q.from_mg): (q.most_mg, q.most_pieces) for q in heard if q.price is not None}
    lines = read_price_list(
        text,
        shipped().grades,
        reading.currency(book),
        unit,
        known,
        comma=comma,
        pieces=pieces,
        mosts=mosts,
        elsewhere=lambda grade, words: one_piece(book, grade, unit, words),
        known_fee=TicketFee(terms.ticket_fee, terms.ticket_share),
        noted=terms.note,
    )
    if all(line.status == "remark" for line in lines):
        said = shown(text) if text.strip() else "nothing"
        raise Refused(said, 'a price list, such as "no 2 copper 4.10, motors 38c"', "quotes")
    if all(line.status == "remark" or line.asks == "fee" for line in lines):
        fee = next(line.text for line in lines if line.asks == "fee")
        raise Refused(shown(fee), "a price beside it; a fee of each ticket alone goes into the buyer's terms", "quotes")
    return as_before(book, who, of, lines) if who else lines


def as_before(book: Book, who: str, buyer: str, lines: list[PriceLine], but: Container[int] = ()) -> list[PriceLine]:
    """The lines with the grades that names were answered to mean before; `but` are positions of lines that are answered
    now. Each such line has the words of its name as `item.called`.
    """
    while True:
        open_names = (
            line for line in lines if (line.offers or (line.question and line.asks == "grade")) and line.item.words
        )
        for line in (line for line in open_names if line.position not in but):
            before = meant_before(book, who, " ".join(line.item.words), "grade", buyer)
            if before in shipped().grades:
                lines = answer(lines, line.position, before)
                break
        else:
            return lines


def _learned(book: Book, who: str, buyer: str, lines: Sequence[PriceLine]) -> list[Set]:
    """What the answers to open names say of those names, so that they are not asked again of this buyer."""
    meant: dict[str, set[str]] = {}
    for line in lines:
        called = () if line.item.settled and not _is_plain(line) else line.item.called
        if called and line.grade:
            meant.setdefault(" ".join(called), set()).add(line.grade)
    new = ((name, grade) for name, grades in meant.items() if len(grades) == 1 for grade in grades)
    return [
        one
        for name, grade in new
        if meant_before(book, who, name, "grade", buyer) != grade
        for one in remembering(who, name, "grade", grade, buyer)
    ]


def _is_plain(line: PriceLine) -> bool:
    """Whether a name that was answered together with others is one of several grades, and not a mistyped one."""
    if line.sheet is None:
        return False
    scores, whole = line.sheet.lexicon.match(line.item.called)
    return whole and len(scores) > 1


@decides(shipped)
def save_list(book: Book, context: Context, buyer: str, lines: Sequence[PriceLine]) -> Recorded[QuotesResult]:
    """Record all lines, a fee of each ticket among the buyer's terms, and what else holds for the whole ticket in its
    note, where no computation reads it.

    Raises Refused, with the questions, while one of them is not clear.
    """
    questions = [line.question for line in lines if line.question]
    if not all_understood(lines):
        raise Refused(
            "; ".join(questions) or "lines that are not clear", "an answer to each; nothing was saved", "quotes"
        )
    given = [_given(line) for line in lines if line.status != "remark"]
    fees = {line.position: fee for line in lines if (fee := fee_of(line)) is not None and line.item.fee == "yes"}
    known = {line.position for line in lines if line.item.fee == "" and fee_of(line) is not None}
    terms = [
        " ".join(line.text.split())
        for line in lines
        if line.passed_over == "ticket" and line.position not in fees and line.position not in known
    ]
    learned = _learned(book, context.who, buyer_named(book, buyer).buyer, lines)
    return quotes(book, context, buyer, given, terms, learned, together(fees.values()))


def price_of(line: PriceLine) -> str:
    """The price of a line that is understood as a quote takes it: "4.10 /lb", a range by its ends, "no"."""
    per = "each" if line.unit == EACH else f"/{line.unit}"
    if line.refuses or line.price is None:
        return "no"
    return f"{line.ends[0]:f} to {line.ends[1]:f} {per}" if line.ends else f"{line.price:f} {per}"


def _given(line: PriceLine) -> QuoteGiven:
    most = f"{line.most_pieces} pieces" if line.most_pieces else None
    if line.most_mg:
        most = f"{Decimal(line.most_mg) / MG_PER_KG:f} kg"
    least = line.minimum_mg or None
    return QuoteGiven(
        line.grade or "", price_of(line), line.from_mg or None, least, line.text, line.piece_mg or None, most
    )
