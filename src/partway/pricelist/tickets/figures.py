"""A figure on a ticket: a number, what it is of or per, and whether it was read at all."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from partway.spoken.money import SIGN
from partway.things.units import MASS_UNITS, names_of

UNITS = {name: unit for unit in MASS_UNITS for name in names_of(unit)}
_UNIT = "|".join(re.escape(name) for name in sorted(UNITS, key=len, reverse=True))
# Not "ton" and "t", of which there are several: a figure with one of them is none that is read here.
FIGURE = (
    rf"(?:@\s?)?(?:[{SIGN}]\s?)?(?<![\w.,])[0-9?.][0-9?.,]*(?![0-9?.,])"
    rf"(?:\s?(?:/|per\s)\s?(?:{_UNIT})\b\.?|\s?(?:{_UNIT})\b\.?|(?!\w))"
)
PARTS = re.compile(
    rf"(?P<at>@\s?)?(?:[{SIGN}]\s?)?(?P<number>[0-9?.][0-9?.,]*)(?:\s?(?P<per>/|per\s))?\s?(?P<unit>{_UNIT})?\.?",
    re.IGNORECASE,
)
POINT = re.compile(r"(?:[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+)?(?:\.[0-9]+)?")  # 1,234.50
COMMA = re.compile(r"(?:[0-9]+|[0-9]{1,3}(?:\.[0-9]{3})+)?(?:,[0-9]+)?")  # 1.234,50


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as it stands there, without its sign and unit, and without what parts its thousands; `value` is None
    where it cannot be read.
    """

    text: str
    value: Decimal | None
    unit: str = ""
    per: bool = False


def figures_in(text: str, *, comma: bool) -> list[Figure]:
    """The figures of a part of a line that is nothing else."""
    return [_figure(found, comma) for found in re.finditer(FIGURE, text, re.IGNORECASE)]


def _figure(found: re.Match[str], comma: bool) -> Figure:
    parts = PARTS.fullmatch(found[0])
    if parts is None:
        return Figure(found[0], None)
    number, unit = parts["number"], UNITS.get((parts["unit"] or "").lower(), "")
    per = parts["per"] is not None or parts["at"] is not None
    value = _value(number, comma)
    return Figure(number if value is None else number.replace("." if comma else ",", ""), value, unit, per)


def _value(number: str, comma: bool) -> Decimal | None:
    """A mark that is no thousand's is not guessed at: 45,3 where decimals come after a point is 453, or 45.3."""
    if not any(char.isdecimal() for char in number) or not (COMMA if comma else POINT).fullmatch(number):
        return None
    plain = number.replace(".", "").replace(",", ".") if comma else number.replace(",", "")
    return Decimal(plain)
