"""Laws of what phones hand back: cut anywhere and repeated it is the same ledger; two copies that were handed the same
count it once after any merges; what follows from the events is what follows from them in any order.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from ledgers.servers import due, everything, kept
from noted import EVENING, MORNING, Phone, handed, intent_of

from partway.actions.bench import finds
from partway.actions.books.undoing import take_back as taken_back
from partway.actions.buyers.buyers import Terms, buyer
from partway.actions.home.settings import set_
from partway.actions.recording.context import Context
from partway.errors import Refused
from partway.ledger.book import Book
from partway.ledger.events.ids import new_id
from partway.ledger.events.kinds import Found
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.storage.exchange.union import of_book, unite
from partway.storage.workspace import open_workspace

DAWN = MORNING - dt.timedelta(hours=1)
WHATS = ("found", "tested", "weighed", "spent", "worked", "quoted", "refused", "said", "nonsense")
Step = tuple[str, int, int]  # what, a number to choose by, minutes after the one before
steps = st.lists(
    st.tuples(st.sampled_from(WHATS), st.integers(0, 5), st.sampled_from((1, 0, 7, -30, 600, 2000))),
    min_size=1,
    max_size=12,
)


def desk(book: Book, now: dt.datetime = DAWN) -> Context:
    return Context("desk", lambda: now, new_id, exact=True, zone="UTC")


def begun(book: Book) -> Book:
    """A workspace that has a buyer and a find, as the desk left it before the phone went out."""
    for name, value in (("currency", "CAD"), ("unit", "lb")):
        set_(book, desk(book), name, value)
    buyer(book, desk(book), "harbour-yard", Terms(kind="yard", km="12"))
    finds.find(book, desk(book), "fan", mass="4 lb")
    return book


def noted(drawn: list[Step]) -> list[dict[str, Any]]:
    """Entries as a phone notes them; a find is one of the desk, or one that was noted before."""
    phone, own = Phone(), ["fan-1"]
    for what, n, after in drawn:
        find = own[n % len(own)]
        if what == "found":
            own.append(
                "@" + phone.note("found", after, kind=("microwave", "fan", "kettle")[n % 3], source=f"street {n}")
            )
        elif what == "tested":
            phone.note("tested", after, find=find, works=("yes", "no")[n % 2])
        elif what == "weighed":
            phone.note("weighed", after, find=find, mass=f"{n + 2} lb", sure=True)
        elif what == "spent":
            phone.note("spent", after, what="fuel", amount=f"{n + 1}.25", category="fuel")
        elif what == "worked":
            phone.note("worked", after, activity="collect", time=str(10 + n))
        elif what == "quoted":
            phone.note("quoted", after, buyer="harbour-yard", grade="copper-2", price=f"{n + 1}.10 /lb")
        elif what == "refused":
            phone.note("refused", after, buyer="harbour-yard", grade="copper-2")
        elif what == "said":
            phone.note("said", after, text=f"fuel {n + 5} bucks. found two kettles")
        else:
            phone.note("found", after, kind="", mass="no mass")
    return phone.noted


def written(book: Book) -> list[tuple[Any, ...]]:
    """All that a ledger says but the ids of its events."""
    return [(e.what, e.who, e.happened, e.typed, e.order, e.intent) for e in book.recorded()]


def figures(book: Book) -> tuple[Any, ...]:
    return dict(book.balances()), dict(book.facts()), dict(book.accounts())


@given(steps, st.lists(st.integers(0, 12), max_size=4))
@settings(max_examples=60, deadline=None)
def test_cut_anywhere_and_repeated_it_is_the_same_ledger(drawn: list[Step], cuts: list[int]) -> None:
    entries = [intent_of(entry) for entry in noted(drawn)]
    once, often = begun(MemoryBook(device="0000000a")), begun(MemoryBook(device="0000000a"))
    first = handed(once, entries)
    for cut in cuts:
        handed(often, entries[:cut])
    handed(often, entries)
    assert written(often) == written(once)
    assert figures(often) == figures(once)
    again = handed(often, entries)
    assert written(often) == written(once)
    for one, other in zip(first, again, strict=True):
        assert other.outcome == ("already" if one.outcome in ("done", "already") else one.outcome)


@given(steps)
@settings(max_examples=40, deadline=None)
def test_what_follows_does_not_depend_on_the_order_of_arrival(drawn: list[Step]) -> None:
    book = MemoryBook(device="0000000a")
    handed(begun(book), [intent_of(entry) for entry in noted(drawn)])
    assert fold(reversed(list(book.recorded()))) == book.state


MEETINGS = ("to one", "to other", "work")


@given(steps, st.integers(0, 12), st.booleans(), st.booleans(), st.lists(st.sampled_from(MEETINGS), max_size=4))
@settings(max_examples=120, deadline=None)
def test_two_copies_that_took_the_same_count_it_once(
    drawn: list[Step], cut: int, one_first: bool, at_one: bool, then: list[str]
) -> None:
    """One copy took a part of it, the other all; then they meet, in any order, once or several times, and somebody goes
    on with the finds at one of them meanwhile.
    """
    entries = [intent_of(entry) for entry in noted(drawn)]
    one, other = MemoryBook(device="0000000a"), MemoryBook(device="0000000b")
    other.append(list(begun(one).recorded()))
    alone = MemoryBook(device="0000000c")
    alone.append(list(one.recorded()))
    handed(alone, entries)
    pair = [(one, entries[:cut]), (other, entries)]
    for book, part in pair if one_first else reversed(pair):
        handed(book, part, EVENING + dt.timedelta(minutes=book is other))
    for step in then:
        if step == "work":
            _work_on(one if at_one else other, EVENING + dt.timedelta(hours=1))
        else:
            _meet(one, other, to_one=step == "to one")
    for _ in range(2):
        _meet(one, other, to_one=True)
        _meet(one, other, to_one=False)
    assert figures(one) == figures(other)
    assert counted_by(one) == counted_by(alone), "each entry counts on one copy, and none is lost"
    if "work" not in then or not at_one or cut >= len(entries):  # else both went on with it: 0012, "Not settled"
        assert loose(one) == []
    if "work" not in then:
        assert dict(one.accounts()) == dict(alone.accounts())
        assert sum(one.balances("find:").values()) == sum(alone.balances("find:").values())
        assert len(kinds(one)) == len(kinds(alone))
    before = written(one)
    _meet(one, other, to_one=True)
    assert written(one) == before


def _meet(one: MemoryBook, other: MemoryBook, *, to_one: bool) -> None:
    into, read = (one, other) if to_one else (other, one)
    unite(into, of_book(read, "the other"))


def loose(book: MemoryBook) -> list[str]:
    """What counts and speaks of a find that does not."""
    voided = book.voided()
    counting = [event for event in book.recorded() if event.id not in voided and event.kind != "corrected"]
    return [event.kind for event in counting if any(maker in voided for _, maker in event.refs)]


def counted_by(book: MemoryBook) -> set[Any]:
    """The intents that count; each on one copy alone."""
    by: dict[Any, set[str]] = defaultdict(set)
    for event in book.recorded():
        if event.intent is not None and event.id not in book.voided():
            by[event.intent].add(event.device)
    assert all(len(devices) == 1 for devices in by.values())
    return set(by)


def kinds(book: Book) -> dict[Any, str]:
    voided = book.voided()
    return {e.id: e.kind for e in book.events(("found",)) if e.id not in voided}


def _work_on(book: MemoryBook, now: dt.datetime) -> None:
    """Somebody at a desk weighs what the phone found."""
    voided = book.voided()
    for event in list(book.events(("found",))):
        if event.intent is not None and event.id not in voided and isinstance(event.what, Found):
            finds.weigh(book, desk(book, now), event.what.find, "9 lb", sure=True)


@given(steps, st.integers(0, 11))
@settings(max_examples=40, deadline=None)
def test_taken_back_at_the_desk_stays_taken_back(drawn: list[Step], n: int) -> None:
    book = begun(MemoryBook(device="0000000a"))
    entries = [intent_of(entry) for entry in noted(drawn)]
    done = [one for one in handed(book, entries) if one.undo]
    if not done:
        return
    one = done[n % len(done)]
    try:
        taken_back(book, desk(book, EVENING), [str(event_id) for event_id in one.undo], "not so")
    except Refused:  # others rest on it: then it stays as it is
        return
    before = figures(book)
    again = {answer.id: answer for answer in handed(book, entries)}
    assert again[one.id].outcome == "already"
    assert "taken back or put right since" in again[one.id].told.said
    assert figures(book) == before


@given(steps)
@settings(max_examples=8, deadline=None)
def test_a_rebuilt_ledger_equals_the_live_one(tmp_path_factory: Any, drawn: list[Step]) -> None:
    folder: Path = tmp_path_factory.mktemp("pocket")
    with open_workspace(folder) as book, open_workspace(folder) as second:
        entries = [intent_of(entry) for entry in noted(drawn)]
        begun(book)
        handed(book, entries[: len(entries) // 2])
        handed(second, entries)
        assert kept(book) == due(book)
        live = everything(book)
        book.rebuild()
        assert everything(book) == live
