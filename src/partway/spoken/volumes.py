"""How much room: "forty litres", "five and a half us gallons", "a cubic metre", "two hundred cubic feet"."""

from __future__ import annotations

from decimal import Decimal

from partway.quantities import parse_volume, plain_text
from partway.spoken.numbers import number_at, word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing


def litres_said(text: str, tokens: list[Token], hearing: Hearing, where: str) -> tuple[Decimal, ...]:
    """Every volume in litres that a text may be; none where it is no number with a unit behind it.

    Raises BadQuantity for a unit that is none, and for "gallon" alone, which may be one of two.
    """
    number = number_at(tokens, 0, hearing)
    if number is not None:
        readings, style, end = number
        amounts = readings if style in {"comma", "split"} else readings[:1]
    elif word_at(tokens, 0) in hearing.tongue.one:
        amounts, end = (Decimal(1),), 1
    else:
        return ()
    if end >= len(tokens):
        return ()
    unit = text[tokens[end].start :].strip().lower()
    return tuple(parse_volume(f"{plain_text(amount)} {unit}", where) for amount in amounts)
