"""A said text in small pieces: words of any script in small letters, numerals, marks, and where sentences break.

`spoken.tokens` cuts up what is one amount or a line of a list, and this is not the same: there a comma, a hyphen, a
point and "18/8" are part of what is read, and a grade is one piece; here a comma parts two acts, a hyphen joins a name,
numerals and marks on letters are of any script, and an article that is clipped ("l'oven") stands for itself. One reader
with a switch for each of these would be longer than both. What is alike, the plain forms of quotes and dashes, is
there.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from partway.errors import Refused
from partway.spoken.tokens import PLAIN

TEXT_MOST = 2000  # characters said at once
BREAKS = frozenset(",;.!?\n|،؛؟。、！？")
HARD = frozenset(";.!?\n|؛؟。！？")  # where a sentence ends, and not only a part of it
NUMBERS = frozenset({"no", "nr", "num", "st", "approx"})  # shortened words that something follows
SHORTENED = NUMBERS | {"lb", "lbs", "oz", "kg", "min", "mins", "hr", "hrs", "ea"}  # the point ends it, or all
APOSTROPHES = {**PLAIN, ord("ʼ"): "'"}
NUMERAL = re.compile(r"(?:[0-9]+(?:[.,:][0-9]+)*|\.[0-9]+)(?:/[0-9]+)?[½¼¾⅓⅔⅛⅜⅝⅞]?|[½¼¾⅓⅔⅛⅜⅝⅞]")
MORE = "another"  # "+7 lb"
UNPARTED = frozenset({"there", "today", "that", "it", "let", "what", "he", "she", "who", "where", "how", "here"})
CLIPPED = frozenset({"l", "d", "qu", "j", "n", "s", "m", "c"})  # l'oven: the article is no part of the name

PER = re.compile(
    r"\s*(?:lbs?|pounds?|kg|kilos?|g|grams?|oz|ounces?|cwt|tons?|tonnes?|short|long"
    r"|each|ea|pieces?|pcs?|unit|hours?|hrs?|min)\b"
)

COUNTED = re.compile(r"(?:^|\s)[0-9.,]+$")  # a number by itself, which "cu2" is not
FACE = re.compile(r"[:;]-?[()](?!\w)")  # says nothing

Sort = Literal["word", "number", "mark", "break"]


@dataclass(frozen=True, slots=True)
class SaidWord:
    """One piece of what was said, with its place in the text."""

    text: str
    start: int
    end: int
    sort: Sort = "word"
    dotted: bool = False  # a unit with a point behind it, which may end the sentence or not
    clipped: bool = False  # "is" of "it's broken", or the end of a name: "mike's yard"

    @property
    def hard(self) -> bool:
        """Whether a sentence ends here."""
        return self.sort == "break" and self.text in HARD


def normal(text: str) -> str:
    """The text as it is kept and shown: composed (NFC), so that one name has one spelling. Raises Refused."""
    if len(text) > TEXT_MOST:
        raise Refused(f"{len(text):,} characters", f"at most {TEXT_MOST:,} at once", "say")
    odd = next((c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Cn", "Co") and c not in "\n\r\t"), "")
    if odd:
        raise Refused(f"the character {ord(odd):#06x}", "words and numbers", "say")
    return unicodedata.normalize("NFC", text)


def said_words(text: str) -> list[SaidWord]:
    """The pieces of a text, which is in NFC."""
    plain = text.translate(APOSTROPHES)
    return list(_pieces(plain, _western(plain)))


def _western(text: str) -> str:
    """The same with digits of any script as 0 to 9, each at its place."""
    return "".join(str(unicodedata.decimal(c)) if unicodedata.decimal(c, -1) >= 0 else c for c in text)


def _pieces(text: str, digits: str) -> Iterator[SaidWord]:
    at, last = 0, ""
    while at < len(text):
        numeral = NUMERAL.match(digits, at)
        if numeral:
            yield SaidWord(numeral[0], at, numeral.end(), "number")
            at, last = numeral.end(), ""
        elif _letter(text[at]):
            end = _while(text, at, lambda c: _letter(c) or c == "'")
            yield from _word(text, at, end, dotted=text[end : end + 1] == ".")
            at, last = end, text[at:end].casefold()
        elif face := FACE.match(text, at):
            at = face.end()
        else:
            yield from _mark(text, at, last)
            at += 1
            last = last if at < len(text) and text[at - 1].isspace() else ""


def _word(text: str, start: int, end: int, *, dotted: bool) -> Iterator[SaidWord]:
    """A word; an article that is clipped before it stands for itself."""
    whole = text[start:end].rstrip("'")
    head, quote, tail = whole.partition("'")
    if quote and len(tail) > 1 and head.casefold() in CLIPPED:
        yield SaidWord(f"{head.casefold()}'", start, start + len(head) + 1)
        start, whole = start + len(head) + 1, tail
    plain = whole.casefold()
    owner = plain.removesuffix("'s")
    if owner != plain and owner not in UNPARTED:
        yield SaidWord(owner, start, start + len(owner))
        yield SaidWord("is", start + len(owner), start + len(whole), clipped=True)
        return
    yield SaidWord(plain, start, start + len(whole), dotted=dotted and plain in SHORTENED - NUMBERS)


def _mark(text: str, at: int, last: str) -> Iterator[SaidWord]:
    """A break or a mark; the point behind "no." and a hyphen between words are neither, nor is what nobody sees."""
    char = text[at]
    if char == "." and last in SHORTENED and not (at + 1 < len(text) and text[at + 1] == "\n"):
        return
    if char == "-" and at and _letter(text[at - 1]):
        return
    if char == "+" and _more(text, at):
        yield SaidWord(MORE, at, at + 1)
    elif char in BREAKS or _dash(text, at) or _slash(text, at):
        yield SaidWord(char if char in BREAKS else ",", at, at + 1, "break")
    elif not char.isspace() and unicodedata.category(char) != "Cf":
        yield SaidWord(char, at, at + 1, "mark")


def _dash(text: str, at: int) -> bool:
    """Whether a dash parts what stands beside it: it has room on both sides, and no number."""
    before, after = text[at - 2 : at - 1], text[at + 2 : at + 3]
    apart = text[at - 1 : at].isspace() and text[at + 1 : at + 2].isspace()
    return text[at] == "-" and apart and not (before.isdecimal() and after.isdecimal())


def _slash(text: str, at: int) -> bool:
    """Whether a slash parts what stands beside it: it has room on both sides, and no unit behind it."""
    apart = text[at - 1 : at].isspace() and text[at + 1 : at + 2].isspace()
    return text[at] == "/" and apart and not PER.match(text.casefold(), at + 1)


def _more(text: str, at: int) -> bool:
    """Whether a plus is of the number behind it, and adds nothing to one before it: "cu2 +7 lb"."""
    before = text[:at].rstrip()
    return text[at + 1 : at + 2].isdecimal() and before != text[:at] and not COUNTED.search(before)


def _letter(char: str) -> bool:
    """A letter of any script, or what stands on one."""
    return unicodedata.category(char)[0] in "LM"


def _while(text: str, at: int, there: Callable[[str], bool]) -> int:
    while at < len(text) and there(text[at]):
        at += 1
    return at
