"""What a machine that reads photographs mistakes: O for 0, l for 1, S for 5 in figures, and the reverse in words.

Every character keeps its place. A figure with a mark that stands for one nobody could read, "?.10", is no figure.
"""

from __future__ import annotations

import re
from functools import cache
from itertools import product

from partway.pricelist.lexicon import Lexicon
from partway.spoken.money import SIGN
from partway.spoken.tongue import english
from partway.spoken.units import UNITS

DIGITS = str.maketrans("OolISB", "011158")
LIKE = "OolISB"  # letters that are taken for digits
# A numeral with a decimal point that begins or goes on in such letters: "4.6O", ".S5", "$O.88", "3.l5".
POINTED = re.compile(rf"(?<![\w.])(?:[0-9][0-9{LIKE}]{{0,3}}|[{LIKE}])?[.,][0-9{LIKE}]{{1,3}}(?![0-9A-Za-z])")
CENTS = re.compile(rf"(?<![\w.])[0-9{LIKE}]{{1,3}}(?=[c¢p](?![A-Za-z0-9]))")  # 4Oc, l45p
POUND = re.compile(r"(?<=[0-9 ])[/#](?:[1lI|]b|[lI|]6)(?!\w)")  # 4.10 /1b, 3.89#Ib; never a day, 11/16
BETWEEN = re.compile(rf"(?<![\w.])[0-9]+[{LIKE}]+[0-9]+(?!\w)")  # 3O4
NUMBERED = re.compile(r"(?:(?<=#)|(?<=\bno\. )|(?<=\bno )|(?<=\bno\.))[lI](?![\w.'])", re.IGNORECASE)
ZERO_O = re.compile(r"(?<![\w.])([Nn])0(?=\.? ?[0-9lI])")  # N0.1
UNREADABLE = re.compile(r"(?<![\w?.,])[0-9.,]*\?[0-9.,?]*[0-9]|(?<![\w?.,])[0-9]+[.,][0-9]?\?|(?<![\w?.,])\.\?[0-9?]*")
MIXED = re.compile(rf"(?<![\w.{SIGN}])[a-z0158|][a-z0158|']+(?!\w)", re.IGNORECASE)
CAPITAL = re.compile(r"(?<![\w'])l(?=[a-zA-Z]{2})")  # lron
LETTERS = {"0": "o", "1": "li", "|": "li", "5": "s", "8": "b"}
LONGEST, MOST = 20, 4  # letters of a word, and of them digits, that are worth trying


def unscanned(text: str, lexicon: Lexicon) -> str:
    """The text with such letters in figures as digits, and such digits in words as letters."""

    def figure(found: re.Match[str]) -> str:
        read = any(char.isdigit() for char in found[0]) or found[0].startswith(".")
        return found[0].translate(DIGITS) if read else found[0]

    def word(found: re.Match[str]) -> str:
        return _as_word(found[0], lexicon)

    text = POUND.sub("/lb", NUMBERED.sub("1", ZERO_O.sub(r"\1o", text)))
    for pattern in (POINTED, CENTS, BETWEEN):
        text = pattern.sub(figure, text)
    text = UNREADABLE.sub(lambda found: "?" * len(found[0]), text)
    text = MIXED.sub(word, text)
    return CAPITAL.sub(lambda found: _as_capital(text, found, lexicon), text)


def _as_word(said: str, lexicon: Lexicon) -> str:
    """A word with digits in it as the word of the trade that it then is, or unchanged: "A1um", and "hms1" stays."""
    places = [n for n, char in enumerate(said) if char in LETTERS]
    plain = said.strip("0158|")
    if not places or len(said) > LONGEST or len(places) > MOST or sum(char.isalpha() for char in said) < 2:
        return said
    if plain.isalpha() and _known(plain, lexicon):
        return said
    for letters in product(*(LETTERS[said[n]] for n in places)):
        tried = list(said)
        for place, letter in zip(places, letters, strict=True):
            tried[place] = letter
        if _known("".join(tried), lexicon):
            return "".join(tried)
    return said


def _as_capital(text: str, found: re.Match[str], lexicon: Lexicon) -> str:
    rest = re.match(r"[a-zA-Z]+", text[found.start() :])
    said = rest[0] if rest else ""
    return "i" if not _known(said, lexicon) and _known(f"i{said[1:]}", lexicon) else "l"


def _known(word: str, lexicon: Lexicon) -> bool:
    plain = word.lower()
    return plain in _talk() or lexicon.has(plain)


@cache
def _talk() -> frozenset[str]:
    """Words that lists are made of besides the names of grades."""
    tongue = english()
    days = {"today", *tongue.weekdays, *tongue.months}
    return frozenset({*tongue.noise, *tongue.header, *tongue.asides, *tongue.each, *tongue.fees, *UNITS, *days})
