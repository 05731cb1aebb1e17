"""A mass in a text: "6lb8oz", "21 lb 3 oz", "6 1/2 lb", "half a pound", "forty one and a half"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from partway.quantities import kg_per
from partway.spoken.numbers import number_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing
from partway.spoken.units import unit_name_at

SMALLER = {"lb": "oz", "kg": "g"}  # what follows without being said again: 21 lb 3 oz


@dataclass(frozen=True, slots=True)
class SaidMass:
    """A mass as it was said: `amounts` (several where a numeral has several readings) of one of `units`.

    `units` is empty where none was said, and has the three tons where "ton" stood alone.
    """

    amounts: tuple[Decimal, ...]
    units: tuple[str, ...]
    end: int

    def kg(self, unit: str = "") -> tuple[Decimal, ...]:
        """Every mass that it may be, in kg; a bare number is in `unit`, and is none where that is empty."""
        units = self.units or ((unit,) if unit else ())
        return tuple(dict.fromkeys(amount * kg_per(one) for amount in self.amounts for one in units))


def mass_at(tokens: Sequence[Token], at: int, hearing: Hearing) -> SaidMass | None:
    """The mass that begins at a place, with or without a unit."""
    one = unit_name_at(tokens, at + 1, hearing) if word_at(tokens, at) in hearing.tongue.one else None
    if one is not None:  # "a pound", "a ton"
        return _with_smaller(tokens, SaidMass((Decimal(1),), one[0], one[1]), hearing)
    number = number_at(tokens, at, hearing)
    if number is None:
        return None
    readings, style, end = number
    amounts = readings if style in {"comma", "split"} else readings[:1]
    named = unit_name_at(tokens, end, hearing)
    if named is None:
        return SaidMass(amounts, (), end)
    return _with_smaller(tokens, SaidMass(amounts, *named), hearing)


def _with_smaller(tokens: Sequence[Token], said: SaidMass, hearing: Hearing) -> SaidMass:
    """The mass with what stands behind it in the smaller unit, or as a part of the same: "a pound and a half"."""
    smaller = SMALLER.get(said.units[0]) if len(said.units) == 1 else None
    start = said.end + 1 if word_at(tokens, said.end) in hearing.tongue.joiner else said.end
    number = number_at(tokens, start, hearing) if smaller else None
    named = unit_name_at(tokens, number[2], hearing) if number else None
    if smaller is None or number is None or named is None or named[0] != (smaller,) or number[1] in {"comma", "split"}:
        return said
    worth = kg_per(smaller) / kg_per(said.units[0])  # 1/16 and 1/1000, exactly
    more = number[0][0] * worth
    if more >= 1:
        return said
    return SaidMass(tuple(amount + more for amount in said.amounts), said.units, named[1])
