"""What one piece of a grade weighs, as far as a ledger and its catalogue know it without asking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from partway.ledger import trading
from partway.ledger.book import Book
from partway.pricelist.lines import PieceMass
from partway.quantities import kg_per, to_mg
from partway.things.buyers import buyer_name
from partway.things.limits.counting import piece_masses
from partway.valuing.known import estimates_of
from partway.valuing.learned import by_own_hands

ALIKE = 2.0  # the heaviest piece over the lightest, up to which their mean is worth more than a question


def one_piece(book: Book, grade: str, unit: str) -> PieceMass | None:
    """As another buyer counts it, the newest word first; else the mean of the pieces that are sold as the grade, by own
    weighings or by the catalogue, to two digits of `unit`. None where nobody says, or where they differ widely.
    """
    said = [quote for quote in trading.quotes(book) if quote.grade == grade and quote.price is not None]
    heard = max((quote for quote in said if quote.piece_mg), key=lambda quote: (quote.on, quote.buyer), default=None)
    if heard is not None:
        terms = trading.buyers(book).get(heard.buyer)
        return PieceMass(heard.piece_mg, f"as {buyer_name(heard.buyer, terms.name if terms else '')} counts them")
    known = alike_masses(book.once(_masses).get(grade, ()), book.once(_whole_masses).get(grade, ()))
    mg = _rounded(sum(known) / len(known), unit) if known else 0
    return PieceMass(mg, "the mean of what is sold as it") if mg else None


def alike_masses(pieces: Sequence[float], whole: Sequence[float]) -> Sequence[float]:
    """Those of which a mean may be taken: of finds that are sold whole as the grade, car batteries, before pieces that
    come out of others; none where they differ widely.
    """
    return next((found for found in (whole, pieces) if found and found[-1] <= ALIKE * found[0]), ())


def _masses(book: Book) -> Mapping[str, tuple[float, ...]]:
    return piece_masses(by_own_hands(book, anatomy) for anatomy in estimates_of(book).all_anatomies())


def _whole_masses(book: Book) -> Mapping[str, tuple[float, ...]]:
    return piece_masses((by_own_hands(book, anatomy) for anatomy in estimates_of(book).all_anatomies()), whole=True)


def _rounded(kg: float, unit: str) -> int:
    """Milligrams of a mass to two digits, in pounds where they are spoken."""
    per = kg_per("lb" if unit in {"lb", "oz"} else "kg")
    return to_mg(Decimal(f"{kg / float(per):.2g}") * per, "piece")
