"""A mass that a row of words says whole, its smaller unit said or not: "7 kg 350", "3 lb 2", "a pound and a half"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from partway.spoken import Hearing, Token, mass_at, tokens_of
from partway.spoken.masses import SaidMass

OUNCES = re.compile("[0-9]|1[0-5]|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve")
PARTS = {  # of the same unit: "a pound and a half"
    **dict.fromkeys(("and a half", "and half"), Decimal("0.5")),
    "and a quarter": Decimal("0.25"),
    "and three quarters": Decimal("0.75"),
}
SMALLER = {"kg": ("g", re.compile("[1-9][0-9]{2}")), "lb": ("oz", OUNCES)}  # "7 kg 350", "3 lb 2"


def whole_mass(tokens: Sequence[Token], hearing: Hearing) -> SaidMass | None:
    """The mass, or None where the words are none, or not all of them."""
    said = mass_at(tokens, 0, hearing)
    if said is None or said.end == len(tokens):
        return said
    rest = " ".join(token.text for token in tokens[said.end :])
    if len(said.units) != 1:
        return None
    if part := PARTS.get(rest):
        return SaidMass(tuple(one + part for one in said.amounts), said.units, len(tokens))
    unit, small = SMALLER.get(said.units[0], ("", None))
    if small is None or not small.fullmatch(rest):
        return None
    whole = [*tokens, *tokens_of(unit)]
    again = mass_at(whole, 0, hearing)
    return again if again is not None and again.end == len(whole) else None
