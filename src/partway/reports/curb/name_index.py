"""The words of all names, made ready once: which names a few typed words may mean, without trying them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from partway.reports.curb.slips import NO, opens_with

Name = tuple[int, int, str]  # of which thing, the how many-th of its names, and the name
Apart = Callable[[str, str], float]
Spelt = Mapping[str, frozenset[Name]]  # names by a word of theirs


@dataclass(frozen=True)
class NameIndex:
    """Names by their words and by all their words run together, each by the letters with which it may be begun."""

    words: Mapping[str, Spelt]
    whole: Mapping[str, Spelt]

    @classmethod
    def of(cls, names: Iterable[tuple[int, int, str, tuple[str, ...]]]) -> NameIndex:
        """From names, each with its words."""
        words: dict[str, set[Name]] = {}
        whole: dict[str, set[Name]] = {}
        for thing, nth, name, parts in names:
            for word in parts:
                words.setdefault(word, set()).add((thing, nth, name))
            whole.setdefault("".join(parts), set()).add((thing, nth, name))
        return cls(_by_letter(words), _by_letter(whole))

    def near(self, typed: tuple[str, ...], apart: Apart) -> frozenset[Name]:
        """Names in which every typed word is near one of theirs, or that are near as a whole."""
        first, *others = sorted(typed, key=len, reverse=True)  # a long word is near few: the others only have those
        found = frozenset(_near(self.words, first, apart))
        for word in others:
            found &= frozenset(_near(self.words, word, apart, found))
        return found | frozenset(_near(self.whole, "".join(typed), apart))


def _by_letter(names: Mapping[str, set[Name]]) -> dict[str, dict[str, frozenset[Name]]]:
    found: dict[str, dict[str, frozenset[Name]]] = {}
    for word, of in names.items():
        for letter in opens_with(word):
            found.setdefault(letter, {})[word] = frozenset(of)
    return found


def _near(names: Mapping[str, Spelt], typed: str, apart: Apart, left: frozenset[Name] | None = None) -> Iterator[Name]:
    """Names of words that are near, of those `left`: no word is that cannot be begun with one of the first two letters
    typed.
    """
    tried = set[str]()
    for letter in dict.fromkeys(typed[:2]):
        for word, of in names.get(letter, {}).items():
            if word not in tried and (left is None or not left.isdisjoint(of)) and apart(typed, word) < NO:
                yield from of
            tried.add(word)
