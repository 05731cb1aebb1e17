"""How an act is said, as a row of words and slots: "found [{count}] {kind}", and whether a text goes so."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from partway.errors import BadCatalogue
from partway.saying.tokens import SaidWord, said_words
from partway.spoken.tongue import ByFirst

ELEMENT = re.compile(r"\[(?P<maybe>[^\]]+)\]|\{(?P<slot>[a-z_]+!?)\}|<(?P<set>[a-z_]+)>|(?P<word>[^\s\[\]{}<>]+)")

SET = re.compile(r"<([a-z_]+)>")

Phrases = Mapping[str, tuple[tuple[str, ...], ...]]  # by their first word, the longest first
Sets = Mapping[str, tuple[tuple[str, ...], ...]]  # phrases in small pieces, the longest first
Filled = tuple[tuple[str, int, int], ...]  # slot, and which words fill it
Ends = Callable[[str, int], Iterator[int]]  # where a slot that begins at a word may end


@dataclass(frozen=True)
class PatternPiece:
    """One piece of a pattern: words of which one is said, a slot, or a row that may be left out."""

    words: tuple[tuple[str, ...], ...] = ()
    slot: str = ""
    maybe: tuple[PatternPiece, ...] = ()

    @cached_property
    def by_word(self) -> Phrases:
        """Its phrases by their first word."""
        return by_first(self.words)


@dataclass(frozen=True)
class ActPattern:
    """One way to say an act (`does`), or a part of one of the acts in `of`. `fixed` is what the words alone say.

    A slot with "!" is sure: a name that is known, an amount with its unit. `starts`: only a sentence begins so,
    `apart`: only a part of one; `ends`: nothing follows in the same breath. `unless` is the part that it is instead,
    where the act before it may have one.
    """

    does: str
    text: str
    pieces: tuple[PatternPiece, ...]
    of: tuple[str, ...] = ()
    fixed: Mapping[str, str] = field(default_factory=dict)
    starts: bool = False
    unless: str = ""
    ends: bool = False
    apart: bool = False

    def matches(self, words: Sequence[SaidWord], at: int, ends: Ends) -> Iterator[tuple[int, Filled]]:
        """Where it may end if it begins at a word, and what fills its slots; longest slots first."""
        return _matches(self.pieces, words, at, ends, ())

    @property
    def phrases(self) -> Iterator[tuple[str, ...]]:
        """All its phrases."""
        return _phrases_in(self.pieces)

    @cached_property
    def opens(self) -> frozenset[str]:
        """The words of which one has to begin it; empty where a slot or anything may."""
        first = self.pieces[0]
        return frozenset(phrase[0] for phrase in first.words)

    @cached_property
    def needed(self) -> tuple[frozenset[str], ...]:
        """The first words of each of its phrases that may not be left out: a text that goes so has one of each."""
        return tuple(frozenset(phrase[0] for phrase in piece.words) for piece in self.pieces if piece.words)

    @cached_property
    def begins(self) -> tuple[frozenset[str], tuple[str, ...]]:
        """The words and the slots with which it may begin."""
        words: set[str] = set()
        slots: list[str] = []
        _begins(self.pieces, words, slots)
        return frozenset(words), tuple(dict.fromkeys(slots))


@dataclass(frozen=True)
class ActFrame:
    """An act with the verbs that say it and what has to be there; `may` be there what more is said of it.

    `bare`: it may be said without a verb.
    """

    does: str
    verbs: frozenset[tuple[str, ...]]
    needs: tuple[str, ...]
    may: tuple[str, ...] = ()
    bare: bool = False
    fixed: tuple[tuple[str, str], ...] = ()


def pattern_of(text: str, row: Mapping[str, Any], sets: Sets) -> ActPattern:
    """Read one line of the lexicon, of a row that says what its lines do. Raises BadCatalogue."""
    fixed, of = dict(row.get("with", {})), tuple(row.get("of", ()))
    does, starts = row.get("does") or row["says"], bool(row.get("starts"))
    ends, apart = bool(row.get("ends")), bool(row.get("apart"))
    return ActPattern(does, text, _pieces(text, sets), of, fixed, starts, row.get("unless", ""), ends, apart)


def _pieces(text: str, sets: Sets) -> tuple[PatternPiece, ...]:
    found = []
    for match in ELEMENT.finditer(text):
        if match["maybe"]:
            found.append(PatternPiece(maybe=_pieces(match["maybe"], sets)))
        elif match["slot"]:
            found.append(PatternPiece(slot=match["slot"]))
        elif match["set"]:
            found.append(PatternPiece(words=_of_set(match["set"], sets)))
        else:
            found.append(PatternPiece(words=tuple(spelt(match["word"].split("|")))))
        if not all(found[-1].words):  # "<box>|it": words or a set of them, and never both
            raise BadCatalogue(text, "a word on both sides of each |", "lexicon of acts")
    return tuple(found)


def _of_set(name: str, sets: Sets) -> tuple[tuple[str, ...], ...]:
    if name not in sets:
        raise BadCatalogue(f"<{name}>", f"one of {', '.join(sets)}", "lexicon of acts")
    return sets[name]


def phrases_of(sets: Mapping[str, object]) -> Sets:
    """Every set as its phrases, the longest first; a phrase may name other sets. Raises BadCatalogue."""
    return {name: _set_phrases(name, sets) for name in sets}


def _set_phrases(name: str, sets: Mapping[str, object]) -> tuple[tuple[str, ...], ...]:
    said = sets.get(name)
    if not isinstance(said, list):
        raise BadCatalogue(f"<{name}>", f"one of {', '.join(sets)}", "lexicon of acts")
    phrases = (one for phrase in said for one in _expanded(str(phrase), sets))
    return tuple(sorted(dict.fromkeys(spelt(phrases)), key=lambda words: -len(words)))


def _expanded(phrase: str, sets: Mapping[str, object]) -> Iterator[str]:
    """A phrase with every phrase of the sets that are named in it."""
    match = SET.search(phrase)
    if match is None:
        yield phrase
        return
    named = sets.get(match[1])
    if not isinstance(named, list):
        raise BadCatalogue(match[0], f"one of {', '.join(sets)}", "lexicon of acts")
    for words in named:
        yield from _expanded(f"{phrase[: match.start()]}{words}{phrase[match.end() :]}", sets)


def spelt(phrases: Iterable[str]) -> Iterator[tuple[str, ...]]:
    """Phrases in small pieces, also as thumbs type them: "dont" for "don't"."""
    for words in map(_said, phrases):
        yield from dict.fromkeys((words, tuple(word.replace("'", "") for word in words)))


def by_first(phrases: Iterable[tuple[str, ...]]) -> Phrases:
    """Phrases by their first word, the longest first."""
    return ByFirst(sorted(dict.fromkeys(filter(None, phrases)), key=len, reverse=True)).firsts


def longest_at(words: Sequence[SaidWord], at: int, known: Phrases) -> int:
    """How many words the longest of the phrases that begin at a word has; 0 where none does."""
    there = known.get(words[at].text, ())
    return next((len(one) for one in there if tuple(word.text for word in words[at : at + len(one)]) == one), 0)


def _begins(pieces: Sequence[PatternPiece], words: set[str], slots: list[str]) -> bool:
    """Add what a row of pieces may begin with; whether all of it may be left out."""
    for piece in pieces:
        words.update(phrase[0] for phrase in piece.words)
        slots += [piece.slot] * bool(piece.slot)
        if not piece.maybe:
            return False
        _begins(piece.maybe, words, slots)
    return True


def _phrases_in(pieces: Iterable[PatternPiece]) -> Iterator[tuple[str, ...]]:
    for piece in pieces:
        yield from piece.words
        yield from _phrases_in(piece.maybe)


def _said(phrase: str) -> tuple[str, ...]:
    return tuple(word.text for word in said_words(phrase.replace("_", " ")))


def _matches(
    pieces: tuple[PatternPiece, ...], words: Sequence[SaidWord], at: int, ends: Ends, filled: Filled
) -> Iterator[tuple[int, Filled]]:
    if not pieces:
        yield at, filled
        return
    first, rest = pieces[0], pieces[1:]
    if first.maybe:
        yield from _matches((*first.maybe, *rest), words, at, ends, filled)
        yield from _matches(rest, words, at, ends, filled)
    elif first.slot:
        for end in ends(first.slot, at):
            yield from _matches(rest, words, end, ends, (*filled, (first.slot, at, end)))
    else:
        for phrase in first.by_word.get(words[at].text, ()) if at < len(words) else ():
            if tuple(word.text for word in words[at : at + len(phrase)]) == phrase:
                yield from _matches(rest, words, at + len(phrase), ends, filled)
