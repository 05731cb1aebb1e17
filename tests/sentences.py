"""Records as sentences, in every form that the lexicon has for them: the other way round from what reads them.

Numbers, masses, money and times are put into words here, by rules of our own: nothing of what reads them is asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from partway.saying.lexicon import SayLexicon
from partway.saying.patterns import ActPattern, PatternPiece

SMALL = "zero one two three four five six seven eight nine ten eleven twelve".split()  # noqa: SIM905
TEENS = "thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()  # noqa: SIM905
ONES = [*SMALL, *TEENS]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int) -> str:
    """A whole number below 1000 as people say it."""
    if number < 20:
        return ONES[number]
    if number < 100:
        return TENS[number // 10 - 2] + (f" {ONES[number % 10]}" if number % 10 else "")
    rest = f" and {in_words(number % 100)}" if number % 100 else ""
    return f"{ONES[number // 100]} hundred{rest}"


@st.composite
def counted(draw: st.DrawFn, number: int) -> str:
    """A count: 2, two."""
    return draw(st.sampled_from([str(number), in_words(number)]))


@st.composite
def weighed(draw: st.DrawFn, tenths: int, unit: str) -> str:
    """A mass of so many tenths of a unit; bare where the scale is in it."""
    whole, tenth = divmod(tenths, 10)
    number = [f"{whole}.{tenth}" if tenth else str(whole)]
    if tenth == 5 and whole:
        number += [f"{whole} and a half", f"{in_words(whole)} and a half", f"{whole} 1/2", f"{whole}½"]
    if not tenth:
        number.append(in_words(whole))
    elif tenth != 5:
        number.append(f"{in_words(whole)} point {ONES[tenth]}")
    chosen = draw(st.sampled_from(number))
    units = {"lb": [" lbs", " pounds", " lb", ""], "kg": [" kilos", " kg"]}[unit]
    close = [unit] if chosen[-1].isdecimal() else []
    return chosen + draw(st.sampled_from([*units, *close]))


@st.composite
def paid(draw: st.DrawFn, cents: int, *, bare: bool) -> str:
    """An amount: $14.99, 30 bucks, fourteen dollars ninety nine; 14.99 where it is sure to be money."""
    whole, part = divmod(cents, 100)
    forms = [f"${whole}.{part:02}", f"{whole}.{part:02} dollars", f"{whole}.{part:02} bucks"]
    if bare:
        forms.append(f"{whole}.{part:02}")
    if not part and whole:
        forms += [f"{in_words(whole)} bucks", f"{whole} dollars", f"${whole}", *([str(whole)] if bare else [])]
    if part >= 10 and whole > 1:
        forms += [
            f"{in_words(whole)} dollars and {in_words(part)} cents",
            f"{in_words(whole)} dollars {in_words(part)}",
        ]
    return draw(st.sampled_from(forms))


@st.composite
def timed(draw: st.DrawFn, minutes: int) -> str:
    """A time: 19 min, nineteen minutes, an hour and a half, 1 h 30."""
    hours, rest = divmod(minutes, 60)
    forms = [f"{minutes} minutes", f"{minutes} min", f"{in_words(minutes)} minutes"]
    if hours:
        forms += [f"{hours} h {rest}" if rest else f"{hours} hours"]
        forms += [f"{in_words(hours)} hours and {in_words(rest)} minutes"] if rest > 1 else []
        forms += [f"{in_words(hours)} hours and a half"] if rest == 30 else []
    return draw(st.sampled_from(forms))


def patterns_for(lexicon: SayLexicon, does: str, slots: set[str], fixed: Mapping[str, str]) -> list[ActPattern]:
    """The ways of saying an act or a part that have a place for all of what is to be said, and say nothing else."""
    ways = (*lexicon.heads, *lexicon.parts)
    return [way for way in ways if way.does == does and dict(way.fixed) == dict(fixed) and _fits(way.pieces, slots)]


def _fits(pieces: Sequence[PatternPiece], slots: set[str]) -> bool:
    needed = {piece.slot for piece in pieces if piece.slot}
    return needed <= slots <= needed | {slot for piece in pieces for slot in _inner(piece)}


def _inner(piece: PatternPiece) -> Iterator[str]:
    for one in piece.maybe:
        yield from ([one.slot] if one.slot else _inner(one))


@st.composite
def said(draw: st.DrawFn, /, lexicon: SayLexicon, does: str, slots: Mapping[str, str], **fixed: str) -> str:
    """An act or a part with its slots filled, in any of its ways."""
    ways = patterns_for(lexicon, does, set(slots), fixed)
    assert ways, (does, slots, fixed)
    return " ".join(_words(draw, draw(st.sampled_from(ways)).pieces, slots))


def _words(draw: st.DrawFn, pieces: Sequence[PatternPiece], slots: Mapping[str, str]) -> Iterator[str]:
    for piece in pieces:
        if piece.maybe:
            inside = set(_inner(piece))
            wanted = inside <= slots.keys() if inside else bool(draw(st.booleans()))
            yield from _words(draw, piece.maybe, slots) if wanted else ()
        elif piece.slot:
            yield slots[piece.slot]
        else:
            yield " ".join(draw(st.sampled_from(piece.words)))


@st.composite
def together(draw: st.DrawFn, head: str, parts: Sequence[str]) -> str:
    """An act with what says more of it, in any order."""
    joined = head
    for part in draw(st.permutations(list(parts))):
        joined += draw(st.sampled_from([", ", ", and ", "; "])) + part
    return draw(st.sampled_from([joined, joined.upper(), joined.capitalize(), f"{joined}."]))


def dollars(cents: int) -> Decimal:
    """Cents as an exact amount."""
    return Decimal(cents) / 100


def milligrams(tenths: int, unit: str) -> int:
    """A mass exactly, rounded to a milligram, halves to the even one (the rounding by default of IEEE 754).

    NIST Handbook 44 (2024), appendix C: a pound is 0.45359237 kg.
    """
    mg = Decimal(tenths) / 10 * (Decimal("453592.37") if unit == "lb" else Decimal(1_000_000))
    return int(mg.quantize(Decimal(1), rounding="ROUND_HALF_EVEN"))


def fields(what: Any, *names: str) -> tuple[Any, ...]:
    """Some fields of what was recorded."""
    return tuple(getattr(what, name) for name in names)
