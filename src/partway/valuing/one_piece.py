"""What one piece of a grade weighs, as far as a ledger and its catalogue know it without asking."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from partway.ledger import trading
from partway.ledger.book import Book
from partway.pricelist.lines import PieceMass
from partway.pricelist.names import idle, words_of
from partway.quantities import kg_per, to_mg
from partway.things.buyers import buyer_name
from partway.things.limits.counting import piece_masses, whole_masses
from partway.valuing.known import estimates_of
from partway.valuing.learned import by_own_hands

ALIKE = 2.0  # the heaviest piece over the lightest, up to which their mean is worth more than a question


def one_piece(book: Book, grade: str, unit: str, words: Sequence[str] = ()) -> PieceMass | None:
    """As another buyer counts it, the newest word first; else the mean of the pieces that are sold as the grade, by own
    weighings or by the catalogue, to two digits of `unit`. None where nobody says, or where they differ widely.

    `words` are the plain words it was called by: finds that go by them, "car batteries", come before all other pieces.
    """
    said = [quote for quote in trading.quotes(book) if quote.grade == grade and quote.price is not None]
    heard = max((quote for quote in said if quote.piece_mg), key=lambda quote: (quote.on, quote.buyer), default=None)
    if heard is not None:
        terms = trading.buyers(book).get(heard.buyer)
        return PieceMass(heard.piece_mg, f"as {buyer_name(heard.buyer, terms.name if terms else '')} counts them")
    called = called_so(book.once(_whole_masses).get(grade, ()), words)
    known = alike_masses(called, book.once(_masses).get(grade, ()))
    mg = _rounded(sum(known) / len(known), unit) if known else 0
    by = "the mean of what goes by that name" if called and known is called else "the mean of what is sold as it"
    return PieceMass(mg, by) if mg else None


def called_so(whole: Sequence[tuple[str, float]], words: Sequence[str]) -> Sequence[float]:
    """The masses of the finds whose name has all of some words in it, lightest first."""
    said = frozenset(words) - idle()
    return tuple(sorted(kg for name, kg in whole if said and said <= frozenset(words_of(name))))


def alike_masses(*masses: Sequence[float]) -> Sequence[float]:
    """The first of which a mean may be taken; none where all differ widely."""
    return next((found for found in masses if found and found[-1] <= ALIKE * found[0]), ())


def _masses(book: Book) -> Mapping[str, tuple[float, ...]]:
    return piece_masses(by_own_hands(book, anatomy) for anatomy in estimates_of(book).all_anatomies())


def _whole_masses(book: Book) -> Mapping[str, tuple[tuple[str, float], ...]]:
    return whole_masses(by_own_hands(book, anatomy) for anatomy in estimates_of(book).all_anatomies())


def _rounded(kg: float, unit: str) -> int:
    """Milligrams of a mass to two digits, in pounds where they are spoken."""
    per = kg_per("lb" if unit in {"lb", "oz"} else "kg")
    return to_mg(Decimal(f"{kg / float(per):.2g}") * per, "piece")
