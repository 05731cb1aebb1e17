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
from partway.saying.fillers import NUMBERED
from partway.saying.lexicon import SayLexicon, bones
from partway.saying.passage import SHORT, Known
from partway.saying.tokens import SaidWord

VARIANTS_MOST = 4
WORDS_MOST = 60  # of a text that is read again with other words
COUNTED_MOST = 3  # words of a kind behind its number
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
    words: Sequence[SaidWord], lexicon: SayLexicon, near: Near, may: Sequence[bool], known: Known
) -> Iterator[list[SaidWord]]:
    """The words with one or all of those that may have been another, of which `may` says at which places."""
    if len(words) > WORDS_MOST:
        return
    others = {at: meant for at in range(len(words)) if may[at] and (meant := _others(words, at, lexicon, near, known))}
    for chosen in islice(_choices(others), VARIANTS_MOST):
        yield [_as(word, chosen[at]) if at in chosen else word for at, word in enumerate(words)]


def _choices(others: Mapping[int, Sequence[str]]) -> Iterator[Mapping[int, str]]:
    """One word at a time, the first of them, then all at once: the fewest that have to be another are likeliest."""
    yield from islice(({at: one} for at, meant in others.items() for one in meant), VARIANTS_MOST - 1)
    if len(others) > 1:
        yield {at: meant[0] for at, meant in others.items()}


def _others(words: Sequence[SaidWord], at: int, lexicon: SayLexicon, near: Near, known: Known) -> Sequence[str]:
    word = words[at]
    if word.sort != "word":
        return ()
    number = lexicon.tables.get("sound", {}).get((word.text,))
    if number is not None:
        return (number,) if _counts(words, at, lexicon, known) else ()
    if word.text in lexicon.plain or begins_day(word.text):
        return ()
    alike = [one for one in near(word.text) if (one,) not in lexicon.idle.get(one, ()) and one not in lexicon.asides]
    return (alike or _written_short(word.text, lexicon))[:NEAR_MOST]


def _counts(words: Sequence[SaidWord], at: int, lexicon: SayLexicon, known: Known) -> bool:
    """Whether what comes next may be counted, a kind of thing or a unit, or what stands before has a number."""
    if at and (words[at - 1].text in NUMBERED or known("grade", words[at - 1].text)):
        return True
    rows = (words[at + 1 : at + 1 + size] for size in range(1, COUNTED_MOST + 1))
    said = [" ".join(word.text for word in row) for row in rows if row and row[-1].sort == "word"]
    return bool(said) and (said[0] in lexicon.amounts or any(known("kind", one) for one in said))


def _written_short(word: str, lexicon: SayLexicon) -> Sequence[str]:
    """Words with which an act begins that thumbs may have left the vowels out of."""
    return [one for one in lexicon.shortened.get(bones(word), ()) if len(word) < len(one)]


def _as(word: SaidWord, text: str) -> SaidWord:
    return replace(word, text=text, sort="number" if text.isdecimal() else "word")
