"""A pasted or dictated text in small pieces: words, numerals, marks, and grades written exactly as we write them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Literal

from partway.quantities import number_readings

LETTER = r"[^\W\d_½¼¾⅓⅔⅛⅜⅝⅞]"
WORD = rf"{LETTER}+(?:'{LETTER}+)*"
NUMBER = r"[0-9]+(?:[.,][0-9]+)*|\.[0-9]+(?:[.,][0-9]+)*"
PART = "[½¼¾⅓⅔⅛⅜⅝⅞]"
LONGEST_NUMERAL = 40  # characters
SHARE = r"[0-9]+/[0-9]+"  # 18/8 stainless
BREAK = r"[;\n\r\t|]|,(?![0-9])|(?<![0-9]),"
DOTS = r"\.{2,}|…"  # leader dots between name and price
LISTED = re.compile(r"^[ \t]*[0-9]{1,2}[.)](?=[ \t])", re.MULTILINE)  # "1. " before each line of a pasted list
PLAIN = str.maketrans({"’": "'", "‘": "'", "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "´": "'"})


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of the text, with its place in it."""

    kind: Literal["word", "number", "mark", "break", "grade"]
    text: str
    start: int
    end: int

    def among(self, words: Iterable[str]) -> bool:
        """Whether it is one of these words or marks."""
        return self.kind in {"word", "mark"} and self.text in words


def level(text: str) -> str:
    """The text in small letters without typographic variants, each character at its old place."""
    return text.lower() if text.isascii() else "".join(_level(char) for char in text)


@cache
def _level(char: str) -> str:
    plain = unicodedata.normalize("NFKC", char.translate(PLAIN))
    plain = (plain if len(plain) == 1 else char).translate(PLAIN)
    small = plain.lower()
    return small if len(small) == 1 else plain


def pattern(names: Iterable[str]) -> re.Pattern[str]:
    """What the pieces of a text look like; names of grades come before anything they are made of."""
    longest = sorted({level(name) for name in names}, key=lambda name: (-len(name), name))
    exact = "|".join(r"\s+".join(re.escape(word) for word in name.split()) for name in longest if name.strip())
    grade = rf"(?<![\w.#-])(?:{exact})(?![\w-])" if exact else r"(?!)"
    return re.compile(
        rf"(?P<grade>{grade})|(?P<dots>{DOTS})|(?P<share>{SHARE})|(?P<part>{PART})|(?P<number>{NUMBER})|(?P<word>{WORD})"
        rf"|(?P<break>{BREAK})|(?P<mark>\S)"
    )


BARE = pattern(())


def tokens_of(text: str, shapes: re.Pattern[str] = BARE) -> list[Token]:
    """The pieces of a text in order; spaces and leader dots are between them."""
    plain = level(text)
    plain = _without_numbering(plain)
    found: list[Token] = []
    for match in shapes.finditer(plain):
        found.extend(_tokens(match))
    return found


def _without_numbering(text: str) -> str:
    """The text without the numbers of its rows, where they count up from one; "32. sealed units 18" is a price."""
    rows = [int(listed[0].strip(" \t.)")) for listed in LISTED.finditer(text)]
    counts = bool(rows) and rows == list(range(rows[0], rows[0] + len(rows))) and (rows[0] <= 1 or len(rows) > 1)
    return LISTED.sub(lambda listed: " " * len(listed[0]), text) if counts else text


def _tokens(match: re.Match[str]) -> list[Token]:
    text, start, end = match[0], match.start(), match.end()
    if match["dots"]:
        return []
    if match["grade"]:
        return [Token("grade", " ".join(text.split()), start, end)]
    if match["word"] or match["share"]:
        return [Token("word", text, start, end)]
    if match["number"]:
        return _numerals(text, start)
    return [Token("break" if match["break"] else "mark", text, start, end)]


def _numerals(text: str, start: int) -> list[Token]:
    """One numeral, or several that commas without a space keep apart, as in "4.10,38"."""
    found: list[Token] = []
    while "," in text and not (len(text) <= LONGEST_NUMERAL and number_readings(text, comma=False)):
        first, _, text = text.partition(",")
        split = start + len(first)
        found += [_numeral(first, start), Token("break", ",", split, split + 1)]
        start = split + 1
    return [*found, _numeral(text, start)]


def _numeral(text: str, start: int) -> Token:
    """A numeral; one longer than any price is left to be asked about, like a name that nobody knows."""
    kind: Literal["number", "word"] = "number" if len(text) <= LONGEST_NUMERAL else "word"
    return Token(kind, text, start, start + len(text))
