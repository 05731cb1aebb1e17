"""A part of a sentence read in whatever order its words stand: an act by its verb or by what is there.

Each amount and each name fills one place of the act, and none is left; words that are known to say nothing are passed
over, others are named. So read, it is never recorded before somebody has agreed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from partway.saying.clauses import Clause, SaidSlot
from partway.saying.loose.chunks import OTHER, STATE, VERB, Chunks, SaidChunk
from partway.saying.patterns import ActFrame

LOOSE = "loose"
OTHERS_MOST = 6  # words passed over
WAYS_MOST = 2
BARE, SURELY = ("mass", "money"), frozenset({"cash", "mass!"})
NOTE_LEAST = 3  # words of a note
ABOUT = ("buyer", "find", "bin")  # of what a note may be
LACKING, MANY = "?", "+"  # behind a need: it may be lacking and is asked for; there may be several
MARKS = "?+!"

MadeSlot = Callable[[str, int, int], SaidSlot]
Filling = tuple[tuple[str, SaidChunk], ...]


@dataclass
class Framed:
    """Reads some words of a text by the frames there are."""

    frames: Sequence[ActFrame]
    chunks: Chunks
    made: MadeSlot
    said: Callable[[int, int], str]
    whole: range = range(0)

    def read(self, start: int, end: int) -> tuple[float, Clause] | None:
        """What the words may say, as a clause with its ways, and what it costs to believe it."""
        self.whole = range(start, end)
        if (verdict := self.verdict(start, end)) is not None:
            return verdict
        chunks = self.chunks.between(start, end)
        if chunks is None:
            return self.noted(self.chunks.names(start, end))
        others = [one for one in chunks if OTHER in one.sorts]
        if len(others) > OTHERS_MOST or not any(one.content for one in chunks):
            return None
        found = sorted(self._ways(chunks), key=lambda way: way[0])
        if not found:
            return self.noted(chunks)
        best = found[0][0]
        told = {_told(way): way for cost, way in found[::-1] if cost < best + 1.0}
        ways = tuple(told.values())[::-1][:WAYS_MOST]
        lacks = best > 2.0 and len(found) == 1 and not others
        if lacks and found[0][1].ways == () and self._only_lacks(found[0][1]):
            return found[0]  # what it lacks is asked for
        passed = ", ".join(self.said(*run) for run in _runs(others))
        return best + (3.5 + 2.5 * len(others) if others else 0.0), Clause(
            LOOSE, (), (("passed", passed),), self.said(start, end), ways=ways
        )

    def verdict(self, start: int, end: int) -> tuple[float, Clause] | None:
        """What it comes to, said of the one find that is named: "powers up but eats tapes so call it broken"."""
        slots = self.chunks.slots
        rows = ((i, size) for i in range(start, end) if (size := slots.longest(slots.lexicon.verdict, i)))
        told = [(i, i + size, n) for i, size in rows if (n := slots.longest(slots.lexicon.told, i + size))]
        if len(told) != 1:
            return None
        named = [one for one in self.chunks.names(start, end) if "find!" in one.sorts]
        named = [one for one in named if len(slots.said(one.start, one.end)) > len("it")]
        if len(named) != 1 or told[0][1] + told[0][2] > end or named[0].end > told[0][0]:
            return None
        at, state, size = told[0]
        works = "no" if self._texts(state, state + size) in slots.lexicon.dead else "yes"
        find, said = named[0], self.said(start, end)
        way = Clause("tested", (self.made("find", find.start, find.end),), (("works", works),), said)
        passed = self.said(find.end, at) if find.end < at else ""
        return 5.0, Clause(LOOSE, (), (("passed", passed),), said, ways=(way,))

    def noted(self, chunks: Sequence[SaidChunk]) -> tuple[float, Clause] | None:
        """A note about the one thing that is named, where the words say no act."""
        named = [(sort, one) for one in chunks for sort in ABOUT if f"{sort}!" in one.sorts]
        asking = self.chunks.slots.lexicon.asking
        if len(self.whole) < NOTE_LEAST or not named or any(word.text in asking for word in self.chunks.slots.words):
            return None
        (sort, one), start, end = named[0], self.whole.start, self.whole.stop
        slots = (self.made(sort, one.start, one.end), self.made("sentence", start, end))
        way = Clause("noted", slots, (), self.said(start, end))
        return 4.5 + 1.2 * (end - start), Clause(LOOSE, (), (), way.said, ways=(way,))

    def _ways(self, chunks: Sequence[SaidChunk]) -> Iterator[tuple[float, Clause]]:
        spoken = {self._words(one) for one in chunks if VERB in one.sorts}
        for frame in self.frames:
            own = spoken & frame.verbs
            if not (own or frame.bare) or self._only_going(spoken - frame.verbs):
                continue
            filled = next(_fillings(frame, [one for one in chunks if one.content], ()), None)
            if filled is not None and not _of_one_of_several(frame, filled):
                yield self._cost(frame, filled, bool(own), spoken - frame.verbs), self._clause(frame, filled, chunks)

    def _only_going(self, others: set[tuple[str, ...]]) -> bool:
        """Whether a verb beside the frame's own says that it is only going to be so."""
        telling = self.chunks.slots.lexicon.telling
        return any(word in telling for verb in others if len(verb) > 1 for word in verb)

    def _only_lacks(self, clause: Clause) -> bool:
        """Whether a place of an act is empty that has to be filled."""
        needs = (frame.needs for frame in self.frames if frame.does == clause.does)
        return not any(all(clause.slot(need.rstrip(MARKS)) or need == STATE for need in one) for one in needs)

    def _words(self, chunk: SaidChunk) -> tuple[str, ...]:
        return self._texts(chunk.start, chunk.end)

    def _texts(self, start: int, end: int) -> tuple[str, ...]:
        return tuple(word.text for word in self.chunks.slots.words[start:end])

    def _cost(self, frame: ActFrame, filled: Filling, own: bool, other: set[tuple[str, ...]]) -> float:
        there = {slot for slot, _ in filled}
        lacking = sum(need.rstrip(MARKS) not in there for need in frame.needs)
        return 2.0 + 1.5 * lacking + (0.0 if own else 1.0) + 0.5 * len(other)

    def _clause(self, frame: ActFrame, filled: Filling, chunks: Sequence[SaidChunk]) -> Clause:
        rows: list[list[SaidSlot]] = [[]]
        fixed = dict(frame.fixed)
        many = {need.rstrip(MARKS) for need in frame.needs if need.endswith(MANY)}
        for slot, chunk in filled:
            if slot == STATE:
                fixed["works"] = "no" if self._words(chunk) in self.chunks.slots.lexicon.dead else "yes"
                continue
            if slot in many and any(one.name == slot for one in rows[-1]):
                rows.append([])
            count = _before(chunks, chunk, "count") if slot in many else None
            if count is not None:
                rows[-1].append(self.made("count", count.start, count.end))
            rows[-1].append(self.made(slot, chunk.start, chunk.end))
        said = self.said(chunks[0].start, chunks[-1].end)
        head = Clause(frame.does, tuple(rows[0]), tuple(fixed.items()), said)
        parts = [Clause("more", tuple(row), (), said) for row in rows[1:]]
        if many and "works" in fixed:
            parts.append(Clause("works", (), (("works", fixed["works"]), ("of", "all")), said))
        return replace(head, parts=tuple(parts))


def _told(way: Clause) -> tuple[object, ...]:
    """What tells one way from another for whoever chooses."""
    return way.does, tuple(slot.said for row in (way, *way.parts) for slot in row.slots), way.fixed


def _fillings(frame: ActFrame, chunks: Sequence[SaidChunk], filled: Filling) -> Iterator[Filling]:
    """Each way in which every chunk fills a place and no place that is needed stays empty."""
    if not chunks:
        there = {slot for slot, _ in filled}
        if all(need.endswith(LACKING) or need.rstrip(MARKS) in there for need in frame.needs):
            yield filled
        return
    first, rest = chunks[0], chunks[1:]
    counts = bool(rest) and rest[0].start == first.end and "kind!" in rest[0].sorts  # "two fans", and no mass
    taken = {slot for slot, _ in filled}
    for place in (*frame.needs, *frame.may):
        slot = place.rstrip(LACKING + MANY)
        fits = (
            slot in first.sorts
            and not (counts and slot in BARE and not first.sorts & SURELY)
            and (slot.rstrip(MARKS) not in taken or place.endswith(MANY))
        )
        if fits:
            yield from _fillings(frame, rest, (*filled, (slot.rstrip(MARKS), first)))
    many = [need.rstrip(MANY) for need in frame.needs if need.endswith(MANY)]
    if many and "count" in first.sorts and rest and rest[0].start == first.end and many[0] in rest[0].sorts:
        yield from _fillings(frame, rest, filled)  # how many of what comes next


def _of_one_of_several(frame: ActFrame, filled: Filling) -> bool:
    """Whether a state is said of one of several things, by standing before another: of which, nobody can tell."""
    slots = [slot for slot, _ in filled]
    many = [slot for slot in slots if f"{slot}!+" in frame.needs]
    return STATE in slots and len(many) > 1 and slots[-1] != STATE


def _before(chunks: Sequence[SaidChunk], chunk: SaidChunk, sort: str) -> SaidChunk | None:
    return next((one for one in chunks if one.end == chunk.start and sort in one.sorts), None)


def _runs(chunks: Sequence[SaidChunk]) -> Iterator[tuple[int, int]]:
    """Rows of chunks that stand side by side, as where they begin and end."""
    at = 0
    while at < len(chunks):
        last = at
        while last + 1 < len(chunks) and chunks[last + 1].start == chunks[last].end:
            last += 1
        yield chunks[at].start, chunks[last].end
        at = last + 1
