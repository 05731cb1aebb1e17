"""A part of a sentence in chunks, whatever their order: verbs, states, amounts, names, and words that say nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from partway.saying.passage import SHORT
from partway.saying.patterns import Phrases
from partway.saying.slots import SURE, SlotEnds

AMOUNTS = ("cash", "money", "mass!", "mass", "minutes", "span", "km", "day", "count")
NAMES = ("find!", "kind!", "bin!", "grade!", "buyer!", "thing!", "activity", "known_spending")
STATE, VERB, BOX, IDLE, OTHER = "state", "verb", "box", "idle", "other"


@dataclass(frozen=True, slots=True)
class SaidChunk:
    """Some words that belong together, and what they may be: sorts of amounts and names, or one of the other sorts."""

    sorts: frozenset[str]
    start: int
    end: int

    @property
    def content(self) -> bool:
        """Whether it is an amount, a name or a state, which has to be said of something."""
        return not self.sorts & {VERB, BOX, IDLE, OTHER}


@dataclass
class Chunks:
    """The chunks of one text."""

    slots: SlotEnds
    verbs: Phrases
    _at: dict[int, SaidChunk | None] = field(default_factory=dict)

    def between(self, start: int, end: int) -> Sequence[SaidChunk] | None:
        """All chunks of some words; None where a word among them says that it was otherwise."""
        found: list[SaidChunk] = []
        at = start
        while at < end:
            if self.slots.parts_here(at):
                at += 1
                continue
            chunk = self._chunk(at)
            if chunk is None or chunk.end > end:
                return None
            found.append(chunk)
            at = chunk.end
        return found

    def names(self, start: int, end: int) -> Sequence[SaidChunk]:
        """Only what is named among some words, whatever else they say."""
        found: list[SaidChunk] = []
        at = start
        while at < end:
            chunk = None if self.slots.parts_here(at) else self._chunk(at)
            if chunk is not None and chunk.end <= end:
                found.append(chunk)
            at = chunk.end if chunk is not None else at + 1
        return found

    def _chunk(self, at: int) -> SaidChunk | None:
        if at not in self._at:
            self._at[at] = self._longest(at)
        return self._at[at]

    def _longest(self, at: int) -> SaidChunk | None:
        """The longest of what may begin here; of a length, all that it may be."""
        lexicon = self.slots.lexicon
        if self.slots.longest(lexicon.intent, at):
            return None
        ends: dict[int, set[str]] = {}
        joining = self.slots.longest(lexicon.asides, at)  # no name begins with "of"
        for sort in (*AMOUNTS, *NAMES):
            stop = None if sort in NAMES and joining else next(self.slots.of(sort, at), None)
            if stop is not None and not (sort in NAMES and len(self.slots.said(at, stop)) <= SHORT):
                ends.setdefault(stop, set()).update({sort, sort.removesuffix(SURE)})
        for sort, phrases in ((STATE, lexicon.told), (VERB, self.verbs), (IDLE, lexicon.idle), (BOX, lexicon.boxes)):
            size = self.slots.longest(phrases, at)
            if size:
                ends.setdefault(at + size, set()).add(sort)
        if not ends:
            telling = self.slots.tells(at, at + 1)
            return None if telling else SaidChunk(frozenset({OTHER}), at, at + 1)
        stop = max(ends)
        return SaidChunk(frozenset(ends[stop]), at, stop)
