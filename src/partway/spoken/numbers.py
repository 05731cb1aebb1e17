"""Numbers as people say them: "four ten", "two ninety five", "point three eight", "6 1/2", "forty one and a half"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from partway.quantities import number_readings
from partway.spoken.tokens import Token
from partway.spoken.tongue import ByFirst, Hearing, Phrases, Tongue
from partway.things.units import BY_NAME

Style = Literal["exact", "bare", "split", "comma", "minus", "dash"]
Spoken = tuple[tuple[Decimal, ...], Style, int]  # readings, how it was said, where it ends

PARTS = {
    "½": (1, 2),
    "¼": (1, 4),
    "¾": (3, 4),
    "⅓": (1, 3),
    "⅔": (2, 3),
    "⅛": (1, 8),
    "⅜": (3, 8),
    "⅝": (5, 8),
    "⅞": (7, 8),
}
WRITTEN = re.compile(r"([0-9]{1,2})/(2|3|4|8|16|32)")  # 1/2; 18/8 is a steel
HUNDREDTH = Decimal("0.01")


def word_at(tokens: Sequence[Token], at: int) -> str:
    """The word or mark at a place; nothing beyond the end or where a grade or numeral stands."""
    if not 0 <= at < len(tokens):
        return ""
    token = tokens[at]
    return token.text if token.kind == "word" or token.kind == "mark" else ""  # noqa: PLR1714  asked most of all


def phrase_end(tokens: Sequence[Token], at: int, phrases: Phrases | Sequence[tuple[str, ...]]) -> int | None:
    """Where the first of the phrases that stands at a place ends."""
    first = word_at(tokens, at)
    if not first:
        return None
    for phrase in phrases.firsts.get(first, ()) if isinstance(phrases, ByFirst) else phrases:
        if phrase[0] == first and all(word_at(tokens, at + step) == phrase[step] for step in range(1, len(phrase))):
            return at + len(phrase)
    return None


def small_at(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[int, int] | None:
    """A whole number below 100 in words, or a numeral of at most two digits, and where it ends."""
    if at < len(tokens) and tokens[at].kind == "number":
        text = tokens[at].text
        return (int(text), at + 1) if len(text) <= 2 and text.isdecimal() else None
    word = word_at(tokens, at)
    if word in tongue.ones:
        return tongue.ones[word], at + 1
    if word not in tongue.tens:
        return None
    after = at + 2 if word_at(tokens, at + 1) == "-" else at + 1
    unit = tongue.ones.get(word_at(tokens, after), 0)
    return (tongue.tens[word] + unit, after + 1) if 0 < unit < 10 else (tongue.tens[word], at + 1)


def whole_at(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[int, int] | None:
    """A whole number in words up to the thousands, "a hundred and eighty" or "twelve hundred", and where it ends."""
    start = (1, at + 1) if word_at(tokens, at) in tongue.one and word_at(tokens, at + 1) in tongue.large else None
    part = start or small_at(tokens, at, tongue)
    if part is None:
        return None
    total, (value, after) = 0, part
    for name, large in sorted(tongue.large.items(), key=lambda pair: -pair[1]):
        if word_at(tokens, after) == name:
            total, after = total + value * large, after + 1
            joined = after + 1 if word_at(tokens, after) in tongue.joiner else after
            more = small_at(tokens, joined, tongue)
            if more is None or tokens[joined].kind == "number":
                return total, after
            value, after = more
    return total + value, after


def number_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> Spoken | None:
    """What number stands at a place, in digits or in words.

    Style "bare" is a whole number, read as it is or as hundredths ("38": 38 or 0.38); "split" is said in two halves
    ("four ten": 4.10 or 410); "comma" has a comma that may part decimals or thousands. Only "exact" is sure.
    """
    tongue = hearing.tongue
    if not _opens(tokens, at, tongue):
        return None
    part = part_of_one_at(tokens, at, tongue)
    if part is not None:
        return (part[0],), "exact", part[1]
    if at >= len(tokens) or (tokens[at].kind == "word" and not _may_begin(tokens, at, tongue)):
        return None
    found = (
        _pointed(tokens, at, tongue)
        or _split(tokens, at, tongue)
        or _written(tokens, at, hearing)
        or _said(tokens, at, tongue)
    )
    return found and _with_part(tokens, found, tongue)


def _opens(tokens: Sequence[Token], at: int, tongue: Tongue) -> bool:
    """Whether a number may begin there at all, which few words do: the rest is not looked at."""
    if at >= len(tokens):
        return False
    text = tokens[at].text
    return text[:1].isdigit() or text in PARTS or text in tongue.opens_number or tokens[at].kind == "number"


def part_of_one_at(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[Decimal, int] | None:
    """A fraction of one unit: "half a pound", "a quarter pound", "3/4 lb"; only where a unit comes behind it."""
    found = _fraction_at(tokens, at, tongue)
    if found is None:
        return None
    part, end = found
    end += word_at(tokens, end) in tongue.of
    end += word_at(tokens, end) in tongue.one
    return (part, end) if _is_unit(word_at(tokens, end), tongue) else None


def _is_unit(word: str, tongue: Tongue) -> bool:
    money = word in tongue.money or word in tongue.hundredths
    return bool(word) and (
        money
        or word in BY_NAME["mass"]
        or word in BY_NAME["distance"]
        or word in tongue.tons
        or word in tongue.hours
        or word in tongue.kinds_of_ton
    )


def _fraction_at(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[Decimal, int] | None:
    """A fraction alone: "½", "1/2", "half", "a quarter", "three quarters"."""
    word = word_at(tokens, at)
    if word in PARTS:
        return Decimal(PARTS[word][0]) / PARTS[word][1], at + 1
    written = WRITTEN.fullmatch(word)
    if written and int(written[1]) < int(written[2]):
        return Decimal(written[1]) / int(written[2]), at + 1
    times, name = 1, at
    if word in tongue.one:
        name = at + 1
    elif 1 < tongue.ones.get(word, 0) < 8:
        times, name = tongue.ones[word], at + 1
    above, below = tongue.fractions.get(word_at(tokens, name), (0, 1))
    return (Decimal(above * times) / below, name + 1) if 0 < above * times < below else None


def _with_part(tokens: Sequence[Token], found: Spoken, tongue: Tongue) -> Spoken:
    """A whole number with the fraction behind it: "6 1/2", "72½", "nine and a half"."""
    readings, style, end = found
    if style not in {"bare", "split"}:
        return found
    joined = end + 1 if word_at(tokens, end) in {*tongue.joiner, "-"} else end
    part = _fraction_at(tokens, joined, tongue)
    written = part is not None and (word_at(tokens, joined) in PARTS or "/" in word_at(tokens, joined))
    said = part is not None and word_at(tokens, end) in tongue.joiner
    if part is None or not (written or said):
        return found
    if style == "split":
        together = readings[-1] + part[0]
        return (together * HUNDREDTH, together), style, part[1]
    value = readings[0] + part[0]
    return (value, value * HUNDREDTH), style, part[1]


def _may_begin(tokens: Sequence[Token], at: int, tongue: Tongue) -> bool:
    word = tokens[at].text
    if word in tongue.zeros:
        return word in tongue.ones or word_at(tokens, at + 1) in tongue.point
    large = word in tongue.one and word_at(tokens, at + 1) in tongue.large
    return word in tongue.ones or word in tongue.tens or word in tongue.point or large


def _pointed(tokens: Sequence[Token], at: int, tongue: Tongue) -> Spoken | None:
    """Decimals said digit by digit or together: "four point one", "point three eight", "4 point 10"."""
    nothing = (0, at + 1) if word_at(tokens, at) in tongue.zeros else (0, at)
    whole, after = whole_at(tokens, at, tongue) or nothing
    if word_at(tokens, after) not in tongue.point:
        return None
    digits, after = "", after + 1
    while True:
        if word_at(tokens, after) in tongue.zeros:
            digits, after = f"{digits}0", after + 1
        elif after < len(tokens) and tokens[after].kind == "number" and tokens[after].text.isdecimal():
            digits, after = digits + tokens[after].text, after + 1
        elif (more := small_at(tokens, after, tongue)) is not None:
            digits, after = f"{digits}{more[0]}", more[1]
        else:
            break
    return ((Decimal(f"{whole}.{digits}"),), "exact", after) if digits else None


def _split(tokens: Sequence[Token], at: int, tongue: Tongue) -> Spoken | None:
    """Whole and hundredths, or else one large number: "four ten", "4-10", "4 10", "four oh five"."""
    first = small_at(tokens, at, tongue)
    if first is None:
        return None
    whole, after = first
    if word_at(tokens, after) == "-":
        after += 1
    second = _hundredths(tokens, after, tongue)
    if second is None:
        return None
    hundredths, end = second
    together = Decimal(100 * whole + hundredths)
    return (together / 100, together), "split", end


def _hundredths(tokens: Sequence[Token], at: int, tongue: Tongue) -> tuple[int, int] | None:
    """Two digits: "10", "ten", "ninety five", "oh five"."""
    if word_at(tokens, at) in tongue.zeros:
        unit = small_at(tokens, at + 1, tongue)
        return unit if unit is not None and 0 < unit[0] < 10 else None
    found = small_at(tokens, at, tongue)
    if found is None or (tokens[at].kind == "number" and len(tokens[at].text) != 2):
        return None
    return found if tokens[at].kind == "number" or found[0] >= 10 else None


def _written(tokens: Sequence[Token], at: int, hearing: Hearing) -> Spoken | None:
    """A numeral; "18 hundred" is left to the words."""
    if tokens[at].kind != "number" or word_at(tokens, at + 1) in hearing.tongue.large:
        return None
    readings = number_readings(tokens[at].text, comma=hearing.comma)
    if not readings:
        return None
    if len(readings) > 1:
        return readings, "comma", at + 1
    value = readings[0]
    decimals = value.as_tuple().exponent != 0
    return (readings, "exact", at + 1) if decimals else ((value, value * HUNDREDTH), "bare", at + 1)


def _said(tokens: Sequence[Token], at: int, tongue: Tongue) -> Spoken | None:
    found = whole_at(tokens, at, tongue)
    if found is None:
        return None
    value = Decimal(found[0])
    return (value, value * HUNDREDTH), "bare", found[1]
