"""From an empty workspace to the first plan, and what was found lately."""

from __future__ import annotations

import datetime as dt

from ledger_day import START, Day

from partway.actions.bench import finds
from partway.actions.books.corrections import correct
from partway.actions.buyers import buyers, quoting
from partway.actions.demo import demo_months
from partway.actions.home.settings import set_
from partway.ledger.memory import MemoryBook
from partway.reports.curb.recent import recent_kinds
from partway.reports.home.firststeps import STEPS, first_steps


def lacking(day: Day) -> list[str]:
    return [step.lacking for step in first_steps(day.book).todo]


def test_steps_go_one_by_one() -> None:
    day = Day(currency=None)
    assert first_steps(day.book).untouched
    assert lacking(day) == ["currency", "unit", "find", "buyer", "quote", "wage", "hours"]
    day.do(set_, "currency", "CAD")
    day.do(set_, "unit", "lb")
    assert not first_steps(day.book).untouched
    assert lacking(day) == ["find", "buyer", "quote", "wage", "hours"]
    day.do(finds.find, "microwave")
    day.do(buyers.buyer, "harbour", buyers.Terms(kind="yard", km="14", minutes="20"))
    assert lacking(day) == ["quote", "wage", "hours"] and first_steps(day.book).is_new
    day.do(quoting.quotes, "harbour", [quoting.QuoteGiven("copper-2", "4.10 /lb")])
    assert lacking(day) == ["wage", "hours"] and not first_steps(day.book).is_new
    for name in ("wage", "bench", "away"):
        day.do(set_, name, "6")
    report = first_steps(day.book)
    assert report.todo == () and report.done == STEPS


def test_what_was_taken_back_is_lacking_again() -> None:
    day = Day(unit="lb")
    recorded = day.do(finds.find, "microwave")
    assert "find" not in lacking(day)
    day.do(correct, str(recorded.undo[0]))
    assert "find" in lacking(day)


def test_the_demo_lacks_nothing() -> None:
    book = MemoryBook()
    demo_months(book, START, weeks=3)
    assert first_steps(book).todo == ()


def test_kinds_found_lately_the_latest_first() -> None:
    day = Day()
    long_ago = START - dt.timedelta(days=90)
    day.book.append(finds.find(day.book, day.context(long_ago), "tap").events)
    for kind in ("fan", "kettle", "fan", "toaster"):
        day.do(finds.find, kind)
    wrong = day.do(finds.find, "laptop")
    day.do(correct, str(wrong.undo[0]))
    assert recent_kinds(day.book, day.now) == ("toaster", "fan", "kettle")
    assert recent_kinds(day.book, day.now, few=1) == ("toaster",)
    assert recent_kinds(day.book, day.now, days=365)[-1] == "tap"
