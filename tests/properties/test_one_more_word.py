"""The law of one more word: what is put into a line changes no price in silence and is not dropped in silence.

What each word may do stands in `one_more.py`, which does not ask the reader. Tens of thousands are tried by
`benchmarks/lists.py --one-more`; here a few dozen, always the same.
"""

from __future__ import annotations

import random

import pytest
from one_more import WORDS, Line, Place, Tried, fault, meanings, one_more, put, read

PLACES: tuple[Place, ...] = ("in the line", "a line above", "a line below")
COPPER = Line("No. 2 copper 4.10", "CAD", "lb", comma=False)


def test_a_word_more_is_seen_or_asked_about() -> None:
    draw = random.Random(1)
    tried = [put(draw, law, word, "in the line") for law, word in WORDS]
    tried += [one_more(draw) for _ in range(20)]
    assert not [(one.word, one.text, fault(one)) for one in tried if fault(one)]


@pytest.mark.parametrize("place", PLACES)
def test_a_word_that_nobody_knows_never_changes_a_price(place: Place) -> None:
    draw = random.Random(7)
    for word in ("frandle", "Mossgate", "quessel"):
        tried = put(draw, "idle", word, place)
        assert not fault(tried), tried.text


def test_the_law_notices_what_breaks_it() -> None:
    """Of a line without the word the law says that the word is lost, and of another price that it changed."""
    before = meanings(read(COPPER.text, COPPER))
    dropped = Tried("condition", "unless wet", "in the line", COPPER.text, before, COPPER)
    assert fault(dropped) == "left over"
    other = Tried("idle", "frandle", "in the line", "No. 2 copper 4.20", before, COPPER)
    assert fault(other) == "changed"
    assert len({law for law, _ in WORDS}) == 6
