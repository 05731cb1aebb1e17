"""Slots that take what words there are, each by a rule of its own: where such a slot that begins at a word may end."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from partway.saying.amounts import begins
from partway.saying.passage import NAMED, ONE, THINGS, Passage

NAME_MOST = 6  # words of a name
TEXT_MOST = 10  # words of what is only quoted
CODE_MOST = 3  # pieces of a number on paper: A-77
EACH = frozenset({"a", "an", "per", "/"})
OFFERED_FOR = frozenset({"for", "on"})

EndsOf = Callable[[Passage, int], Iterator[int]]


def offered(text: Passage, at: int) -> Iterator[int]:
    """A list that begins with a price: "six forty for heavy copper and ..."."""
    stop = text.hard_at(at)
    named = any(word.text in OFFERED_FOR for word in text.words[at + 1 : stop - 1])
    if named and begins(text.words[at].text):
        yield from (end for end in range(stop, at, -1) if end == stop or text.words[end].sort == "break")


def rated(text: Passage, at: int) -> Iterator[int]:
    """A price by a unit, and no total."""
    if begins(text.words[at].text):
        ends = range(text.broken_at(at), at, -1)
        yield from (end for end in ends if any(word.text in EACH for word in text.words[at + 1 : end]))


def priced(text: Passage, at: int) -> Iterator[int]:
    """Words with a number among them, up to the end of the part."""
    stop = text.broken_at(at)
    yield from range(stop, _first_number(text, at, stop), -1)


def listed(text: Passage, at: int) -> Iterator[int]:
    """All words up to the end of the sentence, with a number among them."""
    stop = text.hard_at(at)
    if _first_number(text, at, stop) < stop:
        yield stop


def _first_number(text: Passage, at: int, stop: int) -> int:
    return next((i for i in range(at, stop) if begins(text.words[i].text)), stop)


def sentence(text: Passage, at: int) -> Iterator[int]:
    """All words up to the end of the sentence."""
    if text.words[at].sort != "break":
        yield text.hard_at(at)


def words(text: Passage, at: int) -> Iterator[int]:
    """Any words of a part, the most of them first."""
    yield from range(text.broken_at(at), at, -1)


def code(text: Passage, at: int) -> Iterator[int]:
    """A number on paper."""
    yield from range(at + 1, min(text.broken_at(at), at + CODE_MOST) + 1)


def quoted(text: Passage, at: int) -> Iterator[int]:
    """What is only quoted, up to where something is told, a thing is named again or said to work or not."""
    for end in _plain(text, at, TEXT_MOST):
        if end - 1 > at and text.longest(text.lexicon.told, end - 1):
            return
        if not text.named_again(at, end):
            yield end


def place(text: Passage, at: int) -> Iterator[int]:
    """Where something was, before what it was: no name of anything is in it."""
    for end in _plain(text, at, NAME_MOST):
        if text.words[end - 1].text == ":" or text.named(at, end, (*NAMED, *THINGS)):
            return
        yield end


def piece(text: Passage, at: int) -> Iterator[int]:
    """A piece of a find: no number, no buyer, nobody."""
    if begins(text.words[at].text) or text.begins_act(at) or text.words[at].text in text.lexicon.never:
        return
    yield from (end for end in _plain(text, at, NAME_MOST) if not text.named(at, end, ("buyer",)))


def spending(text: Passage, at: int) -> Iterator[int]:
    """What money went on: nothing that is there, with whoever had it behind it: "the recorder from me"."""
    if text.words[at].text not in ONE and (begins(text.words[at].text) or text.begins_act(at)):
        return
    for end in _plain(text, at, NAME_MOST):
        if text.known("waiting", text.said(at, end)) and text.longest(text.lexicon.asides, end):
            return
        yield end


def bought(text: Passage, at: int) -> Iterator[int]:
    """The same, where only the money behind it says so: nothing that is there."""
    yield from (end for end in spending(text, at) if not text.named(at, end))


def _plain(text: Passage, at: int, most: int) -> Iterator[int]:
    """Words without a number or what they would hide, the fewest first: "transformer", not "transformer of"."""
    joins = text.lexicon.joins  # no name ends in "and"
    for end in range(at + 1, min(text.broken_at(at), at + most) + 1):
        if text.numbers(at + 1, end) or text.tells(at, end):
            return
        if text.words[end - 1].text not in joins:
            yield end


FREE: Mapping[str, EndsOf] = {
    "offer": offered,
    "rate": rated,
    "price": priced,
    "list": listed,
    "sentence": sentence,
    "words": words,
    "code": code,
    "text": quoted,
    "place": place,
    "piece": piece,
    "spending": spending,
    "bought": bought,
}
