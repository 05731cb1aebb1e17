"""One attempt at a text: which patterns follow one another from its first word to its last."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from partway.saying.amounts import READERS, amount
from partway.saying.clauses import Clause, SaidSlot
from partway.saying.lexicon import SayLexicon
from partway.saying.patterns import ActPattern, Filled
from partway.saying.slots import GUESSED, SURE, SlotEnds
from partway.saying.tokens import SaidWord

REMARK = ActPattern("remark", "", ())
UNCLEAR = "unclear"  # an act of its own that nobody understood
Way = tuple[
    int, ActPattern, Filled, bool
]  # where it ends, by which pattern, what fills its slots, whether it is an act


@dataclass
class Attempt:
    """One attempt at a text. `far` is the word it got to. What was tried at a word is not tried again."""

    text: str
    slots: SlotEnds
    far: int = 0
    _failed: set[tuple[int, str]] = field(default_factory=set)
    _tried: dict[tuple[int, str], list[Way]] = field(default_factory=dict)
    _acts: dict[tuple[int, bool], tuple[Way, ...]] = field(default_factory=dict)
    _of_text: dict[int, list[ActPattern]] = field(default_factory=dict)

    @property
    def words(self) -> list[SaidWord]:
        """The pieces of the text."""
        return self.slots.words

    @property
    def lexicon(self) -> SayLexicon:
        """The words of its language."""
        return self.slots.lexicon

    def read(self) -> tuple[Clause, ...] | None:
        """The acts, or None."""
        found = self._from(self.past(0), "")
        return None if found is None else acts_of(found)

    def _from(self, at: int, current: str) -> list[tuple[Clause, bool]] | None:
        """The clauses from a word on, with which of them are acts. The longest readings are tried first."""
        self.far = max(self.far, at)
        if at >= len(self.words):
            return [] if current else None
        if (at, current) in self._failed:
            return None
        for end, pattern, filled, head in self.ways(at, current):
            rest = self._from(self.past(end), pattern.does if head else current)
            if rest is not None:
                return [(self.clause(pattern, at, end, filled), head), *rest]
        self._failed.add((at, current))
        return None

    def ways(self, at: int, current: str) -> list[Way]:
        """The patterns that may be said from a word on, the likeliest first."""
        if (at, current) not in self._tried:
            self._tried[at, current] = self._all_ways(at, current)
        return self._tried[at, current]

    def _all_ways(self, at: int, current: str) -> list[Way]:
        hard = at > 0 and self._broken(at, hard=True)
        parts, said = self.lexicon.parts_of(current), self.lexicon.part_names(current)
        more = [one for one in self._sayable(parts) if not (hard and one.does == "day")]
        new = not at or current == "when" or self._broken(at)
        heads = (way for way in self._heads(at, new, not at or hard) if way[1].unless not in said)
        return sorted([*self._matches(more, at, head=False), *heads], key=self._likelier)

    def _heads(self, at: int, new: bool, sentence: bool) -> Sequence[Way]:
        """The acts that may begin at a word: the same whatever act came before."""
        key = at, new
        if key not in self._acts:
            may = (
                one
                for one in self._sayable(self.lexicon.heads)
                if (sentence if one.starts else new or (one.opens and not one.apart))
            )
            self._acts[key] = tuple(self._matches(may, at, head=True))
        return self._acts[key]

    def _matches(self, patterns: Iterable[ActPattern], at: int, *, head: bool) -> Iterator[Way]:
        for pattern in patterns:
            if self._may_begin(pattern, at):
                for end, filled in pattern.matches(self.words, at, self.slots.of):
                    if end > at and (not pattern.ends or end == len(self.words) or self._pauses(end)):
                        yield end, pattern, filled, head

    def with_guesses(self) -> Attempt:
        """Another attempt at the same words, where a name may be one that nobody knows."""
        return Attempt(self.text, self.slots.with_guesses(), _of_text=self._of_text)

    def _sayable(self, patterns: tuple[ActPattern, ...]) -> Sequence[ActPattern]:
        """Those of which no word is missing in the text."""
        found = self._of_text.get(id(patterns))
        if found is None:
            there = {word.text for word in self.words}
            found = [one for one in patterns if not any(there.isdisjoint(words) for words in one.needed)]
            self._of_text[id(patterns)] = found
        return found

    def _may_begin(self, pattern: ActPattern, at: int) -> bool:
        words, slots = pattern.begins
        return self.words[at].text in words or any(self.slots.may_begin(slot, at) for slot in slots)

    def guessed(self, filled: Filled) -> int:
        """How many words are in names that nobody knows."""
        if not self.slots.lax:
            return 0
        names = [one for one in filled if one[0] in GUESSED]
        return sum(stop - at for name, at, stop in names if not self.slots.known(name, self.slots.said(at, stop)))

    def _likelier(self, way: Way) -> tuple[int, int, int, int]:
        """The fewest words of names that nobody knows come first, then the longest, then the most words of its own."""
        end, pattern, filled, head = way
        guessed = self.guessed(filled)
        spoken = sum(stop - at for _, at, stop in filled) - end  # the more words are an act's own, the less is a name
        return guessed, -end, spoken, 0 if head and pattern.opens else 1 if not head else 2

    def _broken(self, at: int, *, hard: bool = False) -> bool:
        """Whether what stands before a word ends a part of a sentence, or the sentence."""
        before = self.words[at - 1]
        return before.hard if hard else before.sort == "break" or before.dotted or before.text in self.lexicon.joins

    def _pauses(self, at: int) -> bool:
        """Whether a word ends a part of a sentence, or joins another to it."""
        return self.words[at].sort == "break" or self.words[at].text in self.lexicon.joins

    def past(self, at: int) -> int:
        """The next word that is no break and joins nothing."""
        while at < len(self.words) and (self.words[at].sort == "break" or self.words[at].text in self.lexicon.joins):
            at += 1
        return at

    def clause(self, pattern: ActPattern, at: int, end: int, filled: Filled) -> Clause:
        """What a pattern says of some words."""
        slots = tuple(self.made(*one) for one in filled)
        said = self.text_of(at, end)
        return Clause(pattern.does, slots, tuple(pattern.fixed.items()), said)

    def text_of(self, at: int, end: int) -> str:
        """Some of the words as they were typed."""
        return self.text[self.words[at].start : self.words[end - 1].end]

    def made(self, name: str, start: int, end: int) -> SaidSlot:
        """A slot that some words fill."""
        name, words = name.removesuffix(SURE), self.slots.said(start, end)
        # a sentence is kept with its "the", which says nothing anywhere else
        begins_at = self.words[start - 1].end if name == "sentence" and start else self.words[start].start
        said = self.text[begins_at : self.words[end - 1].end].strip()
        if name in self.lexicon.tables:
            words = self.lexicon.tables[name][tuple(word.text for word in self.words[start:end])]
        found = amount(name, words, self.slots.ear) if name in READERS else None
        return SaidSlot(name, said, words, found)


def acts_of(found: Sequence[tuple[Clause, bool]]) -> tuple[Clause, ...]:
    """The acts, each with its parts; what stands before the first is of it, and what was not understood has none."""
    acts: list[Clause] = []
    first: tuple[Clause, ...] = ()
    last = -1
    for clause, head in found:
        if head:
            plain = clause.does != UNCLEAR
            acts.append(replace(clause, parts=(*clause.parts, *first)) if plain else clause)
            last, first = (len(acts) - 1, ()) if plain else (last, first)
        elif last < 0:
            first = (*first, clause)
        else:
            acts[last] = replace(acts[last], parts=(*acts[last].parts, clause))
    return tuple(acts)
