"""A long text of one mark or word takes steps in proportion to its length: nothing is walked over once for each piece.

Steps are calls and resumed loops as the interpreter counts them, never seconds.
"""

from __future__ import annotations

import sys
from types import FrameType

import pytest

from partway.catalogue import shipped
from partway.pricelist import read_price_list

GRADES = shipped().grades
SHORT, TIMES = 150, 4
MOST = 5.5  # times the steps for four times the text; sixteen times where each piece walks over all others
PIECES = (
    "-", ",", ".", "/", "$", ":", "1 ", "a ", "no ", "per ", "\n", "\t", "copper 4.10\n", "30 nov 2026\n", "(1)\n",
)  # fmt: skip


def steps(text: str) -> int:
    """How many calls reading takes, once its words are known."""
    found = 0

    def count(frame: FrameType, event: str, arg: object) -> None:
        nonlocal found
        found += event == "call"

    read_price_list(text, GRADES, "CAD", "lb", {})
    before = sys.getprofile()
    sys.setprofile(count)
    try:
        read_price_list(text, GRADES, "CAD", "lb", {})
    finally:
        sys.setprofile(before)
    return found


@pytest.mark.parametrize("piece", PIECES)
def test_four_times_the_text_takes_four_times_the_steps(piece: str) -> None:
    short, long = steps(piece * SHORT), steps(piece * SHORT * TIMES)
    assert long <= MOST * short, (short, long)
