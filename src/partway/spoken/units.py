"""What is counted, and what a price is per: "/lb", "a tonne", "a ton" (which?), "per hundredweight", "each"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.spoken.numbers import number_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.things.units import HUNDREDWEIGHTS, MASS_UNITS, TONS, hundredweight_in, names_of

UNITS = {name: unit for unit in MASS_UNITS for name in names_of(unit) if " " not in name}
# What each ton weighs, as people write it behind the word (NIST SP 811, appendix B.8, from memory; 2204 is practice).
WEIGHED = {"2000 lb": "short ton", "2240 lb": "long ton", "2204 lb": "tonne", "2205 lb": "tonne", "1000 kg": "tonne"}
TONNES = frozenset(
    ["AUD", "CHF", "DKK", "EUR", "GBP", "NOK", "NZD", "PLN", "SEK", "ZAR"]
)  # where "t" is the tonne (practice)
PER = frozenset(["per", "/"])
MOST_DIGITS = 6  # decimals that dividing a price by "100 lb" or "50 lb" may add


@dataclass(frozen=True, slots=True)
class SaidUnit:
    """What a price is per: one of `units` (several where it has to be asked which), `count` of them, or a piece.

    `fault` is what was said where that is no mass: "load".
    """

    units: tuple[str, ...] = ()
    end: int = 0
    count: Decimal = Decimal(1)
    each: bool = False
    fault: str = ""


def unit_name_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[tuple[str, ...], int] | None:
    """The unit of mass named at a place: one, or the three that a bare "ton" may be."""
    word, tongue = word_at(tokens, at), hearing.tongue
    if word in UNITS:
        return (UNITS[word],), past_dot(tokens, at + 1)
    dash = 1 if word_at(tokens, at + 1) == "-" else 0
    if word in tongue.kinds_of_ton and word_at(tokens, at + 1 + dash) in tongue.tons:
        kind = (tongue.kinds_of_ton[word],)
        weighed = _ton_at(tokens, at + 2 + dash, hearing)
        return kind, weighed[1] if weighed[0] == kind else at + 2 + dash
    if word in tongue.short_for_ton:
        return (tongue.short_for_ton[word],), at + 1
    if word in tongue.tonne_sign and (hearing.unit == "kg" or hearing.currency in TONNES):
        return ("tonne",), at + 1
    return _ton_at(tokens, at + 1, hearing) if word in tongue.tons else None


def _ton_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[tuple[str, ...], int]:
    """Which ton it is, where brackets or "of" say how much it weighs, "(2240 lb)"; else the three that it may be."""
    opened = at + (word_at(tokens, at) in {"(", *hearing.tongue.of})
    number = tokens[opened] if at < opened < len(tokens) and tokens[opened].kind == "number" else None
    unit = UNITS.get(word_at(tokens, opened + 1)) if number is not None else None
    said = f"{number.text.replace(',', '')} {unit}" if number is not None and unit else ""
    shut = opened + 2 + (word_at(tokens, opened + 2) == ")")
    return ((WEIGHED[said],), shut) if said in WEIGHED else (TONS, at)


def past_dot(tokens: Sequence[Token], at: int) -> int:
    """Behind the point of an abbreviation: "lb."."""
    dotted = at < len(tokens) and tokens[at].text == "." and tokens[at].start == tokens[at - 1].end
    return at + 1 if dotted else at


def per_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> SaidUnit | None:
    """What a price is per, and where it ends."""
    opened = at + (word_at(tokens, at) == "p" and word_at(tokens, at + 1) == "/")  # "p/kg"
    at = opened
    while word_at(tokens, opened) in hearing.tongue.per and opened < at + 2:
        if word_at(tokens, opened) in hearing.tongue.each and word_at(tokens, opened + 1) in PER:
            break  # "each per tonne" says two things
        opened += 1
    for start in range(opened, at - 1, -1):
        found = _one_at(tokens, start, hearing, opened=start > at)
        if found is not None:
            return found
    return None


def unknown_unit_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> str:
    """The word close behind a stroke, or behind "per", that is no unit: "/b", "per bag"; "" where there is none."""
    word = tokens[at + 1] if word_at(tokens, at) in PER and at + 1 < len(tokens) else None
    if word is None or word.kind != "word" or per_at(tokens, at, hearing) is not None:
        return ""
    tongue = hearing.tongue
    others = {phrase[0] for phrase in (*tongue.minimum, *tongue.maximum, *tongue.visits)}
    said = word.text not in others | tongue.noise | tongue.describes | tongue.without
    close = word.start == tokens[at].end or tokens[at].text == "per"
    return word.text if said and close else ""


def _one_at(tokens: Sequence[Token], at: int, hearing: Hearing, *, opened: bool) -> SaidUnit | None:
    named, word, tongue = unit_name_at(tokens, at, hearing), word_at(tokens, at), hearing.tongue
    if named is not None:
        return SaidUnit(*named)
    if word in tongue.hundredweight:
        return _hundredweight(hearing, past_dot(tokens, at + 1))
    if word in tongue.each:
        return SaidUnit(end=at + 1, each=True)
    if word in tongue.no_mass:
        return SaidUnit(end=at + 1, fault=word)
    return _counted(tokens, at, hearing) if opened else None


def _counted(tokens: Sequence[Token], at: int, hearing: Hearing) -> SaidUnit | None:
    """So many of a unit, or a part of one: "per 100 lb", "a hundred pounds", "/50 kg", "per half kilo"."""
    word = word_at(tokens, at)
    if word in hearing.tongue.fractions:
        above, below = hearing.tongue.fractions[word]
        number: tuple[Decimal, int] | None = Decimal(above) / below, at + 1
    elif word in hearing.tongue.large:
        number = Decimal(hearing.tongue.large[word]), at + 1
    else:
        found = number_at(tokens, at, hearing)
        number = (found[0][0], found[2]) if found is not None and found[1] in {"bare", "exact"} else None
    if number is not None and number[0] == 100 and unit_name_at(tokens, number[1], hearing) is None:
        return _hundredweight(hearing, number[1])  # "10.50 per hundred"
    named = unit_name_at(tokens, number[1], hearing) if number is not None and number[0] > 0 else None
    if number is None or named is None:
        return None
    each = Decimal(1) / number[0]
    exponent = each.as_tuple().exponent
    if not isinstance(exponent, int) or exponent < -MOST_DIGITS:
        said = " ".join(token.text for token in tokens[at : named[1]])
        return SaidUnit(end=named[1], fault=said)
    return SaidUnit(named[0], named[1], number[0])


def _hundredweight(hearing: Hearing, end: int) -> SaidUnit:
    """100 lb where money is a North American one; elsewhere it may be 112 lb as well, and is asked about."""
    unit = hundredweight_in(hearing.currency)
    if unit is None:
        return SaidUnit(tuple(HUNDREDWEIGHTS), end)
    of, count = HUNDREDWEIGHTS[unit]
    return SaidUnit((of,), end, count)
