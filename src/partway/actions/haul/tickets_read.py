"""A ticket's line as it is typed."""

from __future__ import annotations

import re

from partway.actions.haul.tickets import LineGiven
from partway.errors import Refused
from partway.quantities import shown

UNITS = r"(?:lbs?|pounds?|kgs?|kilos?|g|grams?|oz|ounces?|(?:short |long |metric )?tons?|tonnes?|t)(?![a-z])\.?"
NUMBER = r"[0-9][0-9.,']*(?:\s+[0-9]+/[0-9]+|/[0-9]+)?"
MASS = rf"(?:{NUMBER}\s*{UNITS}\s*)?{NUMBER}(?:\s*{UNITS})?"  # "21 lb 3 oz", "6lb8oz"; a bare number by itself
LINE = re.compile(
    rf"(?P<grade>.+?)\s*[:=\s]\s*(?P<mass>{MASS})\s+(?:at|x|×)\s+(?P<price>[^=~@]+?)"
    r"(?:\s*=\s*(?P<amount>[^~@]+?))?(?:\s*~\s*(?P<own>[^@]+?))?(?:\s*@\s*(?P<bin>[\w-]+))?",
    re.IGNORECASE,
)


def line_given(text: str) -> LineGiven:
    """Read "copper-2 10.2 lb at 4.10 /lb = 41.82 ~10.4 lb @copper", or "no 2 copper 10.2 lb at 4.10". Raises Refused.

    What follows `=` is the printed amount, `~` one's own mass (or all, or yard), `@` the bin.
    """
    match = LINE.fullmatch(text.strip())
    if match is None:
        expected = 'GRADE MASS at PRICE, then perhaps = AMOUNT, ~OWN MASS, @BIN: "copper-2 10.2 lb at 4.10 /lb"'
        raise Refused(shown(text), expected, "line")
    given = match.groupdict()
    return LineGiven(given["grade"], given["mass"], given["price"], given["amount"], given["own"], given["bin"] or "")
