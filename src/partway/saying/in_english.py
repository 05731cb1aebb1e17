"""Phrases of another language in the words that names, numbers and units are read in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from partway.saying.tokens import SaidWord

LONGEST = 5  # words of a phrase of another language
SHORTEST = 3  # letters of a word that has a plural: "dos" is none
English = Mapping[tuple[str, ...], tuple[str, ...]]


def in_english(words: Sequence[SaidWord], english: English) -> list[SaidWord]:
    """The pieces with phrases of a language in our words, each at the place of what was said."""
    found: list[SaidWord] = []
    at = 0
    while at < len(words):
        size = _phrase(words, at, english)
        if not size:
            found.append(words[at])
        else:
            start, end = words[at].start, words[at + size - 1].end
            meant = _meant(words[at : at + size], english)
            found += [SaidWord(text, start, end, _sort(text)) for text in meant]
        at += size or 1
    return found


def _phrase(words: Sequence[SaidWord], at: int, english: English) -> int:
    """How many pieces from here on are a phrase; the longest one."""
    if not english:
        return 0
    sizes = range(min(LONGEST, len(words) - at), 0, -1)
    return next((n for n in sizes if _meant(words[at : at + n], english)), 0)


def _meant(words: Sequence[SaidWord], english: English) -> tuple[str, ...]:
    """What a phrase is in our words, also in its plural; nothing where it is none."""
    *first, last = (word.text for word in words)
    ways = (last, last.removesuffix("s"), last.removesuffix("es")) if len(last) > SHORTEST else (last,)
    return next((english[found] for way in ways if (found := (*first, way)) in english), ())


def _sort(text: str) -> Literal["word", "number"]:
    return "number" if text[0].isdecimal() else "word"
