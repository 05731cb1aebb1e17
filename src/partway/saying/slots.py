"""Where a slot of a pattern may end: an amount, a listed word, a name that is known or guessed, words as they are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from partway.saying.amounts import LONGEST, READERS, Ear, amount, begins, begins_day, begins_minutes, begins_span
from partway.saying.lexicon import SayLexicon
from partway.saying.patterns import Phrases, longest_at
from partway.saying.tokens import SaidWord

NAME_MOST = 6  # words of a name
TEXT_MOST = 10  # words of what is only quoted
CODE_MOST = 3  # pieces of a number on paper: A-77
FREE = frozenset(
    {"text", "words", "sentence", "code", "piece", "price", "rate", "list", "spending", "bought", "offer"}
)  # slots that take what words there are
GUESSED = frozenset({"kind", "find", "thing", "bin"})  # slots that may hold a name that nobody knows
STARTED = frozenset({"piece", "spending", "bought"})
EACH = frozenset({"a", "an", "per", "/"})
OFFERED_FOR = frozenset({"for", "on"})
HELD = ("find", "thing", "kind", "bin", "grade", "waiting")
SHORT = 2  # letters of a word that names nothing by itself: the "in" of a mail-in
PRONOUNS = frozenset({"it", "them", "that"})  # stand in any remark
NAMED = ("find", "bin", "buyer")  # names that are no remark: something may be said of them
THINGS = ("kind", "grade")  # a thing more may be meant: "and one of those old televisions"
REMARK_MOST = 8  # words
AGAIN_MOST = 3  # words of a kind named again
ARTICLES = frozenset({"a", "an"})  # begin an amount, and stand in any sentence
ONE = ARTICLES | {"one"}
WAITING = "waiting"  # a find that is there, and not only a kind of thing
FEE = "fee"  # what is kept back of a ticket, as the price list reads it
BARE = frozenset({"money", "mass"})  # "one" by itself is neither
SURE = "!"  # behind a slot: a name that is known, an amount with its unit

BEGINS = {"day": begins_day, "span": begins_span, "minutes": begins_minutes}
Known = Callable[[str, str], bool]  # whether a sort of thing may be called so


@dataclass
class SlotEnds:
    """The slots of one text. `lax`: a name may also be one that nobody knows."""

    words: list[SaidWord]
    lexicon: SayLexicon
    known: Known
    ear: Ear
    lax: bool
    _ends: dict[tuple[str, int], tuple[int, ...]] = field(default_factory=dict)

    def of(self, slot: str, at: int) -> Iterator[int]:
        """Where a slot that begins at a word may end, the likeliest first."""
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
        called = WAITING if sure and sort == "find" else sort
        ends = [end for end in ends if not self._hangs(sort, end - 1)]
        known = [end for end in ends if self.known(called, self.said(at, end))]
        yield from known
        guessing = self.lax and not sure and sort in GUESSED
        if guessing and not begins(self.words[at].text) and not self.begins_act(at):
            # the shortest first: of "toster dead" the second word says more than a name would
            guessed = (end for end in ends[::-1] if end not in known and not self._numbers(at, end))
            yield from (end for end in guessed if not (self.tells(at, end) or self._goes_on(at, end)))

    def _hangs(self, sort: str, last: int) -> bool:
        """Whether a word is none with which a name ends: "and", "in"."""
        if self.words[last].text in self.lexicon.joins:
            return True
        return sort != "buyer" and sort in HELD and self.longest(self.lexicon.asides, last) > 0

    def _goes_on(self, at: int, end: int) -> bool:
        """Whether a word among these begins something said of a name, or another name, and is in none: "but", "and"."""
        return any(word.text in self.lexicon.never | self.lexicon.joins for word in self.words[at:end])

    def _free(self, slot: str, at: int) -> Iterator[int]:
        """Words up to the end of the part, a list or a sentence up to its end; a name of a piece without a number."""
        stop = self.hard_at(at) if slot == "list" else self.broken_at(at)
        if slot == "offer":  # a list that begins with a price: "six forty for heavy copper and ..."
            stop = self.hard_at(at)
            named = any(word.text in OFFERED_FOR for word in self.words[at + 1 : stop - 1])
            if named and begins(self.words[at].text):
                yield from (i for i in range(stop, at, -1) if i == stop or self.words[i].sort == "break")
            return
        if slot == "rate":  # a price by a unit, and no total
            rates = (i for i in range(stop, at, -1) if any(word.text in EACH for word in self.words[at + 1 : i]))
            yield from rates if begins(self.words[at].text) else ()
            return
        if slot in ("price", "list"):
            first = next((i for i in range(at, stop) if begins(self.words[i].text)), stop)
            yield from range(stop, first, -1) if slot == "price" else [stop] * (first < stop)
            return
        if slot == "sentence":
            yield from [self.hard_at(at)] * (self.words[at].sort != "break")
            return
        if slot in ("words", "code"):
            yield from range(stop, at, -1) if slot == "words" else range(at + 1, min(stop, at + CODE_MOST) + 1)
            return
        article = slot in ("spending", "bought") and self.words[at].text in ONE
        if (
            slot in ("piece", "spending", "bought")
            and not article
            and (begins(self.words[at].text) or self.begins_act(at))
        ):
            return
        most = stop if slot == "text" else min(stop, at + NAME_MOST)
        ends = range(at + 1, min(most, at + TEXT_MOST) + 1)  # the shortest first: "transformer", not "transformer of"
        joins = self.lexicon.joins  # no name ends in "and"
        plain = (e for e in ends if not self._numbers(at + 1, e) and self.words[e - 1].text not in joins)
        good = (e for e in plain if not self.tells(at, e))
        hidden = {"bought": NAMED, "piece": ("buyer",)}.get(slot, ())
        good = (e for e in good if slot != "text" or not self._named_again(at, e))
        yield from (e for e in good if not hidden or not self._named(at, e, hidden))

    def _named(self, at: int, end: int, sorts: Sequence[str] = NAMED) -> bool:
        """Whether something that is known has its name in a row of words, or is called by all of them."""
        rows = ((i, i + 1) for i in range(at, end))
        said = (one for row in (*rows, (at, end)) if len(one := self.said(*row)) > SHORT)
        return any(self.known(sort, one) for one in said if one not in PRONOUNS for sort in sorts)

    def _named_again(self, at: int, end: int) -> bool:
        """Whether a kind named before is named again: something more is said of it, "the oven trips the fuse"."""
        rows = (tuple(word.text for word in self.words[i:j]) for i in range(at, end) for j in range(i + 1, end + 1))
        before = " ".join(word.text for word in self.words[:at])
        said = (" ".join(row) for row in rows if len(row) <= AGAIN_MOST)
        return any(f" {one} " in f" {before} " and self.known("kind", one) for one in said)

    def says_nothing(self, at: int, end: int) -> bool:
        """Whether words say nothing here: no amount, no name, nothing by which it was otherwise."""
        words = self.words[at:end]
        if not self.lexicon.telling or not 0 < len(words) <= REMARK_MOST or words[-1].text in self.lexicon.joins:
            return False
        if self._numbers(at, end, ONE) or self.tells(at, end):
            return False
        if any(self.longest(self.lexicon.told, i) for i in range(at, end)):
            return False
        return not any(word.text in self.lexicon.amounts for word in words) and not self._named(at, end)

    def idle(self, at: int, after: bool) -> Iterator[int]:
        """Where words end that are known to say nothing; `after` an act also where, with what or why it was."""
        size = self.longest(self.lexicon.idle, at)
        if size:
            yield at + size
        if after and self.longest(self.lexicon.asides, at):
            stop = next((i for i in range(at + 1, self.pause_at(at)) if self._strong(i)), self.pause_at(at))
            nothing = stop - at > 1 and self.says_nothing(at, stop) and not self._named(at, stop, THINGS)
            yield from [stop] * nothing

    def otherwise(self, at: int, end: int) -> bool:
        """Whether a word among these says that it was otherwise."""
        return any(word.text in self.lexicon.telling for word in self.words[at:end])

    def gaps(self, at: int, current: str) -> Iterator[int]:
        """Where words may end that are not understood: at a pause, before an act, before what says more of the last."""
        pause, opens = self.pause_at(at), self.lexicon.part_words.get(current, frozenset())
        yield pause
        for i in range(at + 1, pause):
            if self._strong(i) or self.words[i].text in opens or self.longest(self.lexicon.told, i):
                yield i

    def stops(self, at: int, most: int) -> Iterator[int]:
        """The next places where words may end that are read in any order: pauses, before acts, the end of it all."""
        found = 0
        for i in range(at + 1, self.hard_at(at) + 1):
            if i == len(self.words) or self.parts_here(i) or self._strong(i):
                yield i
                found += 1
                if found == most:
                    return

    def parts_here(self, at: int) -> bool:
        """Whether a word ends a part of a sentence, or joins another to it."""
        return self.words[at].sort == "break" or self.words[at].text in self.lexicon.joins

    def starts_part(self, at: int) -> bool:
        """Whether a part of a sentence begins with a word."""
        return at == 0 or self.parts_here(at - 1) or self.words[at - 1].dotted

    def pause_at(self, at: int) -> int:
        """The next place where a part of a sentence ends or another is joined to it."""
        return next((i for i in range(at, len(self.words)) if self.parts_here(i)), len(self.words))

    def longest(self, known: Phrases, at: int) -> int:
        """How many words the longest of the phrases that begin at a word has; 0 where none does."""
        return longest_at(self.words, at, known)

    def begins_act(self, at: int) -> bool:
        """Whether another act begins with a word, by which it is the name of nothing."""
        return self.longest(self.lexicon.openings, at) > 0

    def _strong(self, at: int) -> bool:
        return self.begins_act(at) and self.words[at].text not in self.lexicon.weak

    def tells(self, start: int, end: int) -> bool:
        """Whether words that are only quoted would hide what is said: that it was not so, or another act."""
        return any(
            self.words[i].text in self.lexicon.telling or (i > start and self._strong(i)) for i in range(start, end)
        )

    def _numbers(self, start: int, end: int, but: frozenset[str] = ARTICLES) -> bool:
        return any(word.text not in but and begins(word.text) for word in self.words[start:end])

    def broken_at(self, at: int) -> int:
        """The next place where a part of a sentence ends."""
        return next((i for i in range(at, len(self.words)) if self.words[i].sort == "break"), len(self.words))

    def hard_at(self, at: int) -> int:
        """The next place where a sentence ends."""
        return next((i for i in range(at, len(self.words)) if self.words[i].hard), len(self.words))

    def said(self, start: int, end: int) -> str:
        """Some of the words; what is clipped as it was typed, since a name may have it."""
        return "".join(("'s" if word.clipped else f" {word.text}") for word in self.words[start:end]).strip()
