"""Sentences of somebody who never saw the grammar, on a bench of their own; the figures of the first look at each.

tests/references/sentences/fresh_a.toml to fresh_j.toml say what each was meant to record (common practice, no source).
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from sentence_world import HANDS, outcome, sentences, town

# how many are right at once, and asked about, since they were mended for
LEAST = {
    "a": (22, 22),
    "b": (15, 27),
    "c": (28, 23),
    "d": (25, 24),
    "e": (27, 23),
    "f": (26, 24),
    "g": (28, 36),
    "h": (24, 41),
    "i": (27, 37),
    "j": (38, 30),
}


@pytest.mark.parametrize("which", sorted(LEAST))
def test_nothing_wrong_is_recorded_of_what_a_stranger_says(which: str) -> None:
    """Each by itself: the day is put back as it was before the next one."""
    day = town(which if which in HANDS else "a")
    book = day.book
    before, head = book.state, book._head
    ends: Counter[str] = Counter()
    wrong = []
    for sentence in sentences(f"fresh_{which}"):
        how, told = outcome(sentence, day, by_sense=which not in HANDS)
        book.state, book._head = before, head
        ends[how] += 1
        wrong += [(sentence.said, told)] * (how == "wrong")
    assert not wrong
    right, asked = LEAST[which]
    assert ends["right"] >= right, ends
    assert ends["right"] + ends["asked"] >= right + asked, ends
