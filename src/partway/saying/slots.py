"""Where a slot of a pattern may end: an amount, a listed word, a name that is known or guessed, words as they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from partway.saying.amounts import LONGEST, READERS, amount, begins, begins_day, begins_minutes, begins_span
from partway.saying.free_slots import FREE, NAME_MOST, TEXT_MOST
from partway.saying.passage import ONE, THINGS, Passage
from partway.saying.tokens import SaidWord

GUESSED = frozenset({"kind", "find", "thing", "bin"})  # slots that may hold a name that nobody knows
HELD = ("find", "thing", "kind", "bin", "grade", "waiting")
REMARK_MOST = 8  # words
WAITING = "waiting"  # a find that is there, and not only a kind of thing
FEE = "fee"  # what is kept back of a ticket, as the price list reads it
NEAR = LONGEST + 5  # words by which a slot is known again
NUMBERED = frozenset({"find", "thing"})  # slots whose names may end in a number of their own
MEASURED = ("mass!", "cash", "minutes", "km")
BARE = frozenset({"money", "mass"})  # "one" by itself is neither
SURE = "!"  # behind a slot: a name that is known, an amount with its unit

BEGINS = {"day": begins_day, "span": begins_span, "minutes": begins_minutes}


@dataclass(frozen=True)
class SlotEnds(Passage):
    """The slots of one text. What was found of it is kept for reading it again, with names that nobody knows or with
    another word in it: what a slot holds depends only on the `NEAR` words from where it begins.
    """

    _ends: dict[tuple[str, int, bool], tuple[int, ...]] = field(default_factory=dict)
    _found: dict[tuple[str, bool, tuple[str, ...]], tuple[int, ...]] = field(default_factory=dict)

    def with_guesses(self) -> SlotEnds:
        """The same text, where a name may also be one that nobody knows."""
        return replace(self, lax=True)

    def with_words(self, words: list[SaidWord]) -> SlotEnds:
        """The same with other words in some places."""
        return SlotEnds(words, self.lexicon, self.known, self.ear, self.lax, {}, self._found)

    def of(self, slot: str, at: int) -> Iterator[int]:
        """Where a slot that begins at a word may end, the likeliest first."""
        return iter(self._all(slot, at))

    def may_begin(self, slot: str, at: int) -> bool:
        """Whether a slot may begin at a word."""
        return bool(self._all(slot, at))

    def _all(self, slot: str, at: int) -> tuple[int, ...]:
        key = slot, at, self.lax and slot in GUESSED
        found = self._ends.get(key)
        if found is None:
            found = self._ends[key] = self._kept(slot, at) if at < len(self.words) else ()
        return found

    def _kept(self, slot: str, at: int) -> tuple[int, ...]:
        if slot in FREE:
            return tuple(self._ends_of(slot, at))
        key = slot, self.lax and slot in GUESSED, self._windows[at]
        sizes = self._found.get(key)
        if sizes is None:
            sizes = self._found[key] = tuple(end - at for end in self._ends_of(slot, at))
        return tuple(at + size for size in sizes)

    @cached_property
    def _windows(self) -> Sequence[tuple[str, ...]]:
        """From each word on the next ones, by which a slot of it is known again."""
        texts = [f"{word.text}'" if word.clipped else word.text for word in self.words]
        return [tuple(texts[at : at + NEAR]) for at in range(len(texts))]

    def _ends_of(self, slot: str, at: int) -> Iterator[int]:
        sure, slot = slot.endswith(SURE), slot.removesuffix(SURE)
        if slot in READERS:
            return self._amounts(slot, at, sure=sure)
        if slot in self.lexicon.tables:
            return self._listed(slot, at)
        return FREE[slot](self, at) if slot in FREE else self._names(slot, at, sure=sure)

    def _amounts(self, sort: str, at: int, *, sure: bool) -> Iterator[int]:
        if not BEGINS.get(sort, begins)(self.words[at].text):
            return
        for end in range(min(at + LONGEST, self.broken_at(at)), at, -1):
            said = self.said(at, end)
            found = amount(sort, said, self.ear) if sort not in BARE or said not in ONE else None
            if found is not None and (found.sure or not sure):
                yield end

    def _listed(self, table: str, at: int) -> Iterator[int]:
        for end in range(min(at + NAME_MOST, self.broken_at(at)), at, -1):
            if tuple(word.text for word in self.words[at:end]) in self.lexicon.tables[table]:
                yield end

    def _names(self, sort: str, at: int, *, sure: bool) -> Iterator[int]:
        if self.words[at].text == ":":  # begins what is said of a name, and no name
            return
        stop = min(at + (TEXT_MOST if sort == FEE else NAME_MOST), self.broken_at(at))
        ends: Sequence[int] = range(stop, at, -1)
        if sort == FEE and not begins(self.words[at].text):
            return
        guessing = self.lax and not sure and sort in GUESSED
        ends = [end for end in ends if not self._hangs(sort, end - 1)]
        known = self._ends.get((sort, at, False)) if guessing else None
        if known is None:
            called = WAITING if sure and sort == "find" else sort
            numbered = sort in NUMBERED
            known = tuple(
                end
                for end in ends
                if self.known(called, self.said(at, end)) and not (numbered and self._counts_on(end))
            )
        yield from known
        if guessing and not begins(self.words[at].text) and not self.begins_act(at):
            # the shortest first: of "toster dead" the second word says more than a name would
            guessed = (end for end in ends[::-1] if end not in known and not self.numbers(at, end))
            yield from (end for end in guessed if not (self.tells(at, end) or self._goes_on(at, end)))

    def _hangs(self, sort: str, last: int) -> bool:
        """Whether a word is none with which a name ends: "and", "in"."""
        if self.words[last].text in self.lexicon.joins:
            return True
        if last and self.words[last].sort == "number" and self.words[last - 1].text in self.lexicon.joins:
            return True  # "copper and 2"
        return sort != "buyer" and sort in HELD and self.longest(self.lexicon.asides, last) > 0

    def _counts_on(self, end: int) -> bool:
        """Whether the last word is a number whose unit comes next: "inkjet 2 hours" is no second inkjet printer."""
        numeral = end < len(self.words) and self.words[end - 1].sort == "number"
        return numeral and any(next(self.of(sort, end - 1), 0) > end for sort in MEASURED)

    def _goes_on(self, at: int, end: int) -> bool:
        """Whether a word among these begins something said of a name, or another name, and is in none: "but", "and"."""
        return any(word.text in self.lexicon.never | self.lexicon.joins for word in self.words[at:end])

    def says_nothing(self, at: int, end: int) -> bool:
        """Whether words say nothing here: no amount, no name, nothing by which it was otherwise."""
        words = self.words[at:end]
        if not self.lexicon.telling or not 0 < len(words) <= REMARK_MOST or words[-1].text in self.lexicon.joins:
            return False
        if self.numbers(at, end, ONE) or self.tells(at, end):
            return False
        if any(self.longest(self.lexicon.told, i) for i in range(at, end)):
            return False
        return not any(word.text in self.lexicon.amounts for word in words) and not self.named(at, end)

    def idle(self, at: int, after: bool) -> Iterator[int]:
        """Where words end that are known to say nothing; `after` an act also where, with what or why it was."""
        size = self.longest(self.lexicon.idle, at)
        if size:
            yield at + size
        if after and self.longest(self.lexicon.asides, at):
            stop = next((i for i in range(at + 1, self.pause_at(at)) if self.strong(i)), self.pause_at(at))
            nothing = stop - at > 1 and self.says_nothing(at, stop) and not self.named(at, stop, THINGS)
            yield from [stop] * nothing

    def gaps(self, at: int, current: str) -> Iterator[int]:
        """Where words may end that are not understood: at a pause, before an act, before what says more of the last."""
        pause, opens = self.pause_at(at), self.lexicon.part_words.get(current, frozenset())
        yield pause
        for i in range(at + 1, pause):
            act = self.strong(i) or (i == at + 1 and self.begins_act(i))  # whoever did it has one name
            if act or self.words[i].text in opens or self.longest(self.lexicon.told, i):
                yield i

    def stops(self, at: int, most: int) -> Iterator[int]:
        """The next places where words may end that are read in any order: pauses, before acts, the end of it all."""
        found = 0
        for i in range(at + 1, self.hard_at(at) + 1):
            if i == len(self.words) or self.parts_here(i) or self.strong(i):
                yield i
                found += 1
                if found == most:
                    return
