"""On one device the order of recording decides, and a name that two devices gave is asked about.

Expected masses are worked out by hand in each test.
"""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partway.actions.bench import finds, selling
from partway.actions.bins import bins
from partway.actions.books import money
from partway.actions.books.corrections import correct
from partway.actions.buyers import buyers, quoting
from partway.actions.haul import hauls, tickets
from partway.actions.home import settings as place
from partway.actions.recording.context import Context, Recorded
from partway.actions.recording.questions import Asked
from partway.errors import Refused
from partway.ledger import trading
from partway.ledger.book import Book
from partway.ledger.events.ids import IdMaker
from partway.ledger.events.kinds import Found
from partway.ledger.fold import standing
from partway.ledger.memory import MemoryBook
from partway.storage.workspace import FILE, open_workspace

NOON = dt.datetime(2026, 3, 14, 12, tzinfo=dt.UTC)
KG = 10**6


class Clock:
    """A clock that stands where it was set; ids come from it, too."""

    def __init__(self) -> None:
        self.now = NOON
        self.make = IdMaker(lambda: int(self.now.timestamp() * 1000))

    def at(self, hours: float, stated: float | None = None, *, exact: bool = False) -> Context:
        self.now = NOON + dt.timedelta(hours=hours)
        happened = None if stated is None else NOON + dt.timedelta(hours=stated)
        return Context("me", lambda: self.now, self.make, happened, exact=exact)


@pytest.fixture
def clock() -> Clock:
    return Clock()


def started(clock: Clock, device: str = "00000001") -> MemoryBook:
    book = MemoryBook(device=device)
    place.set_(book, clock.at(-200), "currency", "CAD")
    place.set_(book, clock.at(-200), "unit", "kg")
    return book


def met(one: MemoryBook, other: MemoryBook) -> None:
    both = [*one.recorded(), *other.recorded()]
    one.append(both)
    other.append(both)


# --- the order of recording ------------------------------------------------------------------------


def test_a_price_heard_after_the_clock_went_back_counts(clock: Clock) -> None:
    book = started(clock)
    buyers.buyer(book, clock.at(0), "harbour", buyers.Terms("yard", km="5"))
    quoting.quote(book, clock.at(0), "harbour", "copper-2", "4.10 /lb")
    quoting.quote(book, clock.at(-1), "harbour", "copper-2", "4.25 /lb")
    assert [str(q.price) for q in trading.quotes(book, "harbour")] == ["4.25"]
    last = list(book.events())[-1]
    assert last.happened == NOON - dt.timedelta(hours=1)  # its day stays the clock's
    assert last.order is not None and NOON < last.order < NOON + dt.timedelta(seconds=1)


def test_a_recount_after_the_clock_went_back_says_what_is_there(clock: Clock) -> None:
    book = started(clock)
    bins.add_bin(book, clock.at(0), "copper-2", holds="10 kg")
    bins.recount(book, clock.at(-2), "copper-2", "8 kg")
    bins.recount(book, clock.at(-1), "copper-2", "9 kg")
    assert standing.bins(book)["copper-2"].mg == 9 * KG
    assert book.balances("loss") == {("loss", ""): 1 * KG}


def test_a_stated_day_is_taken_as_it_is_stated(clock: Clock) -> None:
    """Counted yesterday evening, typed today after this morning's count: this morning's stands."""
    book = started(clock)
    bins.add_bin(book, clock.at(-100), "copper-2", holds="10 kg")
    bins.recount(book, clock.at(0), "copper-2", "8 kg")
    bins.recount(book, clock.at(1, stated=-12), "copper-2", "6 kg")
    assert standing.bins(book)["copper-2"].mg == 8 * KG
    assert book.balances("loss") == {("loss", ""): 2 * KG}  # 10 to 6 lost, then 2 found again


def test_two_words_for_the_same_stated_time_count_as_they_were_recorded(clock: Clock) -> None:
    book = started(clock)
    first = bins.add_bin(book, clock.at(0, stated=-1), "copper-2", holds="5 kg")
    bins.recount(book, clock.at(0, stated=-1), "copper-2", "7 kg")
    assert standing.bins(book)["copper-2"].mg == 7 * KG
    correct(book, clock.at(0), str(first.undo[0]), changes={"mass": "4 kg"})  # in its place, not after the later one
    assert standing.bins(book)["copper-2"].mg == 7 * KG


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.sampled_from((-48, -1, 0, 1, 24)), st.integers(1, 99)), min_size=1, max_size=12))
def test_whatever_the_clock_does_the_last_word_recorded_counts(said: list[tuple[int, int]]) -> None:
    clock = Clock()
    book = MemoryBook(device="00000001")
    ids, hours = [], 0
    for jump, wage in said:
        hours += jump
        place.set_(book, clock.at(hours), "bench", str(wage))
        assert book.facts("setting:bench", "value")["setting:bench", "value"] == place_value(book, wage)
        ids.append(max(event.id for event in book.events()))
    assert ids == sorted(ids) and len(set(ids)) == len(ids)
    orders = [event.position[0] for event in book.events()]
    assert orders == sorted(orders) and len(set(orders)) == len(orders)


def place_value(book: Book, wage: int) -> str:
    newest = max(book.events(("set",)), key=lambda event: event.id)
    assert str(wage) in getattr(newest.what, "value", "")
    return str(getattr(newest.what, "value", ""))


def test_a_weighing_put_right_stays_before_what_was_sold_after_it(clock: Clock) -> None:
    """10 kg by the scale, a part of 4 kg sold, the clock standing still: put right to 9 kg, 5 kg are left."""
    book = started(clock)
    finds.find(book, clock.at(0), "microwave", mass="11 kg")
    weighed = finds.weigh(book, clock.at(0), "microwave-1", "10 kg")
    selling.sell(book, clock.at(0), "microwave-1", "30", "transformer", mass="4 kg")
    correct(book, clock.at(0), str(weighed.undo[0]), changes={"mass": "9 kg"})
    assert standing.find(book, "microwave-1").mg == 5 * KG
    assert book.balances("outside") == {("outside", ""): -9 * KG}


# --- recounts and what arrives late ----------------------------------------------------------------


def test_recounts_of_two_devices_do_not_add_up(clock: Clock) -> None:
    """Both knew 50 kg; one counted 60, the other 62 later: 62 kg are there, not 72."""
    one, two = started(clock, "00000001"), MemoryBook(device="00000002")
    bins.add_bin(one, clock.at(0), "copper-2", holds="50 kg")
    met(one, two)
    bins.recount(one, clock.at(1), "copper-2", "60 kg")
    bins.recount(two, clock.at(2), "copper-2", "62 kg")
    met(one, two)
    for book in (one, two):
        assert book.balances("bin:") == {("bin:copper-2", "copper-2"): 62 * KG}
        assert book.balances("loss") == {("loss", ""): -12 * KG}


def test_what_was_moved_before_a_recount_and_arrives_after_it_changes_the_loss_alone(clock: Clock) -> None:
    one, two = started(clock, "00000001"), MemoryBook(device="00000002")
    for grade in ("copper-2", "copper-light"):
        bins.add_bin(one, clock.at(0), grade, holds="50 kg")
    met(one, two)
    bins.recount(one, clock.at(5), "copper-2", "40 kg")
    bins.move(two, clock.at(4), "copper-2", "copper-light", "10 kg", regrade=True)
    assert one.balances("loss") == {("loss", ""): 10 * KG}
    met(one, two)
    assert one.balances("bin:copper-2") == {("bin:copper-2", "copper-2"): 40 * KG}
    assert one.balances("loss") == {}  # nothing was lost: it had been moved
    bins.move(two, clock.at(6), "copper-2", "copper-light", "1 kg", regrade=True)
    met(one, two)
    assert one.balances("bin:copper-2") == {("bin:copper-2", "copper-2"): 39 * KG}


def test_what_came_before_a_recount_may_be_taken_back_and_the_recount_stands(clock: Clock) -> None:
    book = started(clock)
    for grade in ("copper-2", "copper-light"):
        bins.add_bin(book, clock.at(0), grade, holds="50 kg")
    moved = bins.move(book, clock.at(1), "copper-2", "copper-light", "10 kg", regrade=True)
    bins.recount(book, clock.at(2), "copper-2", "41 kg")
    told = correct(book, clock.at(3), str(moved.undo[0])).result
    assert book.balances("bin:") == {
        ("bin:copper-2", "copper-2"): 41 * KG,
        ("bin:copper-light", "copper-light"): 50 * KG,
    }
    assert told.stands == (("bin:copper-2", 41 * KG),)
    assert book.balances("loss") == {("loss", ""): 9 * KG}


# --- names -----------------------------------------------------------------------------------------


@pytest.fixture
def both(clock: Clock) -> tuple[MemoryBook, MemoryBook]:
    """Two devices that each found a kettle, made a bin and set out, and then met."""
    one, two = started(clock, "00000001"), MemoryBook(device="00000002")
    met(one, two)
    for book, kg in ((one, "2 kg"), (two, "3 kg")):
        finds.find(book, clock.at(1), "kettle", mass=kg)
        bins.add_bin(book, clock.at(1), "copper-2", holds=kg)
        buyers.buyer(book, clock.at(1), "harbour", buyers.Terms("yard", km="5"))
        hauls.start(book, clock.at(2), ["harbour"])
    met(one, two)
    return one, two


def test_two_devices_kettle_1_stay_two(both: tuple[MemoryBook, MemoryBook]) -> None:
    for book in both:
        assert sorted(now.mg for now in standing.finds(book).values()) == [2 * KG, 3 * KG]
        assert sorted(now.mg for now in standing.bins(book).values()) == [2 * KG, 3 * KG]
        assert len(trading.hauls(book)) == 2
        assert len(trading.buyers(book)) == 1  # buyers fall together by name
    assert both[0].state == both[1].state


def line(of: str) -> tickets.LineGiven:
    return tickets.LineGiven("copper-2", "1 kg", "9 /kg", own="1 kg", bin=of)


def tailed(book: Book, sort: str, name: str) -> str:
    [key] = [key for key in book.keys(f"{sort}:") if key.startswith(f"{sort}:{name}~")]
    return key.partition(":")[2]


def test_a_name_that_two_go_by_is_asked_about(both: tuple[MemoryBook, MemoryBook], clock: Clock) -> None:
    book = both[0]
    key = tailed(book, "find", "kettle-1")
    with pytest.raises(Asked) as question:
        finds.test(book, clock.at(3), "kettle-1", "no")
    assert question.value.option == "find"
    assert question.value.choices == (
        ("kettle-1~", "kettle, found 14 March 2026, 2.0 kg"),
        (key, "kettle, found 14 March 2026, 3.0 kg"),
    )
    before = len(list(book.events()))
    for answer, means in (("kettle-1~", "kettle-1"), (key, key), (key.upper(), key)):
        finds.weigh(book, clock.at(3), answer, "2.5 kg")
        assert standing.find(book, means).mg == 2_500_000
    assert len(list(book.events())) == before + 3
    finds.test(book, clock.at(4, exact=True), "kettle-1", "yes")  # a page or program says the key
    assert (standing.find(book, "kettle-1").works, standing.find(book, key).works) == ("yes", "unknown")


def test_bins_and_hauls_are_asked_about_too(both: tuple[MemoryBook, MemoryBook], clock: Clock) -> None:
    book = both[0]
    for action in (
        lambda: bins.recount(book, clock.at(3), "copper-2", "1 kg"),
        lambda: bins.move(book, clock.at(3), "copper-2", "copper-light"),
        lambda: hauls.finish(book, clock.at(3), "haul-1"),
        lambda: tickets.ticket(book, clock.at(3), "harbour", [line("copper-2")]),
        lambda: tickets.ticket(
            book,
            clock.at(3),
            "harbour",
            [tickets.LineGiven("copper-2", "2 kg", "9 /kg", bin="copper-2~")],
            haul="haul-1",
        ),
    ):
        with pytest.raises(Asked, match="from several devices"):
            action()
    with pytest.raises(Refused, match="out of 2 bins"):
        tickets.ticket(book, clock.at(3), "harbour", [line("")])
    key = tailed(book, "bin", "copper-2")
    bins.move(book, clock.at(3), key, "copper-2~", "1 kg")
    assert {name: now.mg for name, now in standing.bins(book).items()} == {"copper-2": 3 * KG, key: 2 * KG}
    hauls.finish(book, clock.at(3), tailed(book, "haul", "haul-1"), km="5")
    assert sorted(now.status for now in trading.hauls(book).values()) == ["finished", "started"]


def test_a_ticket_out_of_the_right_bin_and_its_payment(both: tuple[MemoryBook, MemoryBook], clock: Clock) -> None:
    for book in both:
        key = tailed(book, "bin", "copper-2")
        tickets.ticket(book, clock.at(3), "harbour", [line(key)])
    met(*both)
    book = both[0]
    assert len(trading.tickets(book)) == 2 and {t.ticket for t in trading.tickets(book).values()} == set(
        trading.tickets(book)
    )
    assert {name: now.mg for name, now in standing.bins(book).items()} == {
        "copper-2": 2 * KG, tailed(book, "bin", "copper-2"): 1 * KG
    }  # fmt: skip
    with pytest.raises(Asked):
        money.paid(book, clock.at(4), "harbour", "9", "ticket-1")
    key = tailed(book, "ticket", "ticket-1")
    money.paid(book, clock.at(4), "harbour", "9", key)
    assert set(trading.owed(book)) == {"ticket-1"}


def test_a_name_with_a_tail_goes_on_alone_once_the_other_is_gone(
    both: tuple[MemoryBook, MemoryBook], clock: Clock
) -> None:
    """The key stays, and the plain name is enough where only one open find goes by it."""
    book = both[0]
    selling.discard(book, clock.at(3), "kettle-1~")
    finds.test(book, clock.at(4), "kettle-1", "yes")
    assert standing.find(book, tailed(book, "find", "kettle-1")).works == "yes"


def test_new_names_avoid_every_name_that_was_ever_used(clock: Clock) -> None:
    book = started(clock)
    first = finds.find(book, clock.at(0), "kettle")
    correct(book, clock.at(0), str(first.undo[0]))
    again = finds.find(book, clock.at(0), "kettle")
    assert isinstance(again.events[0].what, Found) and again.events[0].what.find == "kettle-2"


def test_what_is_put_right_stays_the_same_find(both: tuple[MemoryBook, MemoryBook], clock: Clock) -> None:
    one, two = both
    key = tailed(one, "find", "kettle-1")
    found = next(event for event in one.events(("found",), f"find:{key}"))
    correct(one, clock.at(3), str(found.id), changes={"works": "no"})
    finds.weigh(two, clock.at(4), key, "3.5 kg")
    met(one, two)
    now = standing.find(one, key)
    assert (now.works, now.mg) == ("no", 3_500_000) and len(standing.finds(one)) == 2


# --- which copy it is ------------------------------------------------------------------------------


def recorded(book: Book, context: Context) -> str:
    result: Recorded[object] = place.set_(book, context, "bench", "6")  # type: ignore[assignment]
    return result.events[0].device


def test_a_copy_made_by_other_means_is_another_device(tmp_path: Path, clock: Clock) -> None:
    with open_workspace(tmp_path / "one") as book:
        device = recorded(book, clock.at(0))
        assert device == recorded(book, clock.at(1)) and len(device) == 8
    with open_workspace(tmp_path / "one") as book:
        assert recorded(book, clock.at(2)) == device
    shutil.copytree(tmp_path / "one", tmp_path / "two")
    with open_workspace(tmp_path / "two") as copy, open_workspace(tmp_path / "one") as book:
        assert copy.facts() == book.facts()
        other = recorded(copy, clock.at(3))
        assert other != device and recorded(copy, clock.at(4)) == other
        assert recorded(book, clock.at(3)) == device
    (tmp_path / "one" / FILE).rename(tmp_path / FILE)  # moved, not copied
    with open_workspace(tmp_path) as book:
        assert recorded(book, clock.at(5)) == device


def test_on_disk_as_in_memory_the_next_order_is_beyond_the_last(tmp_path: Path, clock: Clock) -> None:
    with open_workspace(tmp_path) as book:
        for hours in (0, -1, -2, 3):
            recorded(book, clock.at(hours))
        orders = [event.position[0] for event in book.events()]
        assert orders == sorted(set(orders))
        recorded(book, clock.at(3, stated=-5))
        recorded(book, clock.at(3, stated=-5))
        stated = [event.position[0] for event in book.events()][-2:]
        start = NOON - dt.timedelta(hours=5)
        assert stated == [start, start + dt.timedelta(microseconds=1)]
