"""Slots that take what words there are, each by a rule of its own: where such a slot that begins at a word may end."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from partway.saying.amounts import amount, begins, begins_day
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
    """Words with a number among them, up to the end of the part; a grade has a price of its own."""
    stop = text.broken_at(at)
    ends = range(stop, _first_number(text, at, stop), -1)
    named = next((i for i in range(at, stop) if _names_grade(text, i)), stop)
    yield from (end for end in ends if end <= named)


def _names_grade(text: Passage, at: int) -> bool:
    """Whether a word is in the name of a grade, and no number nor unit: "four" is in one, and "tonne"."""
    word, before = text.words[at].text, text.words[at - 1].text
    return not begins(word) and before not in EACH and text.named(at, at + 1, ("grade",))


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
    """A piece of a find: no number, no buyer, nobody, and no day behind it."""
    if begins(text.words[at].text) or text.begins_act(at) or text.words[at].text in text.lexicon.never:
        return
    if text.words[at].text in text.lexicon.joins or text.longest(text.lexicon.asides, at):
        return
    for end in _plain(text, at, NAME_MOST):
        if not (text.named(at, end, ("buyer",)) or _ends_in_day(text, at, end)):
            yield end


def _ends_in_day(text: Passage, at: int, end: int) -> bool:
    """Whether the last of some words are a day: "toaster apart this morning"."""
    rows = (text.said(i, end) for i in range(at + 1, end) if begins_day(text.words[i].text))
    return any(amount("day", said, text.ear) is not None for said in rows)


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
