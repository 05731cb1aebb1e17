"""What stands in a list beside its prices and has numbers of its own: days, times, telephone numbers, addresses."""

from __future__ import annotations

import re
from collections.abc import Sequence

from partway.pricelist.layout.rows import is_row
from partway.pricelist.lexicon import Lexicon
from partway.spoken.money import SIGN, SIGNS
from partway.spoken.tokens import Token
from partway.spoken.tongue import Hearing, english

_MONTH = rf"(?:{'|'.join(sorted(english().months, key=len, reverse=True))})\b\.?"
_DAY = r"(?:[12][0-9]|3[01]|0?[1-9])(?:st|nd|rd|th)?"
_YEAR = r"(?:,?[ ]+20[0-9]{2}\b|/(?:20)?[0-9]{2}\b|[ ]+'[0-9]{2}\b)"
_HOUR = r"[0-9]{1,2}(?::[0-9]{2})?"
_AM = r"[ ]?(?:[ap]\.m\.|[ap]m\b)"
_NUMERAL = rf"(?<![\w.,{SIGN}])"  # not inside of a word, and no price
_OF = r"\b(?:w/[ce]|week (?:commencing|ending|of)|as of|eff\.?|updated|revised|posted|effective|dated?)[ ]+(?:the )?"
DAYS = (
    rf"{_OF}(?:{_DAY}[ ]+(?:of )?{_MONTH}{_YEAR}?|{_MONTH}[ ]+{_DAY}{_YEAR}?|{_DAY}/{_DAY}{_YEAR}?)",
    rf"\b{_MONTH}[ ]+{_DAY}(?![\w.]|[ ]*[c¢]){_YEAR}?",
    rf"{_NUMERAL}{_DAY}[ ]+(?:of )?{_MONTH}{_YEAR}?",
    rf"{_NUMERAL}20[0-9]{{2}}[-/.][0-9]{{1,2}}[-/.][0-9]{{1,2}}(?![\w.])",
    rf"{_NUMERAL}[0-9]{{1,2}}[/-][0-9]{{1,2}}[/-](?:20)?[0-9]{{2}}(?![\w.])",
    rf"{_NUMERAL}[0-9]{{1,2}}\.[0-9]{{1,2}}\.20[0-9]{{2}}(?![\w,])",
)
TIMES = (
    rf"{_NUMERAL}(?:{_HOUR}(?:{_AM})?[ ]?(?:-|to)[ ]?)?{_HOUR}{_AM}",
    rf"{_NUMERAL}(?:{_HOUR}[ ]?(?:-|to)[ ]?)?[0-9]{{1,2}}:[0-9]{{2}}(?![0-9])",
)
CALLS = (
    rf"{_NUMERAL}(?:\+?1[-. ])?\(?[0-9]{{3}}\)?[-. ][0-9]{{3}}[-. ][0-9]{{4}}(?![\w.])",
    rf"{_NUMERAL}[0-9]{{3}}-[0-9]{{4}}(?![\w.])",
    rf"{_NUMERAL}\(?0[0-9]{{2,5}}\)?[ -][0-9]{{3,8}}(?:[ -][0-9]{{3,4}})?(?![\w.])",
    r"\+[0-9][0-9 ()-]{7,}[0-9]",
    r"(?<!\S)[^\s@]++@\S+\.\w+|(?:https?://|www\.)\S+",
)
ASIDE = re.compile("|".join((*DAYS, *CALLS, *TIMES)), re.IGNORECASE)
# "may" and "mar" are words too, and "sun", "sat" are said of things: such a row still needs a number that is no price.
BLANK = re.compile(r"[^\n\r]")
EVEN = re.compile(r"(?<=[0-9])[,.]-(?![0-9])")  # "145,-" has no hundredths
MARK = re.compile(r"(?<=\S)[ ]*\(([0-9]{1,2})\)")
NOTE = re.compile(r"[ \t]*\(?([0-9]{1,2})\)[ \t]*(?=[^\W\d])")
LETTER_O = re.compile(r"(?<=[0-9][.,])[oO](?=[0-9]|\b)|(?<=[0-9])[oO](?=[0-9]|\b)|(?<=[0-9.])[oO](?=[oO]*[0-9])")


def without_asides(text: str) -> tuple[str, frozenset[int]]:
    """The text with spaces where days, times and calls stand, each character at its old place; and the rows of those.

    A letter O inside of a number is a zero: "4.5O".
    """
    rows: set[int] = set()
    row = counted = 0

    def blank(found: re.Match[str]) -> str:
        nonlocal row, counted  # each character is counted once, however many days there are
        row += sum(text.count(end, counted, found.start()) for end in ("\n", "\r"))
        counted = found.start()
        rows.add(row)
        return BLANK.sub(" ", found[0])

    return ASIDE.sub(blank, EVEN.sub("  ", LETTER_O.sub("0", text))), frozenset(rows)


def without_marks(text: str) -> tuple[str, frozenset[int]]:
    """The text with spaces for the marks of footnotes, "Cast (4)  0.60", and the rows of those, "(4) iron on it: 40%
    off"; only numbers in brackets that open a row below another one that has them.
    """
    rows = text.split("\n")
    opened = {at: found[1] for at, row in enumerate(rows) if (found := NOTE.match(row)) is not None}
    marked = {one for at, row in enumerate(rows) if at not in opened for one in MARK.findall(row)}
    notes = frozenset(at for at, mark in opened.items() if mark in marked)
    if not notes:
        return text, notes
    kept = {opened[at] for at in notes}

    def plain(found: re.Match[str]) -> str:
        return " " * len(found[0]) if found[1] in kept else found[0]

    return "\n".join(row if at in notes else MARK.sub(plain, row) for at, row in enumerate(rows)), notes


def is_aside(row: Sequence[Token], hearing: Hearing, lexicon: Lexicon, *, dated: bool) -> bool:
    """Whether a row says when they are open, whom to call or what to bring, and no grade."""
    words = [token.text for token in row if token.kind == "word"]
    if not words or any(token.kind == "grade" for token in row):
        return False
    says = dated or words[0] in hearing.tongue.weekdays or any(word in hearing.tongue.asides for word in words)
    return says and not lexicon.knows(words)


def is_aside_segment(said: Sequence[Token], hearing: Hearing, lexicon: Lexicon) -> bool:
    """Whether words between two breaks are such: "we close at 3 sat"; nothing with money in it is."""
    signs = any(token.text in SIGNS or (token.kind == "number" and "." in token.text) for token in said)
    cents = any(token.among(hearing.tongue.hundredths) for token in said)
    if any(token.among(hearing.tongue.payments) for token in said) and not any(token.kind == "grade" for token in said):
        return not any(lexicon.match((token.text,))[1] for token in said)  # "check only over $50"
    return not (signs or cents) and is_aside(said, hearing, lexicon, dated=False)


def row_at(tokens: Sequence[Token], at: int) -> Sequence[Token]:
    """The tokens from there to the end of the row."""
    end = next((n for n in range(at, len(tokens)) if is_row(tokens[n])), len(tokens))
    return tokens[at:end]
