"""A range of money kept as such: "12 to 18 cents", "60-70c", "between 40 and 50 cents", "$1.10-1.30"."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from partway.spoken.money import Heard, money_at
from partway.spoken.numbers import HUNDREDTH, Style, phrase_end, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import unit_name_at

WIDEST = 4  # the highest is at most so many times the lowest; anything wider is two numbers, not a range
NEAR = 2  # tokens before an amount that say something of it
FIRST = 4  # tokens that the lowest may take before its dash: "$ 1.10 c -"


def amount_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, int] | None:
    """The amount or the range of amounts that begins at a place, and where it ends."""
    return range_at(tokens, at, hearing) or money_at(tokens, at, hearing)


def range_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, int] | None:
    """The range that begins at a place, its readings the middles, and where it ends."""
    tongue = hearing.tongue
    if word_at(tokens, at) in tongue.between:
        return _linked(tokens, at + 1, hearing, tongue.joiner | tongue.to)
    opened = phrase_end(tokens, at, tongue.from_money)
    found = _linked(tokens, opened or at, hearing, tongue.to, opened=opened is not None)
    if opened is not None:  # "from 50 to 100 lb" are lots
        return found if found is not None and unit_name_at(tokens, found[1], hearing) is None else None
    return found or _dashed(tokens, at, hearing)


def _linked(
    tokens: Sequence[Token], at: int, hearing: Hearing, links: frozenset[str], *, opened: bool = False
) -> tuple[Heard, int] | None:
    """Two amounts with a word between them; where a word opened the range, "up to" parts them as well."""
    link = next((n for n in range(at + 1, min(at + 8, len(tokens))) if word_at(tokens, n) in links), None)
    before = link - 1 if link and opened and word_at(tokens, link - 1) == "up" else link
    first = _money_up_to(tokens, at, before, hearing) if before is not None else None
    second = money_at(tokens, link + 1, hearing) if link is not None else None
    if first is None or second is None or first[1] != before:
        return None
    heard = ranged(first[0], second[0], WIDEST)
    return (heard, second[1]) if heard is not None else None


def _money_up_to(tokens: Sequence[Token], at: int, end: int, hearing: Hearing) -> tuple[Heard, int] | None:
    """The amount that begins at a place, of what stands before another; only what is near is copied."""
    base = max(0, at - NEAR)
    found = money_at(tokens[base:end], at - base, hearing)
    return None if found is None else (found[0], found[1] + base)


def _dashed(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[Heard, int] | None:
    """Two amounts with a dash between them, which may also part whole and hundredths: "4-10" is 4.10."""
    dash = next((n for n in range(at + 1, min(at + FIRST, len(tokens))) if tokens[n].text == "-"), None)
    if dash is None or dash + 1 >= len(tokens):
        return None
    first, second = _money_up_to(tokens, at, dash, hearing), money_at(tokens, dash + 1, hearing)
    if first is None or second is None or first[1] != dash:
        return None
    if tokens[dash + 1].text.isdecimal() and tokens[dash + 1].text.startswith("0"):
        return None  # "2-03" is 2.03
    styles = {first[0].style, second[0].style}
    heard = ranged(first[0], second[0], WIDEST)
    if heard is None:
        return None
    if styles == {"bare"}:
        return _either(first[0], second[0], heard, second[1])
    whole_and_cents = first[0].style == "bare" and first[0].named == "" and second[0].named != "hundredths"
    return None if whole_and_cents and "exact" not in styles else (heard, second[1])


def _either(first: Heard, second: Heard, heard: Heard, end: int) -> tuple[Heard, int] | None:
    """What "28-34" may be, 28 to 34 cents or 28.34; "4-10" is 4.10."""
    if first.readings[0] < 10:
        return (heard, end) if second.readings[0] < 10 and heard.readings[0] > first.readings[0] else None  # "3 - 5"
    together = first.readings[0] + second.readings[0] * HUNDREDTH
    nothing = (together, together)
    cents, ends = heard.readings[-1], heard.ends[-1]
    return Heard((together, cents), "dash", heard.fault, (nothing, ends)), end


def ranged(first: Heard, second: Heard, widest: int) -> Heard | None:
    """The range from one amount to another, at its middle; None where the two make none."""
    found = _alike(first, second)
    if found is None:
        return None
    lows, highs, style = found
    pairs = tuple(zip(lows, highs, strict=True))
    if not all(0 < low < high <= widest * low for low, high in pairs):
        return None
    middles = tuple((low + high) / 2 for low, high in pairs)
    return Heard(middles, style, first.fault or second.fault, pairs, second.named or first.named)


def _alike(first: Heard, second: Heard) -> tuple[tuple[Decimal, ...], tuple[Decimal, ...], Style] | None:
    """Both amounts in the same readings: what was said with one holds for the other."""
    if "minus" in {first.style, second.style}:
        return None
    if "hundredths" in {first.named, second.named}:
        low, high = (_in_hundredths(one) for one in (first, second))
        return (low,), (high,), "exact"
    if first.named or second.named:
        return first.readings[:1], second.readings[:1], "exact"
    if first.style == second.style and len(first.readings) == len(second.readings):
        return first.readings, second.readings, first.style
    if "comma" in {first.style, second.style}:
        return None
    return first.readings[:1], second.readings[:1], "exact"


def _in_hundredths(heard: Heard) -> Decimal:
    """An amount of whose range hundredths were said: "28" of "28 to 34 cents"."""
    if heard.named:
        return heard.readings[0]
    if heard.style == "exact" and heard.readings[0] < 1:  # ".80 to 95 cents"
        return heard.readings[0]
    return heard.readings[-1] if heard.style == "bare" else heard.readings[0] * HUNDREDTH
