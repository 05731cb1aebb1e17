"""A sentence that takes back the last entry was read back for one entry: it takes back that one, or nothing."""

from __future__ import annotations

import pytest
from ledger_day import Day

from partway.actions.books.money import spend
from partway.actions.books.notes import note
from partway.actions.saying.say import read_said, say
from partway.errors import Refused


@pytest.mark.parametrize("first", [("blades", "9"), ("fuel", "30")])
def test_what_was_recorded_elsewhere_since_is_not_taken_back_unseen(first: tuple[str, str]) -> None:
    """The same person wrote on a second device after the reading; the two expenses may well be called the same."""
    day = Day(unit="lb")
    day.do(spend, *first)
    reading = read_said(day.book, day.context(), "undo the last one")
    since = day.do(spend, "fuel", "30")
    with pytest.raises(Refused, match="no longer what would be recorded"):
        say(day.book, day.context(), "undo the last one", shown=reading.shown)
    assert since.events[0].id not in day.book.voided()


def test_what_is_taken_back_is_named_by_what_was_typed() -> None:
    day = Day(unit="lb")
    day.do(spend, "saw-blades", "9")
    assert read_said(day.book, day.context(), "undo the last one").lines[0].told == (
        "Taken back: the expense “saw-blades”",
    )
    day.do(note, "a gate is locked on Sundays, ask for the key at the house with the long blue fence")
    told = read_said(day.book, day.context(), "undo the last one").lines[0].told
    assert told == ("Taken back: the note “a gate is locked on Sundays, ask for th…”",)
