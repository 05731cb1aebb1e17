"""Who speaks, or whose prices they are, before a row: "Yard: motors 32", "ridge yard: motors 31"; no part of a name."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence

from partway.pricelist.lexicon import Lexicon
from partway.spoken.tokens import level
from partway.spoken.tongue import english
from partway.spoken.units import UNITS

SPOKEN = re.compile(r"^[ \t]*(?:\[[^\]\n]*\][ \t]*)?([^\W\d][\w' ]{0,18}?)[ \t]*:(?=[ \t])", re.MULTILINE)
QUOTED = re.compile(r"^[ \t]*>+(?=[ \t])", re.MULTILINE)  # what the other one wrote
LOTS = re.compile(r"^[ \t]*>[ \t]*[0-9.,]+[ ]?(?:lbs?|kgs?|kilos?|t|tonnes?|\+|:)", re.MULTILINE)  # "> 100 lb: 4.20"
LEAST_YARDS = 2  # in one message
LEAST, MOST = 3, 3  # rows that say who speaks, and how many they may be


def yards_apart(text: str, lexicon: Lexicon) -> tuple[str, dict[int, str]]:
    """The text with spaces for the names of two yards or more before rows that price the same things, and whose each
    such row is; any other text as it is, and nothing.
    """
    rows = text.split("\n")
    heads = {at: head[1].strip() for at, row in enumerate(rows) if (head := _head(row, lexicon)) is not None}
    names = {name.lower() for name in heads.values()}
    if len(names) < LEAST_YARDS or not _price_the_same(rows, heads, lexicon):
        return text, {}
    said = {at: names_of[0] for at, row in enumerate(rows) if (names_of := _begins_with(row, heads))}
    for at, name in heads.items():
        found = SPOKEN.match(rows[at])
        rows[at] = f"{' ' * len(found[0])}{rows[at][len(found[0]) :]}" if found else rows[at]
        said[at] = name
    return "\n".join(rows), said


def _head(row: str, lexicon: Lexicon) -> re.Match[str] | None:
    """The words before a colon that may be the name of a yard: none of the trade, none that heads a list."""
    found = SPOKEN.match(row)
    words = level(found[1]).split() if found is not None else []
    tongue = english()
    plain = tongue.asides | tongue.header | tongue.noise | tongue.per | UNITS.keys()
    other = any(word in plain - tongue.over_words for word in words) or lexicon.knows(words)
    return None if other or not any(char.isdigit() for char in row) else found


def _price_the_same(rows: Sequence[str], heads: Mapping[int, str], lexicon: Lexicon) -> bool:
    """Whether words of the trade stand in the rows of two yards."""
    named = Counter(
        word
        for name in {name.lower() for name in heads.values()}
        for word in {w for at, of in heads.items() if of.lower() == name for w in level(rows[at]).split()}
        if lexicon.has(word.strip(":,;"))
    )
    return any(count > 1 for count in named.values())


def _begins_with(row: str, heads: Mapping[int, str]) -> list[str]:
    """The one yard whose name's first word a row begins with, "ridge pays 20 on batteries"."""
    first = level(row).split()[:1]
    found = list(dict.fromkeys(name for name in heads.values() if level(name).split()[:1] == first))
    return found if len(found) == 1 else []


def without_speakers(text: str, lexicon: Lexicon) -> str:
    """The text with spaces for the speakers before its rows, where a few of them take turns and none is a name."""
    quoted = QUOTED.findall(text)
    if len(quoted) > 1 and not LOTS.search(text):
        text = QUOTED.sub(lambda found: " " * len(found[0]), text)
    said = Counter(found[1].strip().lower() for found in SPOKEN.finditer(text))
    speakers = {who for who, times in said.items() if times > 1 and not lexicon.knows(who.split())}
    rows = sum(said[who] for who in speakers)
    if not speakers or len(speakers) > MOST or rows < LEAST:
        return text

    def blank(found: re.Match[str]) -> str:
        return " " * len(found[0]) if found[1].strip().lower() in speakers else found[0]

    return SPOKEN.sub(blank, text)
