"""A said text as a row of words: where its parts end, what begins an act, and what words among it would hide."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from partway.saying.amounts import Ear, begins
from partway.saying.lexicon import SayLexicon
from partway.saying.patterns import Phrases, longest_at
from partway.saying.tokens import SaidWord

SHORT = 2  # letters of a word that names nothing by itself: the "in" of a mail-in
PRONOUNS = frozenset({"it", "them", "that"})  # stand in any remark
NAMED = ("find", "bin", "buyer")  # names that are no remark: something may be said of them
THINGS = ("kind", "grade")  # a thing more may be meant: "and one of those old televisions"
AGAIN_MOST = 3  # words of a kind named again
ARTICLES = frozenset({"a", "an"})  # begin an amount, and stand in any sentence
ONE = ARTICLES | {"one"}
Known = Callable[[str, str], bool]  # whether a sort of thing may be called so


@dataclass(frozen=True)
class Passage:
    """One text, with what is known of its words. `lax`: a name may also be one that nobody knows."""

    words: list[SaidWord]
    lexicon: SayLexicon
    known: Known
    ear: Ear
    lax: bool

    def named(self, at: int, end: int, sorts: Sequence[str] = NAMED) -> bool:
        """Whether something that is known has its name in a row of words, or is called by all of them."""
        rows = ((i, i + 1) for i in range(at, end))
        said = (one for row in (*rows, (at, end)) if len(one := self.said(*row)) > SHORT)
        return any(self.known(sort, one) for one in said if one not in PRONOUNS for sort in sorts)

    def named_again(self, at: int, end: int) -> bool:
        """Whether a kind named before is named again: something more is said of it, "the oven trips the fuse"."""
        rows = (tuple(word.text for word in self.words[i:j]) for i in range(at, end) for j in range(i + 1, end + 1))
        before = " ".join(word.text for word in self.words[:at])
        said = (" ".join(row) for row in rows if len(row) <= AGAIN_MOST)
        return any(f" {one} " in f" {before} " and self.known("kind", one) for one in said)

    def otherwise(self, at: int, end: int) -> bool:
        """Whether a word among these says that it was otherwise."""
        return any(word.text in self.lexicon.telling for word in self.words[at:end])

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
        return longest_at(self.words, at, known) if at < len(self.words) else 0

    def begins_act(self, at: int) -> bool:
        """Whether another act begins with a word, by which it is the name of nothing."""
        return self.longest(self.lexicon.openings, at) > 0

    def strong(self, at: int) -> bool:
        """The same, and the word is none that stands in the middle of a name as well."""
        return self.begins_act(at) and self.words[at].text not in self.lexicon.weak

    def tells(self, start: int, end: int) -> bool:
        """Whether words that are only quoted would hide what is said: that it was not so, or another act."""
        return any(
            self.words[i].text in self.lexicon.telling or (i > start and self.strong(i)) for i in range(start, end)
        )

    def numbers(self, start: int, end: int, but: frozenset[str] = ARTICLES) -> bool:
        """Whether an amount may begin among some words."""
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
