"""A said text as clauses: acts in their order, each with what says more of it, or how far it was understood."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from partway.errors import Refused
from partway.quantities import shown
from partway.saying.amounts import LONGEST, READERS, Ear, SaidAmount, amount, begins, begins_day
from partway.saying.lexicon import SayLexicon
from partway.saying.patterns import ActPattern, Filled
from partway.saying.tokens import SaidWord, normal, said_words

NAME_MOST = 6  # words of a name
TEXT_MOST = 10  # words of what is only quoted
CODE_MOST = 3  # pieces of a number on paper: A-77
FREE = frozenset(
    {"text", "words", "sentence", "code", "piece", "price", "list", "spending"}
)  # slots that take what words there are
GUESSED = frozenset({"kind", "find", "thing", "bin"})  # slots that may hold a name that nobody knows
SURE = "!"  # behind a slot: a name that is known, an amount with its unit

Known = Callable[[str, str], bool]  # whether a sort of thing may be called so


@dataclass(frozen=True, slots=True)
class SaidSlot:
    """What was said in one place of a clause: `said` as it stands there, `words` in ours, `amount` if it is one."""

    name: str
    said: str
    words: str
    amount: SaidAmount | None = None


@dataclass(frozen=True, slots=True)
class Clause:
    """One act as it was said, or a part that says more of it."""

    does: str
    slots: tuple[SaidSlot, ...]
    fixed: tuple[tuple[str, str], ...]
    said: str
    parts: tuple[Clause, ...] = ()

    def slot(self, name: str) -> SaidSlot | None:
        """The first slot of a name; None where it was not said."""
        return next((slot for slot in self.slots if slot.name == name), None)

    def all(self, name: str) -> list[Clause]:
        """Parts of a name."""
        return [part for part in self.parts if part.does == name]

    def part(self, name: str) -> Clause | None:
        """The last part of a name."""
        return next(iter(self.all(name)[::-1]), None)

    def value(self, name: str) -> str:
        """What the words alone say, such as that it works; "" where they say nothing of it."""
        return dict(self.fixed).get(name, "")


def clauses_of(text: str, lexicon: SayLexicon, known: Known, ear: Ear) -> tuple[Clause, ...]:
    """What a text says. Raises Refused, with how far it was understood.

    Names that are known come first; where they do not make sense of it, words where a name should stand are taken for
    one, and whoever looks it up asks what is meant.
    """
    whole = normal(text)
    words = [word for word in lexicon.in_english(said_words(whole)) if word.text not in lexicon.skip]
    if not any(word.sort != "break" for word in words):
        raise Refused("nothing", 'what happened, such as "found two fans"', "say")
    strict = _Reading(whole, words, lexicon, known, ear, lax=False)
    found = strict.read()
    if found is None:
        found = (lax := _Reading(whole, words, lexicon, known, ear, lax=True)).read()
        if found is None:
            raise _not_understood(whole, words, max(strict.far, lax.far))
    return found


def _not_understood(text: str, words: Sequence[SaidWord], far: int) -> Refused:
    start = words[far].start if far < len(words) else len(text)
    before, rest = text[:start].strip(" ,;.\n\t"), text[start:].strip()
    upto = f"; understood up to {shown(before[-80:])}" if before else ""
    return Refused(f"{shown(rest[:80])}{upto}", 'an act, such as "found two fans" or "weighed the bin 41 lb"', "say")


@dataclass
class _Reading:
    """One attempt at a text; `far` is the word it got to. What was tried at a word is not tried again."""

    text: str
    words: list[SaidWord]
    lexicon: SayLexicon
    known: Known
    ear: Ear
    lax: bool
    far: int = 0
    _failed: set[tuple[int, str]] = field(default_factory=set)
    _ends: dict[tuple[str, int], tuple[int, ...]] = field(default_factory=dict)

    def read(self) -> tuple[Clause, ...] | None:
        """The acts, or None."""
        found = self._from(self._past(0), "")
        if found is None:
            return None
        acts: list[Clause] = []
        for clause, head in found:
            acts = [*acts, clause] if head else [*acts[:-1], replace(acts[-1], parts=(*acts[-1].parts, clause))]
        return tuple(acts)

    def _from(self, at: int, current: str) -> list[tuple[Clause, bool]] | None:
        """The clauses from a word on, with which of them are acts. The longest readings are tried first."""
        self.far = max(self.far, at)
        if at >= len(self.words):
            return [] if current else None
        if (at, current) in self._failed:
            return None
        for end, pattern, filled, head in self._ways(at, current):
            rest = self._from(self._past(end), pattern.does if head else current)
            if rest is not None:
                return [(self._clause(pattern, at, end, filled), head), *rest]
        self._failed.add((at, current))
        return None

    def _ways(self, at: int, current: str) -> list[tuple[int, ActPattern, Filled, bool]]:
        hard = at > 0 and self._broken(at, hard=True)
        patterns = [
            (one, False) for one in self.lexicon.parts if current in one.of and not (hard and one.does == "day")
        ]
        new, sentence = not at or current == "when" or self._broken(at), not at or hard
        parts = {one.does for one in self.lexicon.parts if current in one.of}
        heads = (
            one
            for one in self.lexicon.heads
            if (sentence if one.starts else one.opens or new) and one.unless not in parts
        )
        patterns += [(one, True) for one in heads]
        found = [
            (end, pattern, filled, head)
            for pattern, head in patterns
            if not pattern.opens or self.words[at].text in pattern.opens
            for end, filled in pattern.matches(self.words, at, self._slot_ends)
            if end > at
        ]
        return sorted(found, key=self._likelier)

    def _likelier(self, way: tuple[int, ActPattern, Filled, bool]) -> tuple[int, int, int, int]:
        """The fewest words of names that nobody knows come first, then the longest, then the most words of its own."""
        end, pattern, filled, head = way
        guessed = 0
        if self.lax:
            names = [one for one in filled if one[0] in GUESSED]
            guessed = sum(stop - at for name, at, stop in names if not self.known(name, self._said(at, stop)))
        spoken = sum(stop - at for _, at, stop in filled) - end  # the more words are an act's own, the less is a name
        return guessed, -end, spoken, 0 if head and pattern.opens else 1 if not head else 2

    def _broken(self, at: int, *, hard: bool = False) -> bool:
        """Whether what stands before a word ends a part of a sentence, or the sentence."""
        before = self.words[at - 1]
        return before.hard if hard else before.sort == "break" or before.dotted or before.text in self.lexicon.joins

    def _past(self, at: int) -> int:
        """The next word that is no break and joins nothing."""
        while at < len(self.words) and (self.words[at].sort == "break" or self.words[at].text in self.lexicon.joins):
            at += 1
        return at

    def _slot_ends(self, slot: str, at: int) -> Iterator[int]:
        key = slot, at
        if key not in self._ends:
            self._ends[key] = tuple(self._ends_of(slot, at)) if at < len(self.words) else ()
        return iter(self._ends[key])

    def _ends_of(self, slot: str, at: int) -> Iterator[int]:
        sure, slot = slot.endswith(SURE), slot.removesuffix(SURE)
        if slot in READERS:
            return self._amounts(slot, at, sure=sure)
        if slot in self.lexicon.tables:
            return self._listed(slot, at)
        return self._free(slot, at) if slot in FREE else self._names(slot, at, sure=sure)

    def _amounts(self, sort: str, at: int, *, sure: bool) -> Iterator[int]:
        if not (begins_day if sort == "day" else begins)(self.words[at].text):
            return
        for end in range(min(at + LONGEST, self._break(at)), at, -1):
            found = amount(sort, self._said(at, end), self.ear)
            if found is not None and (found.sure or not sure):
                yield end

    def _listed(self, table: str, at: int) -> Iterator[int]:
        for end in range(min(at + NAME_MOST, self._break(at)), at, -1):
            if tuple(word.text for word in self.words[at:end]) in self.lexicon.tables[table]:
                yield end

    def _names(self, sort: str, at: int, *, sure: bool) -> Iterator[int]:
        if self.words[at].text == ":":  # begins what is said of a name, and no name
            return
        stop = min(at + NAME_MOST, self._break(at))
        ends = range(stop, at, -1)
        known = [end for end in ends if self.known(sort, self._said(at, end))]
        yield from known
        guessing = self.lax and not sure and sort in GUESSED
        if guessing and not begins(self.words[at].text) and not self._begins_act(at):
            # the shortest first: of "toster dead" the second word says more than a name would
            yield from (end for end in ends[::-1] if end not in known and not self._numbers(at, end))

    def _free(self, slot: str, at: int) -> Iterator[int]:
        """Words up to the end of the part, a list or a sentence up to its end; a name of a piece without a number."""
        stop = self._hard(at) if slot == "list" else self._break(at)
        if slot in ("price", "list"):
            first = next((i for i in range(at, stop) if begins(self.words[i].text)), stop)
            yield from range(stop, first, -1) if slot == "price" else [stop] * (first < stop)
            return
        if slot == "sentence":
            yield self._hard(at)
            return
        if slot in ("words", "code"):
            yield from range(stop, at, -1) if slot == "words" else range(at + 1, min(stop, at + CODE_MOST) + 1)
            return
        if slot in ("piece", "spending") and (begins(self.words[at].text) or self._begins_act(at)):
            return
        most = stop if slot == "text" else min(stop, at + NAME_MOST)
        ends = range(at + 1, min(most, at + TEXT_MOST) + 1)  # the shortest first: "transformer", not "transformer of"
        joins = self.lexicon.joins  # no name ends in "and"
        yield from (e for e in ends if not self._numbers(at + 1, e) and self.words[e - 1].text not in joins)

    def _begins_act(self, at: int) -> bool:
        """Whether another act begins with a word, by which it is the name of nothing."""
        return self.words[at].text in self.lexicon.verbs

    def _numbers(self, start: int, end: int) -> bool:
        return any(word.text != "a" and begins(word.text) for word in self.words[start:end])

    def _break(self, at: int) -> int:
        return next((i for i in range(at, len(self.words)) if self.words[i].sort == "break"), len(self.words))

    def _hard(self, at: int) -> int:
        return next((i for i in range(at, len(self.words)) if self.words[i].hard), len(self.words))

    def _said(self, start: int, end: int) -> str:
        return " ".join(word.text for word in self.words[start:end])

    def _clause(self, pattern: ActPattern, at: int, end: int, filled: Filled) -> Clause:
        slots = tuple(self._slot(*one) for one in filled)
        said = self.text[self.words[at].start : self.words[end - 1].end]
        return Clause(pattern.does, slots, tuple(pattern.fixed.items()), said)

    def _slot(self, name: str, start: int, end: int) -> SaidSlot:
        name, words = name.removesuffix(SURE), self._said(start, end)
        # a sentence is kept with its "the", which says nothing anywhere else
        begins_at = self.words[start - 1].end if name == "sentence" and start else self.words[start].start
        said = self.text[begins_at : self.words[end - 1].end].strip()
        if name in self.lexicon.tables:
            words = self.lexicon.tables[name][tuple(word.text for word in self.words[start:end])]
        found = amount(name, words, self.ear) if name in READERS else None
        return SaidSlot(name, said, words, found)
