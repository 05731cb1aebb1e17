"""Numbers as people say them in English: "four ten", "two ninety five", "a dollar ten", "point three eight"."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from partway.pricelist.tokens import Token
from partway.quantities import number_readings

Style = Literal["exact", "bare", "split", "comma", "minus"]

_ONES = """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen
    eighteen nineteen
"""
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
ONES = {word: number for number, word in enumerate(_ONES.split())}
TENS = {word: 10 * number for number, word in enumerate(_TENS.split(), 2)}
TENS["fourty"] = 40
OH = frozenset(["oh", "o", "zero", "nought"])
LARGE = {"hundred": 100, "thousand": 1000}

Spoken = tuple[tuple[Decimal, ...], Style, int]  # readings, how it was said, where it ends


def word_at(tokens: Sequence[Token], at: int) -> str:
    """The word or mark at a place; nothing beyond the end or where a grade or numeral stands."""
    return tokens[at].text if 0 <= at < len(tokens) and tokens[at].kind in {"word", "mark"} else ""


def small_at(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """A whole number below 100 in words, or a numeral of at most two digits, and where it ends."""
    if at < len(tokens) and tokens[at].kind == "number":
        text = tokens[at].text
        return (int(text), at + 1) if len(text) <= 2 and text.isdecimal() else None
    word = word_at(tokens, at)
    if word in ONES:
        return ONES[word], at + 1
    if word not in TENS:
        return None
    after = at + 2 if word_at(tokens, at + 1) == "-" else at + 1
    unit = ONES.get(word_at(tokens, after), 0)
    return (TENS[word] + unit, after + 1) if 0 < unit < 10 else (TENS[word], at + 1)


def whole_at(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """A whole number in words up to the thousands, "a hundred and eighty" or "twelve hundred", and where it ends."""
    start = (1, at + 1) if word_at(tokens, at) in {"a", "an"} and word_at(tokens, at + 1) in LARGE else None
    part = start or small_at(tokens, at)
    if part is None:
        return None
    total, (value, after) = 0, part
    for name in ("thousand", "hundred"):
        if word_at(tokens, after) == name:
            total, after = total + value * LARGE[name], after + 1
            joined = after + 1 if word_at(tokens, after) == "and" else after
            more = small_at(tokens, joined)
            if more is None or tokens[joined].kind == "number":
                return total, after
            value, after = more
    return total + value, after


def number_at(tokens: Sequence[Token], at: int, *, comma: bool) -> Spoken | None:
    """What number stands at a place, in digits or in words."""
    if at >= len(tokens) or (tokens[at].kind == "word" and not _may_begin(tokens, at)):
        return None
    return _pointed(tokens, at) or _split(tokens, at) or _written(tokens, at, comma=comma) or _said(tokens, at)


def _may_begin(tokens: Sequence[Token], at: int) -> bool:
    word = tokens[at].text
    if word in OH:
        return word in ONES or word_at(tokens, at + 1) == "point"
    return word in ONES or word in TENS or word == "point" or (word in {"a", "an"} and word_at(tokens, at + 1) in LARGE)


def _pointed(tokens: Sequence[Token], at: int) -> Spoken | None:
    """Decimals said digit by digit or together: "four point one", "point three eight", "4 point 10"."""
    nothing = (0, at + 1) if word_at(tokens, at) in OH else (0, at)
    whole, after = whole_at(tokens, at) or nothing
    if word_at(tokens, after) != "point":
        return None
    digits, after = "", after + 1
    while True:
        if word_at(tokens, after) in OH:
            digits, after = f"{digits}0", after + 1
        elif after < len(tokens) and tokens[after].kind == "number" and tokens[after].text.isdecimal():
            digits, after = digits + tokens[after].text, after + 1
        elif (more := small_at(tokens, after)) is not None:
            digits, after = f"{digits}{more[0]}", more[1]
        else:
            break
    return ((Decimal(f"{whole}.{digits}"),), "exact", after) if digits else None


def _split(tokens: Sequence[Token], at: int) -> Spoken | None:
    """Whole and hundredths, or else one large number: "four ten", "4-10", "4 10", "four oh five"."""
    first = small_at(tokens, at)
    if first is None:
        return None
    whole, after = first
    if word_at(tokens, after) == "-":
        after += 1
    second = _hundredths(tokens, after)
    if second is None:
        return None
    hundredths, end = second
    together = Decimal(100 * whole + hundredths)
    return (together / 100, together), "split", end


def _hundredths(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Two digits: "10", "ten", "ninety five", "oh five"."""
    if word_at(tokens, at) in OH:
        unit = small_at(tokens, at + 1)
        return unit if unit is not None and 0 < unit[0] < 10 else None
    found = small_at(tokens, at)
    if found is None or (tokens[at].kind == "number" and len(tokens[at].text) != 2):
        return None
    return found if tokens[at].kind == "number" or found[0] >= 10 else None


def _written(tokens: Sequence[Token], at: int, *, comma: bool) -> Spoken | None:
    """A numeral; "18 hundred" is left to the words."""
    if tokens[at].kind != "number" or word_at(tokens, at + 1) in LARGE:
        return None
    text = tokens[at].text
    readings = number_readings(text, comma=comma)
    if not readings:
        return None
    if len(readings) > 1:
        return readings, "comma", at + 1
    value = readings[0]
    decimals = value.as_tuple().exponent != 0
    return (readings, "exact", at + 1) if decimals else ((value, value / 100), "bare", at + 1)


def _said(tokens: Sequence[Token], at: int) -> Spoken | None:
    found = whole_at(tokens, at)
    if found is None:
        return None
    value = Decimal(found[0])
    return (value, value / 100), "bare", found[1]
