"""Which characters a paper can write. Any other is written as [?] and named, never left to a box."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, Final

LACKING = "[?]"
NAMED = 6  # characters that are named on a paper; of more, their number is said
REMEMBERED = 20_000
BREAKS = re.compile(r"[^\S\u00a0\u202f]+")  # blanks that hold figures and their units together stay
# Signs that turn the text after them around: one in a name would reach beyond it (Unicode Standard Annex 9, table 4).
TURNING = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
# PDF/A lets no text refer to the glyph that stands for none, so a box is an error (ISO 19005-2, 6.2.11.8, from memory).
STANDARD: Final = "a-2u"
PROBE = b"""#set document(title: "probe", date: datetime(year: 2026, month: 1, day: 1))
#let text-given = json(bytes(sys.inputs.data))
#par(text-given)
#par(strong(text-given))
"""


def covered(data: Any) -> tuple[Any, tuple[str, ...]]:
    """The same data with what cannot be written as [?], and each such character once, in the order met."""
    lacking: dict[str, None] = {}
    return _walked(data, lacking), tuple(lacking)


def said_lacking(lacking: Iterable[str]) -> str:
    """What is not in the fonts, in one line; "" where all is."""
    names = [f"{unicodedata.name(one, 'a character').lower()} (U+{ord(one):04X})" for one in lacking]
    if not names:
        return ""
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return f"The fonts of this paper cannot write these, {LACKING} stands for them: {', '.join(names[:NAMED])}{more}."


def _walked(data: Any, lacking: dict[str, None]) -> Any:
    if isinstance(data, str):
        return _text(data, lacking)
    if isinstance(data, dict):
        return {key: _walked(value, lacking) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_walked(value, lacking) for value in data]
    return data


def _text(text: str, lacking: dict[str, None]) -> str:
    text = BREAKS.sub(" ", text).strip()  # a line break or a tab within a name is a blank on paper
    if not text or (text.isascii() and text.isprintable()) or _has(text):
        return text
    # A character may be there alone and not in its company (marks that combine): then none but ASCII is trusted.
    for known in (_has, _plain):
        written = "".join(one if known(one) else LACKING for one in text)
        if _has(written):
            break
    lacking.update(dict.fromkeys(one for one in text if not known(one)))
    return written


def _plain(one: str) -> bool:
    return one.isascii() and one.isprintable()


@lru_cache(maxsize=REMEMBERED)
def _has(text: str) -> bool:
    """Whether all of a text can be written, plain and bold."""
    if any(unicodedata.bidirectional(one) in TURNING for one in text):
        return False
    import json

    import typst

    compiler = typst.Compiler(PROBE, ignore_system_fonts=True, sys_inputs={"data": json.dumps(text)})
    try:
        compiler.compile(format="pdf", pdf_standards=STANDARD)
    except typst.TypstError:
        return False
    return True
