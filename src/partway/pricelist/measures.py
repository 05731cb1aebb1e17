"""How much of a grade: "over 100 lb", "min 50 kg", "max 5", "one weighs 40 lb"."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from partway.pricelist.lines import PIECES, ListedLot, LotField
from partway.spoken.numbers import number_at, phrase_end, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import unit_name_at

HUNDREDTHS = 2  # digits behind the point of an amount of money
Clause = tuple[Literal["from_lot", "minimum", "below"], ListedLot, int]


def limit_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[LotField, ListedLot, int] | None:
    """The most that is taken, or what one piece weighs: "max 200 kg", "max 5 pieces", "one weighs 40 lb"."""
    start = phrase_end(tokens, at, hearing.tongue.weighs)
    if start is None and word_at(tokens, at - 1) in hearing.tongue.each:
        start = phrase_end(tokens, at, (("of",),))  # "12 each of 40 lb"
    if start is not None:
        one = lot_at(tokens, _past_fillers(tokens, start, hearing), hearing)
        return None if one is None else ("piece", *one)
    start = phrase_end(tokens, at, hearing.tongue.maximum)
    if start is not None:
        first = _past_fillers(tokens, start, hearing)
        if _is_money(tokens, at, first, hearing):
            return None  # "yellow brass up to 2.70"
        most = _a_visit(tokens, first, hearing) or _number_of(tokens, first, hearing)
        return None if most is None else ("most", *most)
    most = _number_of(tokens, at, hearing)
    end = phrase_end(tokens, most[1], hearing.tongue.maximum) if most is not None and most[0].units else None
    if most is None or end is None or number_at(tokens, _past_fillers(tokens, end, hearing), hearing) is not None:
        return None  # "4.10 lb max 200": the maximum is still to come
    return "most", most[0], end


def _is_money(tokens: Sequence[Token], at: int, first: int, hearing: Hearing) -> bool:
    """Whether "up to" comes before an amount with hundredths, and no mass: to that a price rose."""
    number = number_at(tokens, first, hearing)
    if word_at(tokens, at) not in hearing.tongue.upward or number is None or number[1] != "exact":
        return False
    pointed = tokens[first].text.partition(".")[2]
    return len(pointed) == HUNDREDTHS and unit_name_at(tokens, number[2], hearing) is None


def _a_visit(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[ListedLot, int] | None:
    """A number of pieces or a mass that is taken at a time: "12 per visit", "200 lb a load"."""
    number = number_at(tokens, at, hearing)
    if number is None:
        return None
    them = phrase_end(tokens, number[2], hearing.tongue.of_them) or number[2]
    end = phrase_end(tokens, them, hearing.tongue.visits)
    if end is not None:
        return ListedLot(number[0][0], (PIECES,)), end
    lot = _number_of(tokens, at, hearing)
    end = phrase_end(tokens, lot[1], hearing.tongue.visits) if lot is not None else None
    return (lot[0], end) if lot is not None and end is not None else None


def one_weighs_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[ListedLot, int] | None:
    """What one piece weighs, where "each" stands behind it: "60 lb each"."""
    lot = lot_at(tokens, at, hearing)
    if lot is None or not lot[0].units or word_at(tokens, lot[1]) not in hearing.tongue.each:
        return None
    return lot[0], lot[1] + 1


def _number_of(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[ListedLot, int] | None:
    """A number of pieces, or a mass."""
    number = number_at(tokens, at, hearing)
    them = phrase_end(tokens, number[2], hearing.tongue.of_them) if number is not None else None
    if number is not None and them is not None:
        return ListedLot(number[0][0], (PIECES,)), them  # "no more than fifty of them"
    if number is not None and word_at(tokens, number[2]) in hearing.tongue.pieces:
        return ListedLot(number[0][0], (PIECES,)), number[2] + 1
    return lot_at(tokens, at, hearing)


def _past_fillers(tokens: Sequence[Token], at: int, hearing: Hearing) -> int:
    while word_at(tokens, at) in hearing.tongue.fillers:
        at += 1
    return at


def clause_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> Clause | None:
    """A mass that a price begins with or a lot has at least: "over 100 lb", "100 lb and up", "min 50 kg"."""
    tongue = hearing.tongue
    for which, phrases in (("minimum", tongue.minimum), ("from_lot", tongue.from_lot), ("below", tongue.below)):
        start = phrase_end(tokens, at, phrases)
        if start is None:
            continue
        lot = lot_at(tokens, _past_fillers(tokens, start, hearing), hearing)
        if lot is not None:
            end = phrase_end(tokens, lot[1], hearing.tongue.and_up) or lot[1]
            clause: dict[str, Clause] = {
                "from_lot": ("from_lot", lot[0], end),
                "minimum": ("minimum", lot[0], end),
                "below": ("below", lot[0], lot[1]),
            }
            return clause[which]
    return _trailing(tokens, at, hearing)


def _trailing(tokens: Sequence[Token], at: int, hearing: Hearing) -> Clause | None:
    """A mass with what it means behind it: "100 lb and up", "50 lb minimum", "100+ lb"."""
    lot = lot_at(tokens, at, hearing)
    if lot is None:
        return None
    if not lot[0].units:
        end = phrase_end(tokens, lot[1], (("+",),))
        named = unit_name_at(tokens, end, hearing) if end is not None else None
        if end is not None and named is None and _plain_above(tokens, at, end, hearing):
            return "from_lot", lot[0], end
        return ("from_lot", ListedLot(lot[0].amount, named[0]), named[1]) if named else None
    up = phrase_end(tokens, lot[1], hearing.tongue.and_up)
    if up is not None:
        return "from_lot", lot[0], up
    least = phrase_end(tokens, lot[1], hearing.tongue.minimum)
    return ("minimum", lot[0], least) if least is not None else None


def _plain_above(tokens: Sequence[Token], at: int, end: int, hearing: Hearing) -> bool:
    """Whether "500+" is a mass: close together, a whole number, and a price or nothing behind it."""
    close = tokens[end - 1].start == tokens[end - 2].end and tokens[at].text.isdecimal()
    behind = end >= len(tokens) or tokens[end].kind == "break" or tokens[end].text in {")", ":", "-", "=", "@", "$"}
    return close and (behind or number_at(tokens, end, hearing) is not None)


def span_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[ListedLot | None, ListedLot, int] | None:
    """From how much and below how much: "100-500 lbs", "100 to 500 lb"; nothing for the first where it is 0."""
    if at + 2 >= len(tokens) or not tokens[at].text.isdecimal() or tokens[at].kind != "number":
        return None
    own = unit_name_at(tokens, at + 1, hearing)
    link = own[1] if own is not None else at + 1
    if word_at(tokens, link) not in {"-", *hearing.tongue.to}:
        return None
    last = lot_at(tokens, link + 1, hearing)
    first = Decimal(tokens[at].text)
    if last is None or not last[0].units or first >= last[0].amount:
        return None
    return (ListedLot(first, last[0].units) if first else None), last[0], last[1]


def lot_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[ListedLot, int] | None:
    """A mass, whose unit may have been left out; "4.10 a lb" is a price, not a mass."""
    tongue = hearing.tongue
    if word_at(tokens, at) in tongue.one and (one := unit_name_at(tokens, at + 1, hearing)) is not None:
        return ListedLot(Decimal(1), one[0]), one[1]
    number = number_at(tokens, at, hearing)
    if number is None or number[1] in {"comma", "split"}:
        return None
    named = unit_name_at(tokens, number[2], hearing)
    if named is not None:
        return ListedLot(number[0][0], named[0]), named[1]
    priced = word_at(tokens, number[2]) in tongue.per | tongue.hundredths
    return None if priced else (ListedLot(number[0][0]), number[2])
