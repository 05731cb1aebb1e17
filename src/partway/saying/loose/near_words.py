"""What dictation may have written otherwise: words that sound like one of a name, or like a number.

Such a word is never taken for the other one: what would be read with it is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import islice

from partway.saying.amounts import begins_day
from partway.saying.lexicon import SayLexicon, bones
from partway.saying.passage import SHORT
from partway.saying.tokens import SaidWord

VARIANTS_MOST = 4
WORDS_MOST = 60  # of a text that is read again with other words
NEAR_MOST = 2  # words that one may have been
ALIKE = (  # what is written in several ways and sounds alike, or nearly: the longest first
    (re.compile("dge|tch|ch|sh"), "j"),
    (re.compile("ph|v"), "f"),
    (re.compile("ck|qu|q|x"), "k"),
    (re.compile("c(?=[eiy])|z"), "s"),
    (re.compile("c|g"), "k"),
    (re.compile("d"), "t"),
    (re.compile("b"), "p"),
    (re.compile("gh|[aeiouyhw]"), ""),
)
TWICE = re.compile(r"(.)\1+")

Near = Callable[[str], Sequence[str]]  # words of names that sound like one


def nothing_near(_: str) -> Sequence[str]:
    """Nothing sounds like anything."""
    return ()


@lru_cache(maxsize=8192)
def sound(word: str) -> str:
    """How a word sounds, roughly: its consonants, with those alike that ears take for one another."""
    plain = word.casefold()
    for pattern, letters in ALIKE:
        plain = pattern.sub(letters, plain)
    return TWICE.sub(r"\1", plain)


def by_sound(words: Iterable[str]) -> Mapping[str, tuple[str, ...]]:
    """Words of names by how they sound; those of one or two letters are none."""
    found: dict[str, list[str]] = {}
    for word in dict.fromkeys(words):
        if len(word) > SHORT and word.isalpha() and sound(word):
            found.setdefault(sound(word), []).append(word)
    return {key: tuple(some) for key, some in found.items()}


def heard_otherwise(
    words: Sequence[SaidWord], lexicon: SayLexicon, near: Near, may: Sequence[bool]
) -> Iterator[list[SaidWord]]:
    """The words with one or all of those that may have been another, of which `may` says at which places."""
    if len(words) > WORDS_MOST:
        return
    others = {at: meant for at, word in enumerate(words) if may[at] and (meant := _others(word, lexicon, near))}
    for chosen in islice(_choices(others), VARIANTS_MOST):
        yield [_as(word, chosen[at]) if at in chosen else word for at, word in enumerate(words)]


def _choices(others: Mapping[int, Sequence[str]]) -> Iterator[Mapping[int, str]]:
    """One word at a time, the first of them, then all at once: the fewest that have to be another are likeliest."""
    yield from islice(({at: one} for at, meant in others.items() for one in meant), VARIANTS_MOST - 1)
    if len(others) > 1:
        yield {at: meant[0] for at, meant in others.items()}


def _others(word: SaidWord, lexicon: SayLexicon, near: Near) -> Sequence[str]:
    if word.sort != "word":
        return ()
    number = lexicon.tables.get("sound", {}).get((word.text,))
    if number is not None:
        return (number,)
    if word.text in lexicon.plain or begins_day(word.text):
        return ()
    return (near(word.text) or _written_short(word.text, lexicon))[:NEAR_MOST]


def _written_short(word: str, lexicon: SayLexicon) -> Sequence[str]:
    """Words with which an act begins that thumbs may have left the vowels out of."""
    return [one for one in lexicon.shortened.get(bones(word), ()) if len(word) < len(one)]


def _as(word: SaidWord, text: str) -> SaidWord:
    return replace(word, text=text, sort="number" if text.isdecimal() else "word")
