"""What is said in one line, in the issue's own sentences, and what comes of it in the ledger."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest
from ledger_day import Day

from partway.actions.bench import finds
from partway.actions.bins import bins
from partway.actions.books.last_act import act_of
from partway.actions.books.undoing import take_back
from partway.actions.buyers import buyers
from partway.actions.buyers.buyers import Terms
from partway.actions.recording.questions import Asked
from partway.actions.saying.results import SayReading
from partway.actions.saying.say import read_said, say
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.fold import standing

LB = 453_592.37  # mg, exactly: NIST Handbook 44, appendix C


def evening() -> Day:
    """A day with a unit, three buyers, a bin of motors, an oven and a keyboard."""
    day = Day(unit="lb")
    for name, kind in (("harbour-yard", "yard"), ("ridge-yard", "yard"), ("board-buyer", "mail-in")):
        day.do(buyers.buyer, name, Terms(kind=kind, km=None if kind == "mail-in" else "9"))
    day.do(buyers.buyer, "ridge-yard", Terms(refuses=("li-ion",)))
    day.do(bins.add_bin, "motors")
    day.do(finds.find, "microwave", mass="30 lb")
    day.do(finds.find, "keyboard")
    return day


def read(day: Day, text: str, answers: Mapping[str, str] | None = None) -> SayReading:
    before = day.book.state
    found = read_said(day.book, day.context(), text, answers)
    assert day.book.state is before  # looking leaves nothing
    return found


def saved(day: Day, text: str, answers: Mapping[str, str] | None = None) -> Any:
    shown = read(day, text, answers)
    assert shown.ready, [(line.asked, line.refused) for line in shown.lines]
    return day.do(say, text, answers, shown=shown.shown)


def kinds(done: Any) -> list[str]:
    return [event.kind for event in done.events]


def test_two_microwaves_of_which_one_works() -> None:
    day = evening()
    done = saved(day, "found two microwaves, one works")
    assert [(e.what.kind, e.what.count, e.what.works) for e in done.events] == [
        ("microwave", 1, "yes"),
        ("microwave", 1, "unknown"),
    ]
    assert read(day, "found two microwaves, one works").lines[0].doubts == ("of 1 it was not said whether it works",)


def test_the_oven_opened() -> None:
    day = evening()
    text = "opened the oven, nineteen minutes, half a pound of copper, cord point six"
    asked = read(day, text).open[0]
    assert asked.option == "1.piece-1" and len(asked.choices) == 3  # which copper of an oven nobody knows
    done = saved(day, text, {"1.piece-1": asked.choices[0][0], "1.gap": "left"})
    (opened,) = (e.what for e in done.events if e.kind == "opened")
    assert opened.minutes == 19
    assert [(p.piece, p.mass_mg) for p in opened.pieces][1] == ("cord", round(0.6 * LB))
    assert opened.pieces[0].mass_mg == round(0.5 * LB) and opened.pieces[0].grade == "copper-2"


def test_the_motor_bin_weighed() -> None:
    day = evening()
    saved(day, "weighed the motor bin forty one and a half")
    assert standing.bins(day.book)["motors"].mg == round(41.5 * LB)


def test_the_keyboard_sold() -> None:
    day = evening()
    done = saved(day, "sold the keyboard for twenty five, three fifty postage")
    (sold,) = (e.what for e in done.events)
    assert (sold.find, sold.price, sold.postage) == ("keyboard-1", Decimal("25.00"), Decimal("3.50"))


def test_a_price_at_the_harbour() -> None:
    day = evening()
    text = "no. 2 at the harbour four ten"
    asked = read(day, text).open
    done = saved(day, text, {line.option: _answer(line) for line in asked} or None)
    (quote,) = trading.quotes(day.book, "harbour-yard")
    assert (quote.grade, quote.price, quote.unit) == ("copper-2", Decimal("4.10"), "lb")
    assert "quoted" in kinds(done)


def _answer(line: Any) -> str:
    return str(next(key for key, means in line.choices if "copper" in means.lower() or "4.10" in means))


def test_fuel_and_hours() -> None:
    day = evening()
    done = saved(day, "fuel forty bucks. two hours at the bench")
    spent, worked = (e.what for e in done.events)
    assert (spent.what, spent.amount, spent.category) == ("fuel", Decimal("40.00"), "fuel")
    assert (worked.activity, worked.minutes) == ("bench", 120)


def test_lithium_is_taken_again() -> None:
    day = evening()
    done = saved(day, "ridge yard takes lithium now")
    assert trading.buyers(day.book)["ridge-yard"].refuses == ()
    assert kinds(done) == ["traded"]


def test_boards_are_asked_once_at_each_buyer() -> None:
    day = evening()
    text = "boards at the board buyer 1.90"
    (asked,) = read(day, text).open
    assert len(asked.choices) <= 3
    key = next(key for key, means in asked.choices if "ow" in means)
    with pytest.raises(Asked):
        day.do(say, text)
    saved(day, text, {asked.option: key})
    again = read(day, "boards at the board buyer 2.10")
    assert again.ready and "as this buyer quoted it before" in again.lines[0].doubts[0]
    dear = read(day, "boards at the board buyer 9.90")  # far from that price: what was answered is known all the same
    assert "as you said before" in dear.lines[0].doubts[0]
    assert read(day, "boards at the harbour .40").open  # at another buyer the word may mean something else


def test_nothing_is_saved_that_is_not_all_clear() -> None:
    day = evening()
    before = day.book.state
    for text in ("found a fan. sold the piano for 20", "found a fan, blorped the zorp", "boards at harbour .40"):
        with pytest.raises(Refused):
            day.do(say, text)
    assert day.book.state is before


def test_what_was_not_understood_is_told_with_how_far_it_was() -> None:
    refused = evening().refuses(read_said, "flurb the 3 gorps")
    assert "flurb the 3 gorps" in refused.given


def test_what_was_not_understood_leaves_the_rest_as_it_is() -> None:
    """The person decides: it is left out or kept in its words, and nothing is saved before."""
    text, day = "found two microwaves, one works, flurb the 3 gorps", evening()
    (unclear,) = read(day, text).open
    assert unclear.said == "flurb the 3 gorps" and [key for key, _ in unclear.choices] == ["leave", "note"]
    assert day.refuses(say, text).given
    assert kinds(saved(day, text, {unclear.option: "leave"})) == ["found", "found"]
    assert kinds(saved(evening(), text, {unclear.option: "note"})) == ["found", "found", "noted"]


def test_all_that_was_said_is_taken_back_in_one() -> None:
    day = evening()
    before = (standing.finds(day.book), standing.bins(day.book), dict(day.book.accounts()))
    text = "found a window fan, 9 lb. weighed the motor bin 4 lb. opened the oven, 5 min, cord .6 lb, rest still left"
    text += ". fuel 40 bucks"
    done = saved(day, text)
    assert [e.kind for e in done.events] == ["found", "recounted", "binned", "opened", "spent"]
    day.do(take_back, [str(one) for one in done.undo])
    after = standing.finds(day.book), standing.bins(day.book), dict(day.book.accounts())
    assert after[0] == before[0]
    assert after[1]["motors"].mg == 0
    assert {name: sum_ for name, sum_ in after[2].items() if sum_} == {
        name: sum_ for name, sum_ in before[2].items() if sum_
    }


def test_undo_at_the_command_line_takes_back_what_page_and_json_do() -> None:
    """All of it from any of its events, over several days, and nothing of what was recorded before or after."""
    day = evening()
    day.do(say, "fuel nine bucks")
    done = saved(day, "yesterday fuel 40 bucks. found a toaster. new bin for light iron. an hour at the bench")
    assert [event.id for event in act_of(day.book, day.context())] == list(done.undo)
    day.do(say, "fuel ten bucks")
    assert len(act_of(day.book, day.context())) == 1
    assert all([e.id for e in act_of(day.book, day.context(), str(one))] == list(done.undo) for one in done.undo)


def test_a_clock_set_back_counts_after_what_was_there_and_is_told_once() -> None:
    day = evening()
    day.do(say, "weighed the motor bin 41 lb")
    day.now -= dt.timedelta(hours=2)
    text = "weighed the motor bin 42 lb. fuel 40 bucks"
    done = saved(day, text)
    assert done.clock is not None and done.clock.seconds > 60 * 60
    assert standing.bins(day.book)["motors"].mg == round(42 * LB)  # the later word stands, whatever the clock says
    assert [event.id for event in act_of(day.book, day.context())] == list(done.undo)
    day.do(take_back, [str(one) for one in done.undo])
    assert standing.bins(day.book)["motors"].mg == round(41 * LB)
    assert day.do(say, "fuel 41 bucks").clock is None
