"""Where one thing said ends and the next begins: full stops, and commas that part nothing."""

from __future__ import annotations

import re
from collections.abc import Sequence

from partway.pricelist.copying import replace
from partway.pricelist.folding import NUMBERED
from partway.pricelist.layout.rows import is_row
from partway.pricelist.lexicon import Lexicon
from partway.spoken.numbers import word_at
from partway.spoken.tokens import Token
from partway.spoken.tongue import english
from partway.spoken.units import UNITS

LONG = 5  # letters of a word that nobody knows and that is short for none
BEGINS = re.compile(r"[A-Z][a-z]")  # a sentence
STOPS = frozenset([".", "!", "?"])


def parted(tokens: Sequence[Token], lexicon: Lexicon, text: str = "") -> list[Token]:
    """The tokens with full stops as breaks, and without the commas inside of brackets; `text` is what they are of."""
    found: list[Token] = []
    depth, closed = 0, _closed(tokens)
    for at, token in enumerate(tokens):
        if token.text == "(" and closed[at]:
            depth += 1
        elif token.text == ")" and depth:
            depth -= 1
        inner = depth and token.kind == "break" and token.text == ","
        if inner or (token.kind == "mark" and token.text == "," and depth):
            continue
        found.append(replace(token, kind="break") if _stops(tokens, at, lexicon, text) else token)
    return found


def _closed(tokens: Sequence[Token]) -> list[bool]:
    """Of each token whether a bracket is shut there or behind it, in its row."""
    found = [False]
    for token in reversed(tokens):
        found.append(not is_row(token) and (found[-1] or token.text == ")"))
    return found[:0:-1]


def _stops(tokens: Sequence[Token], at: int, lexicon: Lexicon, text: str) -> bool:
    """Whether a sentence ends there: a stop close behind a figure or a whole word, and a space behind it.

    "alum. cans" and "no. 2" are short for something: nothing ends there.
    """
    token = tokens[at]
    if token.kind != "mark" or token.text not in STOPS or not at or tokens[at - 1].end != token.start:
        return False
    if at + 1 < len(tokens) and tokens[at + 1].start == token.end:
        return False
    before = tokens[at - 1]
    if token.text != "." or before.kind in {"number", "grade"} or before.text in {")", "%"}:
        return True
    tongue = english()
    if before.text in {*UNITS, *tongue.tons} and at + 1 < len(tokens) and BEGINS.match(text, tokens[at + 1].start):
        return True  # "20 lb. We"
    if before.text in tongue.hundredths and at > 1 and tokens[at - 2].kind == "number":
        return True  # "32c. Sealed units 18c"
    if before.text in {"#1", "#2"}:
        return word_at(tokens, at + 1) not in NUMBERED
    if before.text in tongue.noise or before.text in tongue.hundredths - {"c", "ct", "cts"}:
        return True
    talk = len(before.text) >= LONG and before.text.isalpha() and not lexicon.knows((before.text,))
    return before.kind == "word" and (talk or lexicon.spelt_out(before.text))
