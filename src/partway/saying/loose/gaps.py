"""A text of which not all is said as acts are: what is understood, and between it what is asked about or passed over.

Every way to cover the words costs something: an act as it is said least, words known to say nothing little, an act read
in any order of its words more, words that are not understood most. The cheapest is taken. Words that say that it was
otherwise ("not", "or", "would") make the whole part of the sentence they stand in one that is not understood.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from partway.saying.attempts import REMARK, UNCLEAR, Attempt, acts_of
from partway.saying.clauses import Clause
from partway.saying.loose.chunks import Chunks
from partway.saying.loose.frames import LOOSE, Framed

PASSED = "passed"
ASKED_MOST = 3  # of what is not understood in a text
STOPS = 4  # where words may end that are read in any order
GapWay = tuple[float, int, Clause, bool, str]  # its cost and end, if it is an act, of what act more
Covered = tuple[float, tuple["_Row", ...]]


@dataclass(frozen=True, slots=True)
class _Row:
    """A clause with the words it covers; `head`: an act, and not what says more of one."""

    clause: Clause
    head: bool
    start: int
    end: int

    @property
    def said(self) -> bool:
        """Whether it says something that is understood."""
        return self.clause.does not in (UNCLEAR, PASSED, REMARK.does)


@dataclass
class GapReading:
    """One text read with gaps."""

    attempt: Attempt
    _best: dict[tuple[int, str], Covered] = field(default_factory=dict)
    _framed_at: dict[int, tuple[GapWay, ...]] = field(default_factory=dict)

    def read(self) -> tuple[Clause, ...] | None:
        """The acts and what was not understood, or None where there is no act or too little was understood."""
        _, rows = self._from(self.attempt.past(0), "")
        found = list(self._joined(rows))
        asked = [row for row in found if row.clause.does in (UNCLEAR, REMARK.does)]
        acts = [row for row in found if row.head and row.said and row.clause.does != "when"]
        return acts_of([(row.clause, row.head) for row in found]) if acts and len(asked) <= ASKED_MOST else None

    def _joined(self, rows: Sequence[_Row]) -> Iterator[_Row]:
        """Words that are not understood together with those beside them that say nothing."""
        at = 0
        while at < len(rows):
            last = at
            while (
                last + 1 < len(rows)
                and not (rows[at].said or rows[last + 1].said)
                and rows[last].end == rows[last + 1].start
            ):
                last += 1
            does = {row.clause.does: row for row in rows[at : last + 1]}
            kept = does.get(UNCLEAR) or does.get(REMARK.does) or rows[at]
            start, end = rows[at].start, rows[last].end
            whole = kept.clause if at == last else self._words(kept.clause.does, start, end)
            yield _Row(whole, kept.head, start, end)
            at = last + 1

    @cached_property
    def _framed(self) -> Framed:
        attempt = self.attempt
        lexicon = attempt.lexicon
        return Framed(lexicon.frames, Chunks(attempt.slots, lexicon.verbs), attempt.made, attempt.text_of)

    def _from(self, at: int, current: str) -> Covered:
        """The cheapest way from a word on."""
        if at >= len(self.attempt.words):
            return 0.0, ()
        key = at, current
        if key not in self._best:
            tried = (self._with(at, *way) for way in self._ways(at, current))
            self._best[key] = min(tried, key=lambda one: one[0], default=(math.inf, ()))
        return self._best[key]

    def _with(self, at: int, cost: float, end: int, clause: Clause, head: bool, then: str) -> Covered:
        more, rest = self._from(self.attempt.past(end), then)
        return cost + more, (_Row(clause, head, at, end), *rest)

    def _ways(self, at: int, current: str) -> Iterator[GapWay]:
        attempt, slots = self.attempt, self.attempt.slots
        for end, pattern, filled, head in attempt.ways(at, current):
            cost = 0.5 + 1.2 * attempt.guessed(filled)
            yield cost, end, attempt.clause(pattern, at, end, filled), head, pattern.does if head else current
        begins = slots.starts_part(at)
        for end in slots.idle(at, bool(current)):
            yield 0.7, end, self._words(PASSED, at, end), False, current
        if begins:
            yield from self._frames(at)
        for end in slots.gaps(at, current):
            if slots.otherwise(at, end) and not (begins and end == slots.pause_at(at)):
                continue
            says = REMARK.does if current and slots.says_nothing(at, end) else UNCLEAR
            cost = 4.0 + (1.0 if says == REMARK.does else 1.5) * (end - at)
            yield cost, end, self._words(says, at, end), says == UNCLEAR, current

    def _frames(self, at: int) -> Sequence[GapWay]:
        """What may be said from a word on in any order: the same whatever act came before."""
        if at not in self._framed_at:
            self._framed_at[at] = tuple(self._read_frames(at))
        return self._framed_at[at]

    def _read_frames(self, at: int) -> Iterator[GapWay]:
        for end in self.attempt.slots.stops(at, STOPS):
            found = self._framed.read(at, end)
            if found is not None:
                cost, clause = found
                yield cost, end, clause, True, clause.ways[0].does if clause.does == LOOSE else clause.does

    def _words(self, does: str, at: int, end: int) -> Clause:
        return Clause(does, (self.attempt.made("text", at, end),), (), self.attempt.text_of(at, end).strip(" ,"))
