"""Quotes: one, or a whole price list at once."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from partway.actions.buyers.buyers import buyer_named
from partway.actions.buyers.results import QuoteResult, QuotesResult, TermKept
from partway.actions.recording import reading
from partway.actions.recording.context import Context, Recorded, decides, record
from partway.actions.recording.heard import plain_price, price_ends
from partway.catalogue import shipped
from partway.catalogue.cards import shipped_cards
from partway.errors import Hint, Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.kinds import Quoted, Set, Traded
from partway.ledger.fold.standing import settings
from partway.pricelist.layout.ticket_fees import NO_FEE, TicketFee
from partway.pricelist.lines import PieceMass
from partway.quantities import EACH, MG_PER_KG, SIGNS, kg_per, parse_price, shown
from partway.things.buyers import refused_names
from partway.things.units import MASS_UNITS
from partway.valuing.one_piece import one_piece

PIECES = re.compile(r"([0-9]+)\s*(?:pieces|piece|pcs|pc)\.?", re.IGNORECASE)
NOTE_MOST = 200  # characters of a buyer's note
NOT_TAKEN = frozenset({"no", "none", "not taken", "-"})


@dataclass(frozen=True, slots=True)
class QuoteGiven:
    """One price as it was heard: "4.10 /lb", or "no" where the buyer no longer takes the grade.

    "6 each" is a price by the piece; `piece` is then what one weighs. "12 to 18 c/lb" is a range, kept as such, which
    counts at its middle. `most` is the most of the grade that is taken at
    one visit: a mass, or "5 pieces", for which what one weighs is said as well.
    """

    grade: str
    price: str
    from_lot: reading.Mass | None = None
    minimum: reading.Mass | None = None
    said: str = ""
    piece: reading.Mass | None = None
    most: str | None = None


@decides(shipped)
def quotes(
    book: Book,
    context: Context,
    buyer: str,
    given: Sequence[QuoteGiven],
    terms: Sequence[str] = (),
    learned: Sequence[Set] = (),
    fee: TicketFee = NO_FEE,
) -> Recorded[QuotesResult]:
    """Record what a buyer said, all of it or nothing; `terms` hold for the whole ticket and go into its note,
    `learned` is what names were answered to mean, `fee` is kept back of each ticket from now on, as far as it says.
    """
    of = buyer_named(book, buyer)
    if not given:
        raise Refused("no quote", "at least one", "quotes")
    heard = [quoted for quote in given for quoted in _quoted(book, context.day, of, quote)]
    seen: set[tuple[str, int]] = set()
    for quote in heard:
        if (quote.grade, quote.from_mg) in seen:
            raise Refused(f"{quote.grade} twice", "one price for each grade and lot", "quotes")
        seen.add((quote.grade, quote.from_mg))
    hazards = [h for quote in heard for h in shipped().grades[quote.grade].hazards]
    note, kept = _noted(of.note, terms)
    flat, share = fee.flat or of.ticket_fee, fee.share or of.ticket_share
    after = replace(of, note=note, ticket_fee=flat, ticket_share=share)
    keeps = None if fee == NO_FEE else (flat, share)
    told = tuple(_tell(book, quote) for quote in heard)
    result = QuotesResult(told, shipped_cards(hazards), kept, keeps)
    terms_kept = [after] if after != of else []
    return record(book, context, [*heard, *terms_kept, *learned], result)


def _noted(note: str, terms: Sequence[str]) -> tuple[str, tuple[TermKept, ...]]:
    """A buyer's note with the terms that are not in it yet, as far as there is room, and what became of each."""
    kept = []
    for term in terms:
        plain = "".join(letter if letter.isprintable() else " " for letter in term).strip()
        if plain.lower() in note.lower():
            continue
        longer = f"{note}; {plain}" if note else plain
        kept.append(TermKept(plain, len(longer) <= NOTE_MOST))
        note = longer if len(longer) <= NOTE_MOST else note
    return note, tuple(kept)


@decides(shipped)
def quote(
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
    """Record one price; what one piece weighs, where nobody says it, is as in a list: as this buyer said it last, or as
    others and the catalogue have it.
    """
    known = _known_piece(book, buyer, grade) if piece is None and EACH.fullmatch(price.strip()) else None
    one = f"{Decimal(known.mg) / MG_PER_KG:f} kg" if known is not None else piece
    said = f"{grade} {price}" + ("" if one is None else f", one weighs {one}")
    recorded = quotes(book, context, buyer, [QuoteGiven(grade, price, from_lot, minimum, said, one, most)])
    if known is None:
        return recorded
    result = recorded.result
    named = tuple(replace(told, piece_mg=known.mg, piece_by=known.by) for told in result.quotes)
    return replace(recorded, result=replace(result, quotes=named))


def _known_piece(book: Book, buyer: str, grade: str) -> PieceMass | None:
    """What one piece of a grade weighs, as this buyer said it last, else as anybody knows it."""
    of, grade = buyer_named(book, buyer), reading.grade(grade, "grade")
    last = next((q.piece_mg for q in trading.quotes(book, of.buyer, grade) if q.piece_mg), 0)
    if last:
        return PieceMass(last, "as said before")
    return one_piece(book, grade, settings(book).get("unit", "kg"))


def _quoted(book: Book, day: dt.date, buyer: Traded, given: QuoteGiven) -> list[Quoted]:
    grade = reading.grade(given.grade, "grade")
    if given.price.strip().lower() in NOT_TAKEN:
        return _withdrawn(book, day, buyer, grade, given)
    refused = refused_names(buyer, shipped().grades[grade])
    if refused:
        what = f"a price of {grade} from {buyer.buyer}, which refuses {', '.join(refused)}"
        raise Refused(what, "another grade", "grade", hint=Hint("refuses", buyer.buyer))
    (price, unit), ends = _price_or_range(book, grade, given)
    opens = _lot(book, given.from_lot, "from")
    least = _lot(book, given.minimum, "minimum")
    most_mg, pieces = _most(book, given)
    if most_mg and most_mg < max(opens, least):
        raise Refused(shown(given.most), "at least the smallest lot that gets this price", "most")
    each = EACH.fullmatch(given.price.strip()) is not None
    piece = _lot(book, given.piece, "piece")
    said = given.said[:200]
    return [Quoted(buyer.buyer, grade, price, unit, day, opens, least, said, most_mg, pieces, piece, each, *ends)]


def _most(book: Book, given: QuoteGiven) -> tuple[int, int]:
    """The most that is taken, in milligrams or in pieces; 0 for what was not said."""
    if given.most is None:
        return 0, 0
    number = PIECES.fullmatch(given.most.strip())
    if number is None:
        return reading.mass_mg(book, given.most, "most"), 0
    if given.piece is None:
        raise Refused(shown(given.most), "what one piece weighs as well", "piece")
    return 0, reading.count(int(number[1]), "most")


def _price_or_range(
    book: Book, grade: str, given: QuoteGiven
) -> tuple[tuple[Decimal, str], tuple[Decimal | None, Decimal | None]]:
    """The price, and the ends of a range of which it is the middle."""
    said = price_ends(book, given.price, f"price of {grade}")
    if said is None:
        return _price(book, grade, given), (None, None)
    (low, unit), (high, _) = (_price(book, grade, replace(given, price=end)) for end in said)
    return ((low + high) / 2, unit), (low, high)


def _price(book: Book, grade: str, given: QuoteGiven) -> tuple[Decimal, str]:
    """By mass as said; by the piece through what one weighs, to a millionth per kg."""
    where, code = f"price of {grade}", reading.currency(book)
    text = plain_price(book, _pointed(book, given.price, grade), code, where)
    each = EACH.fullmatch(text.strip())
    if each is None:
        if given.piece is not None and PIECES.fullmatch((given.most or "").strip()) is None:
            raise Refused(
                f"{shown(given.price)} and what a piece weighs", 'a price by the piece, such as "6 each"', where
            )
        return price_said(text, reading.currency(book), where)
    if given.piece is None:
        raise Refused(shown(given.price), "what one piece weighs as well", "piece")
    kg = Decimal(reading.mass_mg(book, given.piece, "piece")) / MG_PER_KG
    per_piece = parse_price(f"{each[1]} /kg", reading.currency(book), where)
    return (per_piece / kg).quantize(Decimal("0.000001")), "kg"


def _pointed(book: Book, said: str, where: str) -> str:
    """The price with its numerals pointed; one in words, or with a currency's sign, is left to be heard as it is."""
    plain = any(sign.isdigit() for sign in said) and not any(sign in said for sign in SIGNS)
    return reading.pointed(book, said, where) if plain else said


def _withdrawn(book: Book, day: dt.date, buyer: Traded, grade: str, given: QuoteGiven) -> list[Quoted]:
    """A grade no longer taken: its price and every tier of it end."""
    tiers = {q.from_mg: q.unit for q in trading.quotes(book, buyer.buyer, grade)} or {0: "kg"}
    return [Quoted(buyer.buyer, grade, None, unit, day, tier, 0, given.said[:200]) for tier, unit in tiers.items()]


def _lot(book: Book, given: reading.Mass | None, where: str) -> int:
    return 0 if given is None else reading.mass_mg(book, given, where, positive=False)


def unit_price(book: Book, given: str, where: str) -> tuple[Decimal, str]:
    """A price for a unit of mass and that unit, in digits or words; a bare number is per the workspace's unit.

    Raises Refused, also for a range: what was paid is one price.
    """
    code = reading.currency(book)
    if price_ends(book, given, where) is not None:
        raise Refused(shown(given), "one price, not a range", where)
    pointed = _pointed(book, given, where).strip()
    whole = reading.price(book, given, where) if reading.BARE.fullmatch(pointed) else pointed
    return price_said(plain_price(book, whole, code, where), code, where)


def price_said(text: str, currency: str, where: str) -> tuple[Decimal, str]:
    """The price per one unit and that unit, exactly as said: "38 c/lb" is 0.38 a lb. Raises BadQuantity."""
    parse_price(text, currency, where)  # refuses what is no price
    plain = re.sub(r"\s+per\s+", "/", text, count=1, flags=re.IGNORECASE)
    amount, _, spoken = plain.partition("/")
    price = parse_price(f"{amount}/kg", currency, where)
    of = kg_per(spoken)
    unit = min(MASS_UNITS, key=lambda name: abs(kg_per(name) - of))
    if kg_per(unit) != of:
        raise Refused(shown(text), f"a price per {', '.join(MASS_UNITS)}", where)
    return price, unit


def _tell(book: Book, quote: Quoted) -> QuoteResult:
    last = next((q for q in trading.quotes(book, quote.buyer, quote.grade) if q.from_mg == quote.from_mg), None)
    return QuoteResult(
        quote.buyer,
        quote.grade,
        quote.price,
        quote.unit,
        quote.from_mg,
        last.price if last else None,
        last.unit if last else "",
        quote.low,
        quote.high,
    )
