"""Numbers that belong to names, not to prices: No. 2, 304 stainless, 400 series, cat 5, 12 volt, 85 %."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from functools import cache

from partway.pricelist.copying import replace
from partway.spoken.tokens import Token
from partway.spoken.tongue import english
from partway.spoken.units import UNITS
from partway.things.currencies import CURRENCIES

ALIKE = 0.8  # least likeness of a mistyped word, as of names
NUMBER_OF = frozenset(["no", "nr", "num", "number", "#", "№"])
FIRST_TWO = {"1": "#1", "one": "#1", "2": "#2", "two": "#2", "won": "#1", "too": "#2"}
# Names that go by number: "copper 2", "heavy melt 1". The stems a dictated or mistyped number may follow.
NUMBERED = frozenset(["copper", "coper", "coppers", "cu", "melt", "hms"])
HEARD_TWO = {**FIRST_TWO, "to": "#2"}  # behind "number" dictation writes "to", and means 2
# Steel grade numbers are ASTM A240 type numbers (from memory); they are names only beside the word stainless.
STAINLESS = frozenset(["stainless", "ss"])
TYPES = frozenset(["304", "316", "201", "202", "409", "430"])
STEELS = frozenset(["v2a", "v4a"])
# Numbers of wrought alloys (Aluminum Association designations, from memory), names only behind the word aluminium.
ALUMINIUM = frozenset(["aluminium", "aluminum", "alum", "alu", "ali", "al", "extrusion", "extrusions", "extruded"])
ALLOYS = frozenset(["6061", "6063", "5052", "3003", "1100", "2024", "7075"])
SIZES = frozenset(["mm", "cm", "inch", "inches", "ft", "foot", "feet", "hp", "kva", "kw", "watt", "watts", "ah", "ga"])
AFTER = english().shares | frozenset(["series", "volt", "volts", "v", "gauge", "awg", "grade", "amp", "amps"]) | SIZES
BEFORE = frozenset(["cat", "he"])  # cat 5, HE9


def folded(tokens: Sequence[Token]) -> list[Token]:
    """The tokens with numbers that are part of a name turned into words of that name, and "lead's" into "lead"."""
    tokens = [_plain(one) for at, token in enumerate(tokens) for one in _types_apart(tokens, at)]
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        token, used = _name_number(tokens, at)
        found.append(token)
        at += used
    return found


def _types_apart(tokens: Sequence[Token], at: int) -> Sequence[Token]:
    """Two steels with a stroke between them, "304/316"; so No. 1 and No. 2 behind another stroke, "BB/1/2"."""
    token = tokens[at]
    first, stroke, second = token.text.partition("/")
    numbers = at > 0 and tokens[at - 1].text == "/" and {first, second} == {"1", "2"}
    if not stroke or token.kind != "word" or not (numbers or (first in TYPES and second in TYPES)):
        return (token,)
    first, second = (f"#{first}", f"#{second}") if numbers else (first, second)
    edge = token.start + token.text.index("/")
    mark = Token("mark", "/", edge, edge + 1)
    return Token("word", first, token.start, edge), mark, Token("word", second, edge + 1, token.end)


def _plain(token: Token) -> Token:
    """The word without its "'s"; of "it's" and "that's" the whole is a word that carries nothing."""
    owned = token.kind == "word" and token.text.endswith("'s") and token.text not in english().noise
    return replace(token, text=token.text[:-2]) if owned else token


def _name_number(tokens: Sequence[Token], at: int) -> tuple[Token, int]:
    """The token there, or the word made from it and those after it, and how many it took."""
    token = tokens[at]
    opened = _number_of(tokens, at)
    if opened is not None and opened < len(tokens) and not _goes_on(tokens, opened):
        word = HEARD_TWO.get(tokens[opened].text.removeprefix("."))
        if word is not None:
            return Token("word", word, token.start, tokens[opened].end), opened + 1 - at
    if token.text in FIRST_TWO and token.kind == "number" and _plural(tokens, at):
        return Token("word", FIRST_TWO[token.text], token.start, tokens[at + 1].end), 2
    if (glued := _of_three(tokens, at)) is not None:
        return glued
    if tokens[at].kind == "number" and at + 1 < len(tokens) and tokens[at + 1].text == "ish":
        return token, 2  # "4.9ish"
    if _owned(tokens, at):
        return replace(token, kind="mark", text="'"), 2
    if _glued(tokens, at):
        return Token("word", token.text + tokens[at + 1].text, token.start, tokens[at + 1].end), 2
    if token.kind == "number" and _is_name(tokens, at):
        return replace(token, kind="word"), 2 if _letter(tokens, at) else 1
    return token, 1


def _of_three(tokens: Sequence[Token], at: int) -> tuple[Token, int] | None:
    """The "no" of "w/o", and a steel that goes by letters around a numeral: "V2A"."""
    if tokens[at].among(["w"]) and [one.text for one in tokens[at + 1 : at + 3]] == ["/", "o"]:
        return Token("word", "no", tokens[at].start, tokens[at + 2].end), 3
    parts = tokens[at : at + 3]
    close = len(parts) == 3 and parts[0].end == parts[1].start and parts[1].end == parts[2].start
    said = "".join(part.text for part in parts)
    return (Token("word", said, parts[0].start, parts[2].end), 3) if close and said in STEELS else None


def _owned(tokens: Sequence[Token], at: int) -> bool:
    """Whether it is the "'s" behind a name of a grade: "light iron's nine"."""
    behind = tokens[at + 1] if at + 1 < len(tokens) else None
    name = at > 0 and tokens[at - 1].kind == "grade"
    return name and tokens[at].text == "'" and behind is not None and behind.text == "s"


def _glued(tokens: Sequence[Token], at: int) -> bool:
    """Whether letters that are no unit stand close behind a numeral: "2day", "16ga", "4.1x"; no price is read there."""
    if tokens[at].kind != "number" or at + 1 >= len(tokens):
        return False
    behind = tokens[at + 1]
    if tokens[at].text in FIRST_TWO and behind.text in NUMBERED:
        return False  # "1copper"
    return behind.kind == "word" and behind.start == tokens[at].end and behind.text not in _behind_figures()


@cache
def _behind_figures() -> frozenset[str]:
    """Words that may stand close behind a figure: units, money, and what goes with the number of a name."""
    tongue = english()
    money = {*tongue.hundredths, *tongue.pence, *tongue.money, *(code.lower() for code in CURRENCIES)}
    units = {*UNITS, *tongue.tons, *tongue.short_for_ton, *tongue.hundredweight, *tongue.each, *tongue.pieces}
    others = {*tongue.nth, *tongue.am, *tongue.pm, *tongue.per, *tongue.to, *tongue.large, *AFTER, "s", "l"}
    return frozenset(money | units | others)


def _plural(tokens: Sequence[Token], at: int) -> bool:
    """Whether No. 1 is said of several: "1s"."""
    return at + 1 < len(tokens) and tokens[at + 1].text == "s" and tokens[at + 1].start == tokens[at].end


def _number_of(tokens: Sequence[Token], at: int) -> int | None:
    """Behind "no", "no.", "no-", "n°": where the number that belongs to it would stand."""
    marks = [token.text if token.start == tokens[at].end + n else "" for n, token in enumerate(tokens[at + 1 : at + 2])]
    if tokens[at].among(["n"]) and marks == ["°"]:
        return at + 2
    if not tokens[at].among(NUMBER_OF):
        return None
    dashed = marks == ["-"] and at + 2 < len(tokens) and tokens[at + 2].start == tokens[at + 1].end
    dotted = at + 1 < len(tokens) and tokens[at + 1].among(".")
    return at + 2 if dashed or dotted else at + 1


def _goes_on(tokens: Sequence[Token], at: int) -> bool:
    """Whether a numeral is the first half of "2-10"."""
    close = at + 2 < len(tokens) and tokens[at + 1].start == tokens[at].end
    return close and tokens[at + 1].text == "-" and tokens[at + 2].kind == "number"


def _is_name(tokens: Sequence[Token], at: int) -> bool:
    before = tokens[at - 1] if at else None
    if before is not None and before.text in {"(", "-", ":", "steel"} and at > 1 and tokens[at - 2].among(STAINLESS):
        before = tokens[at - 2]
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if after is not None and after.among(AFTER):
        return True
    if before is not None and before.among(BEFORE):
        return True
    if tokens[at].text in ALLOYS and any(beside is not None and beside.among(ALUMINIUM) for beside in (before, after)):
        return True
    if tokens[at].text not in TYPES:
        return False
    if any("".join(token.text for token in tokens[max(0, end - 3) : end]) in STEELS for end in (at, at - 1)):
        return True  # "V2A / 304: 1.05"
    beside = [other for other in (before, after) if other is not None]
    if any(other.among(STAINLESS) or _nearly_stainless(other) for other in beside) or _letter(tokens, at):
        return True
    if before is not None and before.kind == "number" and "." in before.text and at > 0 and _opens_row(tokens, at - 1):
        return after is None or after.kind == "break"  # ".52 304"
    # "304 not taking": a type number that opens a line stands for the stainless.
    opens = before is None or before.kind == "break"
    if opens and after is not None and after.text in {"-", ":", "=", "$", "@"}:
        after = tokens[at + 2] if at + 2 < len(tokens) and tokens[at + 2].kind == "number" else None
    return opens and after is not None and (after.kind == "number" or after.text in {"not", "no", "at"})


def _opens_row(tokens: Sequence[Token], at: int) -> bool:
    """Whether a token is the first of its row or part, whatever sign stands before it."""
    return at == 0 or tokens[at - 1].kind == "break" or (tokens[at - 1].text == "$" and _opens_row(tokens, at - 1))


def _nearly_stainless(token: Token) -> bool:
    """Whether a word is the mistyped one: "stanless 304"."""
    near = token.kind == "word" and token.text[:1] == "s" and len(token.text) >= 7
    return near and SequenceMatcher(None, token.text, "stainless").ratio() >= ALIKE


def _letter(tokens: Sequence[Token], at: int) -> bool:
    """Whether the low-carbon mark follows: 304L."""
    return at + 1 < len(tokens) and tokens[at + 1].text == "l" and tokens[at + 1].start == tokens[at].end
