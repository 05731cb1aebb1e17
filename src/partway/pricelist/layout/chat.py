"""A thread of messages copied whole, "Yard: motors 32": who speaks is no part of a name."""

from __future__ import annotations

import re
from collections import Counter

from partway.pricelist.lexicon import Lexicon

SPOKEN = re.compile(r"^[ \t]*(?:\[[^\]\n]*\][ \t]*)?([^\W\d][\w' ]{0,18}?)[ \t]*:(?=[ \t])", re.MULTILINE)
QUOTED = re.compile(r"^[ \t]*>+(?=[ \t])", re.MULTILINE)  # what the other one wrote
LOTS = re.compile(r"^[ \t]*>[ \t]*[0-9.,]+[ ]?(?:lbs?|kgs?|kilos?|t|tonnes?|\+|:)", re.MULTILINE)  # "> 100 lb: 4.20"
LEAST, MOST = 3, 3  # rows that say who speaks, and how many they may be


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
