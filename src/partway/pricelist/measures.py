"""What a price is for, and how much of it: "/lb", "a tonne", "over 100 lb", "min 50 kg", "each", "max 5"."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from partway.pricelist.lines import PIECES, ListedLot, LotField
from partway.pricelist.spoken import number_at, word_at
from partway.pricelist.tokens import Token
from partway.things.units import MASS_UNITS, TONS, names_of

UNITS = {name: unit for unit in MASS_UNITS for name in names_of(unit) if " " not in name}
# "Gross" and "net" tons: NIST Handbook 44, Appendix C (from memory): "1 ton, gross or long", "1 ton, net or short".
KINDS_OF_TON = {"short": "short ton", "net": "short ton", "long": "long ton", "gross": "long ton", "metric": "tonne"}
TON = frozenset(["ton", "tons", "t"])
OPENERS = frozenset(["/", "per", "a", "an", "the", "by", "each"])
BY_PIECE = frozenset(["each", "ea", "apiece", "piece", "pieces", "pc", "pcs", "unit"])
NOT_BY_MASS = frozenset([*BY_PIECE, "cwt", "hundredweight", "load"])
PIECE_WORDS = frozenset(["piece", "pieces", "pc", "pcs"])
MINIMUM = (("no", "less", "than"), ("lots", "of"), ("minimum",), ("min",))
_MAXIMUM = "no more than | not more than | at most | limit of | limit | maximum | max"
MAXIMUM = tuple(tuple(words.split()) for words in _MAXIMUM.split("|"))
WEIGHS = (("one", "weighs"), ("each", "weighs"), ("weighing",))
FROM = (("more", "than"), ("at", "least"), ("over",), ("above",), ("from",), (">", "="), (">",), ("≥",))
_AND_UP = "and up | and over | and above | and more | or more | or over | plus | up | +"
AND_UP = tuple(tuple(words.split()) for words in _AND_UP.split("|"))
FILLERS = frozenset([".", ":", "of", "lot", "lots", "is", "load", "about"])


def unit_name_at(tokens: Sequence[Token], at: int) -> tuple[tuple[str, ...], int] | None:
    """The unit named at a place: one, or the three that a bare "ton" may be."""
    word = word_at(tokens, at)
    if word in UNITS:
        return (UNITS[word],), _past_dot(tokens, at + 1)
    dash = 1 if word_at(tokens, at + 1) == "-" else 0
    if word in KINDS_OF_TON and word_at(tokens, at + 1 + dash) in TON:
        return (KINDS_OF_TON[word],), at + 2 + dash
    return (TONS, at + 1) if word in TON else None


def _past_dot(tokens: Sequence[Token], at: int) -> int:
    """Behind the point of an abbreviation: "lb."."""
    dotted = at < len(tokens) and tokens[at].text == "." and tokens[at].start == tokens[at - 1].end
    return at + 1 if dotted else at


def unit_at(tokens: Sequence[Token], at: int) -> tuple[tuple[str, ...], str, int] | None:
    """What a price is per: its unit or units, or what was said that is no mass, and where it ends."""
    opened = at
    while word_at(tokens, opened) in OPENERS and opened < at + 2:
        opened += 1
    for start in range(opened, at - 1, -1):
        named = unit_name_at(tokens, start)
        if named is not None:
            return named[0], "", named[1]
        if word_at(tokens, start) in NOT_BY_MASS:
            return (), word_at(tokens, start), start + 1
    return None


def limit_at(tokens: Sequence[Token], at: int, *, comma: bool = False) -> tuple[LotField, ListedLot, int] | None:
    """The most that is taken, or what one piece weighs: "max 200 kg", "max 5 pieces", "one weighs 40 lb"."""
    start = phrase_end(tokens, at, WEIGHS)
    if start is None and word_at(tokens, at - 1) in BY_PIECE:
        start = phrase_end(tokens, at, (("of",),))  # "12 each of 40 lb"
    if start is not None:
        one = lot_at(tokens, _past_fillers(tokens, start), comma=comma)
        return None if one is None else ("piece", *one)
    start = phrase_end(tokens, at, MAXIMUM)
    if start is not None:
        most = _number_of(tokens, _past_fillers(tokens, start), comma=comma)
        return None if most is None else ("most", *most)
    most = _number_of(tokens, at, comma=comma)
    end = phrase_end(tokens, most[1], MAXIMUM) if most is not None and most[0].units else None
    if most is None or end is None or number_at(tokens, _past_fillers(tokens, end), comma=comma) is not None:
        return None  # "4.10 lb max 200": the maximum is still to come
    return "most", most[0], end


def _number_of(tokens: Sequence[Token], at: int, *, comma: bool) -> tuple[ListedLot, int] | None:
    """A number of pieces, or a mass."""
    number = number_at(tokens, at, comma=comma)
    if number is not None and word_at(tokens, number[2]) in PIECE_WORDS:
        return ListedLot(number[0][0], (PIECES,)), number[2] + 1
    return lot_at(tokens, at, comma=comma)


def _past_fillers(tokens: Sequence[Token], at: int) -> int:
    while word_at(tokens, at) in FILLERS:
        at += 1
    return at


def clause_at(
    tokens: Sequence[Token], at: int, *, comma: bool = False
) -> tuple[Literal["from_lot", "minimum"], ListedLot, int] | None:
    """A mass that a price begins with or a lot has at least: "over 100 lb", "100 lb and up", "min 50 kg"."""
    for which, phrases in (("minimum", MINIMUM), ("from_lot", FROM)):
        start = phrase_end(tokens, at, phrases)
        if start is None:
            continue
        lot = lot_at(tokens, _past_fillers(tokens, start), comma=comma)
        if lot is not None:
            end = phrase_end(tokens, lot[1], AND_UP) or lot[1]
            return ("from_lot" if which == "from_lot" else "minimum"), lot[0], end
    return _trailing(tokens, at, comma=comma)


def _trailing(
    tokens: Sequence[Token], at: int, *, comma: bool
) -> tuple[Literal["from_lot", "minimum"], ListedLot, int] | None:
    """A mass with what it means behind it: "100 lb and up", "50 lb minimum", "100+ lb"."""
    lot = lot_at(tokens, at, comma=comma)
    if lot is None:
        return None
    if not lot[0].units:
        end = phrase_end(tokens, lot[1], (("+",),))
        named = unit_name_at(tokens, end) if end is not None else None
        return ("from_lot", ListedLot(lot[0].amount, named[0]), named[1]) if named else None
    up = phrase_end(tokens, lot[1], AND_UP)
    if up is not None:
        return "from_lot", lot[0], up
    least = phrase_end(tokens, lot[1], MINIMUM)
    return ("minimum", lot[0], least) if least is not None else None


def lot_at(tokens: Sequence[Token], at: int, *, comma: bool) -> tuple[ListedLot, int] | None:
    """A mass, whose unit may have been left out; "4.10 a lb" is a price, not a mass."""
    if word_at(tokens, at) == "a" and (one := unit_name_at(tokens, at + 1)) is not None:
        return ListedLot(Decimal(1), one[0]), one[1]
    number = number_at(tokens, at, comma=comma)
    if number is None or number[1] in {"comma", "split"}:
        return None
    named = unit_name_at(tokens, number[2])
    if named is not None:
        return ListedLot(number[0][0], named[0]), named[1]
    return (
        None
        if word_at(tokens, number[2]) in {*OPENERS, "c", "¢", "cents", "cent"}
        else (ListedLot(number[0][0]), number[2])
    )


def phrase_end(tokens: Sequence[Token], at: int, phrases: Sequence[tuple[str, ...]]) -> int | None:
    """Where the first of the phrases that stands at a place ends."""
    for phrase in phrases:
        if all(word_at(tokens, at + step) == word for step, word in enumerate(phrase)):
            return at + len(phrase)
    return None
