"""What people say without saying anything: fillers with their commas, a word said twice, words that only point."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from partway.saying.amounts import begins
from partway.saying.lexicon import SayLexicon
from partway.saying.patterns import longest_at
from partway.saying.tokens import SaidWord

NOUGHT = "oh"
TWICE_MOST = 4  # words said twice
SHORT = 2  # letters of a word that is no name
NAME_MOST = 3  # words looked at behind one that points
ARTICLES = frozenset({"a", "an"})
NUMBERED = frozenset({"no", "number", "nr", "#"})  # before the number of a grade, which is no count
SORTS = ("kind", "waiting", "bin", "grade", "buyer")


def said_plainly(words: Sequence[SaidWord], lexicon: SayLexicon, known: Callable[[str, str], bool]) -> list[SaidWord]:
    """The words that may say something."""
    left = _counted_again(_once(_unfilled(words, lexicon), lexicon), lexicon)
    kept = [
        word
        for at, word in enumerate(left)
        if not (_points(left, at, lexicon, known) or _points_back(left, at, lexicon, known))
    ]
    return list(_spoken(kept, lexicon))


def _unfilled(words: Sequence[SaidWord], lexicon: SayLexicon) -> list[SaidWord]:
    """Without fillers between commas: "for, uh, sixty" is "for sixty"."""
    found: list[SaidWord] = []
    at = 0
    while at < len(words):
        size = _filler(words, at + 1, lexicon) if _soft(words[at]) else _filler(words, at, lexicon) if not found else 0
        end = at + size + (1 if _soft(words[at]) else 0)
        if size and end < len(words) and _soft(words[end]):
            at = end + 1
        else:
            found.append(words[at])
            at += 1
    return found


def _filler(words: Sequence[SaidWord], at: int, lexicon: SayLexicon) -> int:
    """How many words from here on only fill."""
    start = at
    while at < len(words):
        size = longest_at(words, at, lexicon.fillers)
        if not size:
            break
        at += size
    return at - start


def _once(words: Sequence[SaidWord], lexicon: SayLexicon) -> list[SaidWord]:
    """What was said twice in a row once, also with an apology between: "found a, sorry, found a fan". Numbers stay,
    unless they were apologized for.
    """
    found = list(words)
    at = 0
    while at < len(found):
        size, again = next(filter(None, (_twice(found, at, n, lexicon) for n in range(TWICE_MOST, 0, -1))), (0, 0))
        if size:
            # to the end of the second time, so that what is quoted to the letter has both
            found[at + size - 1] = replace(found[at + size - 1], end=found[again + size - 1].end)
            del found[at + size : again + size]
        else:
            at += 1
    return found


def _counted_again(words: Sequence[SaidWord], lexicon: SayLexicon) -> list[SaidWord]:
    """Only the second number where a bare one was put right before its unit was said: "took 40, no, 50 minutes"."""
    found = list(words)
    for at in range(len(found) - 1, 0, -1):
        size = longest_at(found, at + 1, lexicon.rather) if _soft(found[at]) and at + 1 < len(found) else 0
        again = at + 1 + size
        paused = again < len(found) and _soft(found[again])
        again += paused
        if not size or (size == 1 and not paused):
            continue
        first = at
        while first and begins(found[first - 1].text) and found[first - 1].text not in ARTICLES:
            first -= 1
        last = again
        while last < len(found) and begins(found[last].text):
            last += 1
        unit = again < last < len(found) and found[last].sort == "word"
        if unit and 0 < first < at and found[first - 1].text not in NUMBERED:
            del found[first:again]
    return found


def _twice(words: Sequence[SaidWord], at: int, size: int, lexicon: SayLexicon) -> tuple[int, int] | None:
    """How many words are said again, and where; None where they are not."""
    first, end = _texts(words, at, size), at + size
    if len(first) < size or any(word.sort == "break" for word in words[at:end]):
        return None
    pause = end + (end < len(words) and _soft(words[end]))
    sorry = longest_at(words, pause, lexicon.apologies) if pause < len(words) else 0
    again = pause + sorry
    again += bool(sorry) and again < len(words) and _soft(words[again])
    if not sorry and any(begins(word.text) for word in words[at:end]):
        return None
    return (size, again) if first == _texts(words, again, size) else None


def _spoken(words: Sequence[SaidWord], lexicon: SayLexicon) -> Iterator[SaidWord]:
    """Without words that are skipped; "oh" says something within a number: "four oh five"."""
    for before, word in pairwise([SaidWord("", 0, 0, "break"), *words]):
        if word.text not in lexicon.skip or (word.text == NOUGHT and before.sort != "break" and begins(before.text)):
            yield word


def _points(words: Sequence[SaidWord], at: int, lexicon: SayLexicon, known: Callable[[str, str], bool]) -> bool:
    """Whether a word only points at a name behind it: "that treadmill", "an old toaster"."""
    if words[at].text not in lexicon.before:
        return False
    next_ = at + 1
    while next_ < len(words) and words[next_].text in lexicon.before:
        next_ += 1
    rows = (words[next_ : next_ + size] for size in range(1, NAME_MOST + 1))
    said = (" ".join(word.text for word in row) for row in rows if all(word.sort == "word" for word in row) and row)
    return any(known(sort, one) for one in said for sort in SORTS)


def _points_back(words: Sequence[SaidWord], at: int, lexicon: SayLexicon, known: Callable[[str, str], bool]) -> bool:
    """Whether a word only says that somebody is at a buyer: "the mail-in fella", "the ridge yard people"."""
    if words[at].text not in lexicon.behind:
        return False
    rows = (words[at - size : at] for size in range(1, min(NAME_MOST, at) + 1))
    said = (" ".join(word.text for word in row) for row in rows if all(word.sort == "word" for word in row))
    return any(known("buyer", one) for one in said if len(one) > SHORT)


def _texts(words: Sequence[SaidWord], at: int, size: int) -> tuple[str, ...]:
    return tuple(word.text for word in words[at : at + size])


def _soft(word: SaidWord) -> bool:
    return word.sort == "break" and word.text == ","
