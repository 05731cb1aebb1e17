"""Corrections, remarks, times from one hour to another, what goes into a bin, fees said alone: what comes of each.

All invented; what is right of each sentence is common practice, no source. A pound is 453,592.37 mg (NIST Handbook 44,
appendix C).
"""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta
from decimal import Decimal
from itertools import product

import pytest
from ledger_day import Day
from test_say import LB, evening, read, saved

from partway.actions.bins import bins
from partway.actions.saying.say import read_said, say
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.fold import standing
from partway.ledger.fold.fold import merge
from partway.ledger.memory import MemoryBook


def recorded(text: str, day: Day | None = None) -> list[tuple[object, ...]]:
    day = day or evening()
    return [_short(event.what) for event in saved(day, text).events]


def _short(what: object) -> tuple[object, ...]:
    names = ("kind", "count", "works", "mass_mg", "price", "amount", "minutes", "text")
    return (what.KIND, *(getattr(what, name) for name in names if getattr(what, name, None)))  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("found two fans, no make that three", "found three fans"),
        ("found two fans, no, three, one works", "found three fans, one works"),
        ("fuel forty, sorry, fifty", "fuel fifty"),
        ("sold the keyboard for ten, no wait, twelve", "sold the keyboard for twelve"),
        (
            "sold the keyboard for ten, three fifty postage, no make that four",
            "sold the keyboard for ten, four postage",
        ),
        ("two hours at the bench, no, make it three", "three hours at the bench"),
        ("weighed the motor bin 41 lb, should be 14", "weighed the motor bin 14 lb"),
        ("motor bin was 20 pounds wrong, should be 18 pounds", "motor bin 18 pounds"),
        ("found a fan, no wait a toaster", "found a toaster"),
        ("found a fan, scratch that, found a toaster", "found a toaster"),
        ("found a fan. fuel 40. scratch that. fuel 30", "found a fan. fuel 30"),
    ],
)
def test_a_correction_is_of_what_was_just_said(said: str, meant: str) -> None:
    assert recorded(said) == recorded(meant)


@pytest.mark.parametrize("said", ["found a fan, scratch that", "no make that six"])
def test_a_correction_of_nothing_is_refused(said: str) -> None:
    assert evening().refuses(read_said, said).given


@pytest.mark.parametrize(
    ("said", "minutes"),
    [
        ("worked from eight to eleven thirty sorting", 210),
        ("worked from eight to eleven thirty today sorting", 210),
        ("worked 8 to 11:30 at the bench", 210),
        ("bench from ten to two", 240),
        ("worked from nine to half eleven at the bench", 150),
        ("worked from eleven to one taking apart", 120),
    ],
)
def test_from_one_hour_to_another(said: str, minutes: int) -> None:
    """Nobody works longer than half a day at a stretch, so the halves of the day follow."""
    day = evening()
    day.now = day.now.replace(hour=18)
    assert recorded(said, day) == [("worked", minutes)]


def test_since_an_hour_is_until_now_to_the_quarter() -> None:
    day = evening()
    day.now = day.now.replace(hour=11, minute=20)
    assert recorded("at the bench since nine", day) == [("worked", 135)]


def test_words_that_mean_nothing_here_are_asked_about_and_kept_only_by_an_answer() -> None:
    text = "tested the oven, works, door's a bit sticky"
    (asked,) = read(evening(), text).open
    assert [key for key, _ in asked.choices] == ["leave", "note"]
    assert "door's a bit sticky" in str(asked.asked)
    day = evening()
    left = read(day, text, {asked.option: "leave"})
    assert left.lines[0].doubts == ("left out: “door's a bit sticky”",)
    assert [event.kind for event in saved(day, text, {asked.option: "leave"}).events] == ["tested"]
    day = evening()
    tested, noted = (event.what for event in saved(day, text, {asked.option: "note"}).events)
    assert (noted.text, noted.find, tested.find) == ("door's a bit sticky", "microwave-1", "microwave-1")


@pytest.mark.parametrize(
    "said",
    [
        "sold the keyboard for ten but not to him",
        "sold the keyboard for ten tomorrow",
        "almost sold the keyboard for ten",
        "going to sell the keyboard for ten",
        "sold the keyboard for ten or maybe twenty",
        "if ridge takes lithium now",
        "found a fan didn't take it",
        "weighed the motor bin 41 lb less the bucket",
        "harbour would pay four ten for motors",
    ],
)
def test_what_says_that_it_was_otherwise_is_recorded_by_no_answer(said: str) -> None:
    """What is left when such words are left out would be wrong: at most they are kept as they were said."""
    day = evening()
    try:
        reading = read_said(day.book, day.context(), said)
    except Refused:
        return
    assert not reading.ready
    for answers in product(*([(line.option, key) for key, _ in line.choices] for line in reading.open)):
        with suppress(Refused):
            assert {event.kind for event in evening().do(say, said, dict(answers)).events} <= {"noted"}


@pytest.mark.parametrize(
    ("said", "works"),
    [
        ("found a microwave on maple street by the curb doesn't turn on", "no"),
        ("found a microwave behind the school works", "yes"),
        ("found a microwave off the pavement, goes", "yes"),
        ("found a microwave by the church", "unknown"),
        ("found a microwave on Mill Street", "unknown"),
    ],
)
def test_a_place_does_not_swallow_whether_it_works(said: str, works: str) -> None:
    ((_, kind, count, found),) = recorded(said)
    assert (kind, count, found) == ("microwave", 1, works)


def test_what_goes_into_a_bin_is_beside_what_is_in_it() -> None:
    day = evening()
    day.do(bins.recount, "motors", "20 lb")
    shown = read(day, "added six and a half pounds of motors to the motor bin")
    assert "20 lb" in shown.lines[0].doubts[0]
    saved(day, shown.text)
    assert standing.bins(day.book)["motors"].mg == pytest.approx(26.5 * LB, abs=1)
    saved(day, "another 2 lb of motors in the bin")
    assert standing.bins(day.book)["motors"].mg == pytest.approx(28.5 * LB, abs=2)


def test_something_of_another_grade_does_not_go_into_a_bin() -> None:
    wrong = read(evening(), "put 3 lb of yellow brass in the motor bin").lines[0].refused
    assert wrong is not None and "motors" in wrong.expected.lower()


@pytest.mark.parametrize(
    ("said", "count"), [("half a dozen", 6), ("a dozen", 12), ("a couple of", 2), ("two dozen", 24)]
)
def test_a_count_in_words(said: str, count: int) -> None:
    assert recorded(f"found {said} fans") == [("found", "fan", count, "unknown")]


def test_what_dictation_writes_for_a_number_is_asked() -> None:
    (asked,) = read(evening(), "found too fans").open
    assert asked.choices == (("yes", "it is 2 fans"),)
    done = saved(evening(), "found too fans", {asked.option: "yes"})
    assert [event.what.count for event in done.events] == [2]


def test_of_several_the_others_are_those_left() -> None:
    assert recorded("found three fans, one works, the others don't") == [
        ("found", "fan", 1, "yes"),
        ("found", "fan", 2, "no"),
    ]
    assert recorded("found two fans, neither works") == [("found", "fan", 2, "no")]


def test_both_are_those_that_are_there_and_two_days_are_two_sentences() -> None:
    """Each was recorded otherwise once: two more found, all of it on the last day, all of them dead."""
    day = evening()
    events = saved(day, "both the oven and the keyboard work").events
    assert [(event.kind, event.what.works) for event in events] == [("tested", "yes"), ("tested", "yes")]
    assert read(evening(), "found both fans").lines[0].refused is not None
    assert read(evening(), "found a fan yesterday and a toaster today").lines[0].refused is not None
    found = recorded("got two toasters off a lady on fifth street one of them's dead")
    assert found == [("found", "toaster", 1, "no"), ("found", "toaster", 1, "unknown")]


def test_one_spelling_on_both_sides_of_an_ocean() -> None:
    assert recorded("harbor motors $0.30 a lb") == recorded("harbour motors $0.30 a lb")


@pytest.mark.parametrize(
    ("said", "fee", "share"),
    [
        ("ridge yard takes ten bucks for weighing", 10, 0),
        ("harbour yard charges 3 percent", 0, "0.03"),
        ("harbour keeps two and a half percent of each ticket", 0, "0.025"),
        ("harbour has a five dollar fee", 5, 0),
        ("harbour charges 2% and 5 dollars per load", 5, "0.02"),
    ],
)
def test_a_fee_said_alone_is_a_term_of_the_buyer(said: str, fee: int, share: str | int) -> None:
    day = evening()
    shown = read(day, said)
    assert "keeps back" in shown.lines[0].doubts[0]
    saved(day, said)
    terms = trading.buyers(day.book)["ridge-yard" if "ridge" in said else "harbour-yard"]
    assert (terms.ticket_fee, terms.ticket_share) == (Decimal(fee), Decimal(share))


def test_a_fee_is_given_up_and_a_sum_of_which_nobody_says_what_is_asked() -> None:
    day = evening()
    (asked,) = read(day, "harbour charges five bucks").open
    assert "$5.00 of each ticket" in asked.choices[0][1]
    saved(day, "harbour charges five bucks", {asked.option: "yes"})
    saved(day, "harbour charges 3 percent")
    terms = trading.buyers(day.book)["harbour-yard"]
    assert (terms.ticket_fee, terms.ticket_share) == (Decimal(5), Decimal("0.03"))  # the sum stays beside the share
    assert read(day, "harbour charges 3 percent").lines[0].refused is not None  # no news
    saved(day, "no fee at the harbour any more")
    terms = trading.buyers(day.book)["harbour-yard"]
    assert not terms.ticket_fee and not terms.ticket_share


def test_a_price_beside_what_is_taken_again() -> None:
    day = evening()
    saved(day, "no light iron at the ridge yard any more")
    saved(day, "ridge is taking light iron again, 9 cents")
    (quote,) = trading.quotes(day.book, "ridge-yard")
    assert (quote.grade, quote.price) == ("light-iron", Decimal("0.09"))
    assert "light-iron" not in trading.buyers(day.book)["ridge-yard"].refuses


def test_a_name_of_grades_of_several_families_is_asked() -> None:
    (asked,) = read(evening(), "ridge won't have fridges").open
    assert asked.choices[0] == ("all", "all of these") and len(asked.choices) == 3


def test_what_a_thing_cost_is_spent_beside_it() -> None:
    found, spent = recorded("got a fan and a kettle for 12 dollars, both work")[::2]
    assert found == ("found", "fan", 1, "yes")
    assert spent == ("spent", Decimal("12.00"))


@pytest.mark.parametrize("said", ["all working", "all good", "they all work"])
def test_what_is_said_of_all_is_recorded_of_all(said: str) -> None:
    assert recorded(f"got a toaster and two fans from the church, {said}") == [
        ("found", "toaster", 1, "yes"),
        ("found", "fan", 2, "yes"),
    ]


def test_what_only_lacks_an_amount_is_asked_for_that_which_is_typed() -> None:
    made = evening()
    (line,) = read_said(made.book, made.context(), "weighed the motor bin").open
    assert line.entry == "how much it weighs" and line.option == "1.mass"
    (told,) = read_said(made.book, made.context(), "weighed the motor bin", {line.option: "41 lb"}).lines
    assert told.told[0].startswith("Weighed the bin Electric motors: 41 lb")
    (again,) = read_said(made.book, made.context(), "weighed the motor bin", {line.option: "a lot"}).lines
    assert again.refused is not None or again.asked is not None


def found_last(day: Day) -> list[str]:
    return sorted(now.kind for now in standing.finds(day.book).values())


def test_scratch_that_takes_back_what_this_device_recorded_last_though_its_clock_was_set_back() -> None:
    day = evening()
    saved(day, "found a toaster")
    day.now -= timedelta(hours=5)
    saved(day, "found a fan")
    saved(day, "scratch that")
    assert found_last(day) == ["keyboard", "microwave", "toaster"]


def test_scratch_that_leaves_what_another_device_recorded_later() -> None:
    one, two = evening(), Day()
    two.book, two.now = MemoryBook(one.book.state), one.now + timedelta(minutes=5)
    saved(one, "found a fan")
    saved(two, "found a toaster")
    both = Day()
    both.book, both.now = MemoryBook(merge(one.book.state, two.book.state)), two.now
    both.book._head = one.book._head
    saved(both, "scratch that")
    assert found_last(both) == ["keyboard", "microwave", "toaster"]


def test_scratch_that_is_shown_again_where_something_was_recorded_since() -> None:
    """Two pages of one person: what was shown as taken back is not what would be."""
    day = evening()
    saved(day, "found a fan")
    shown = read(day, "scratch that").shown
    saved(day, "found a toaster")
    refused = day.refuses(say, "scratch that", shown=shown)
    assert "fan" in found_last(day) and "toaster" in found_last(day), refused
