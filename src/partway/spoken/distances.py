"""How far: "12 miles", "8 km", "eight and a half miles", "a mile and a half", "60 k", "14"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.distances import km_per
from partway.spoken.numbers import number_at, part_of_one_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import past_dot
from partway.things.units import DISTANCE_UNITS, names_of

UNITS = {name: unit for unit in DISTANCE_UNITS for name in names_of(unit)}


@dataclass(frozen=True, slots=True)
class SaidDistance:
    """A distance as it was said: `amounts` (several where a numeral has several readings) of `unit`, "" where none was
    said.
    """

    amounts: tuple[Decimal, ...]
    unit: str
    end: int

    def km(self, unit: str) -> tuple[Decimal, ...]:
        """Every distance that it may be, in km; a bare number is in `unit`."""
        return tuple(amount * km_per(self.unit or unit) for amount in self.amounts)


def distance_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> SaidDistance | None:
    """The distance that begins at a place, with or without a unit."""
    one = _unit_at(tokens, at + 1, hearing) if word_at(tokens, at) in hearing.tongue.one else None
    if one is not None:  # "a mile"
        return _with_part(tokens, SaidDistance((Decimal(1),), *one), hearing)
    number = number_at(tokens, at, hearing)
    if number is None:
        return None
    readings, style, end = number
    amounts = readings if style in {"comma", "split"} else readings[:1]
    named = _unit_at(tokens, end, hearing)
    if named is None:
        return SaidDistance(amounts, "", end)
    return _with_part(tokens, SaidDistance(amounts, *named), hearing)


def _unit_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> tuple[str, int] | None:
    word = word_at(tokens, at)
    unit = "km" if word in hearing.tongue.kilometres else UNITS.get(word)
    return None if unit is None else (unit, past_dot(tokens, at + 1))


def _with_part(tokens: Sequence[Token], said: SaidDistance, hearing: Hearing) -> SaidDistance:
    """The distance with the part of one behind it: "a mile and a half"."""
    tongue = hearing.tongue
    if word_at(tokens, said.end) not in tongue.joiner or any(amount % 1 for amount in said.amounts):
        return said
    start = said.end + 1
    part = part_of_one_at([*tokens[start : start + 2], _MILE], 0, tongue)
    if part is None or part[1] > len(tokens[start : start + 2]):
        return said
    return SaidDistance(tuple(amount + part[0] for amount in said.amounts), said.unit, start + part[1])


_MILE = Token("word", "mile", 0, 0)
