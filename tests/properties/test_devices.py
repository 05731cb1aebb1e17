"""Several devices that write one ledger without each other's knowledge: their union is one state, in any order.

Source: docs/model.md (a merge is a union, a recount asserts what is there at its time, a correction takes back).
What bins and finds hold is held against a replay written here from the payloads alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers.devices import Device
from ledgers.servers import emptied, empty_workspace, everything, kept
from ledgers.strategies import fleets

from partway.ledger.events import kinds as p
from partway.ledger.events.event import Event
from partway.ledger.events.fields import SORTS
from partway.ledger.events.subjects import named_in
from partway.ledger.fold.fold import check, fold, merge
from partway.ledger.memory import MemoryBook
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace
from partway.storage.writing.rebuild import models_of

MANY = settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SOME = settings(
    max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture]
)
MADE = tuple(f"{sort}:" for sort in SORTS)


def union(fleet: Sequence[Device]) -> list[Event]:
    return list({event.id: event for device in fleet for event in device.book.recorded()}.values())


def counting(events: Sequence[Event]) -> list[Event]:
    """What counts, in the order that decides: a correction takes back one earlier event unless it is taken back."""
    void: set[object] = set()
    for event in sorted(events, key=lambda event: event.id, reverse=True):
        if isinstance(event.what, p.Corrected) and event.id not in void:
            void.add(event.what.event)
    return sorted((e for e in events if e.id not in void), key=lambda e: (e.order or e.happened, e.id))


Held = dict[tuple[str, object, str], int]


def replayed(events: Sequence[Event]) -> Held:
    """What each bin and find holds, by its maker, when everything happens again in its order."""
    held: Held = {}
    for event in counting(events):
        makers = dict(event.refs)
        for subject, grade, mg, is_said in effects_by_hand(event.what):
            key = (subject.partition(":")[0], makers[subject], grade)
            held[key] = mg if is_said else held.get(key, 0) + mg
    return {key: mg for key, mg in held.items() if mg}


def effects_by_hand(what: p.Payload) -> Iterator[tuple[str, str, int, bool]]:
    """Subject, grade, milligrams, and whether a scale says that so many are there; else so many are added."""
    match what:
        case p.Found(find=find, mass_mg=mg):
            yield f"find:{find}", "", mg or 0, False
        case p.Weighed(find=find, mass_mg=mg):
            yield f"find:{find}", "", mg, True
        case p.Recounted(bin=name, grade=grade, mass_mg=mg):
            yield f"bin:{name}", grade, mg, True
        case p.Parted(find=find, mass_mg=mg, was_mg=was) | p.Discarded(find=find, mass_mg=mg, was_mg=was):
            yield f"find:{find}", "", max(0, mg - was) - mg, False
        case p.Opened() as opened:
            out = sum(piece.mass_mg for piece in opened.pieces) + opened.residue_mg + opened.loss_mg
            yield f"find:{opened.find}", "", max(0, out - opened.was_mg) - out, False
            yield from ((f"bin:{piece.bin}", piece.grade, piece.mass_mg, False) for piece in opened.pieces)
        case p.Moved() as moved:
            yield f"bin:{moved.bin}", moved.grade, -moved.mass_mg, False
            yield f"bin:{moved.to_bin}", moved.to_grade, moved.mass_mg, False
        case p.Ticketed(lines=lines):
            yield from ((f"bin:{line.bin}", line.grade, -line.own_mg, False) for line in lines)
        case p.Returned() as back:
            yield f"bin:{back.bin}" if back.bin else f"find:{back.find}", back.grade or "", back.mass_mg, False


def by_maker(book: MemoryBook | SqlBook) -> Held:
    """The same as the book says it."""
    places = {key: mg for key, mg in book.balances().items() if key[0].startswith(("find:", "bin:"))}
    makers = book.makers(sorted({place for place, _ in places}))
    return {(place.partition(":")[0], makers[place], grade): mg for (place, grade), mg in places.items()}


@MANY
@given(fleets(), st.data())
def test_merged_in_any_order_and_twice_it_is_the_same_state(fleet: list[Device], data: st.DataObject) -> None:
    states = [device.book.state for device in data.draw(st.permutations(fleet))]
    whole = fold(union(fleet))
    check(whole)
    merged = states[0]
    for state in [*states, *states]:
        merged = merge(merged, state)
    assert merged == whole
    assert fold(data.draw(st.permutations(union(fleet)))) == whole
    one_by_one = MemoryBook()
    for event in data.draw(st.permutations(union(fleet))):
        one_by_one.append([event])
    assert one_by_one.state == whole


@MANY
@given(fleets())
def test_a_scale_is_believed_whatever_arrives_late(fleet: list[Device]) -> None:
    for device in fleet:
        assert by_maker(device.book) == replayed(list(device.book.recorded()))
    assert by_maker(MemoryBook(fold(union(fleet)))) == replayed(union(fleet))


@MANY
@given(fleets())
def test_things_of_two_devices_never_fall_together(fleet: list[Device]) -> None:
    """Each maker has a key of its own, and what was said of one of two things is not said of the other."""
    events = union(fleet)
    book = MemoryBook(fold(events))
    made = {(s.partition(":")[0], maker) for event in events for s, maker in event.refs}
    keys = {key for sort in MADE for key in book.keys(sort)}
    assert len(keys) == len(made)
    makers = book.makers(sorted(keys))
    assert {(key.partition(":")[0], maker) for key, maker in makers.items()} == made
    by_id = {event.id: event for event in events}
    for key, maker in makers.items():
        assert maker is not None
        called = next(
            s for s in named_in(by_id[maker].what) if dict(by_id[maker].refs).get(s) == maker and s[:4] == key[:4]
        )
        assert key == called or key.startswith(f"{called}~")
    for event in counting(events):
        if isinstance(event.what, p.Found):
            key = next(key for key, maker in makers.items() if maker == event.id and key.startswith("find:"))
            assert book.facts(key)[key, "kind"] == event.what.kind


@MANY
@given(fleets(devices=2))
def test_events_are_given_with_the_names_by_which_things_go_here(fleet: list[Device]) -> None:
    book = MemoryBook(fold(union(fleet)))
    recorded = {event.id: event for event in book.recorded()}
    assert recorded == {event.id: event for event in union(fleet)}
    for event in book.events():
        makers = book.makers(list(dict(event.refs)))
        assert makers == dict(event.refs)
        assert sorted(makers.values(), key=str) == sorted(dict(recorded[event.id].refs).values(), key=str)
        for subject in makers:
            assert event in list(book.events(subject=subject))


@pytest.fixture(params=["sqlite", "postgres"])
def book(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[SqlBook]:
    with empty_workspace(request.param, tmp_path) as where, open_workspace(where) as opened:
        yield opened


@SOME
@given(fleet=fleets(), data=st.data())
def test_on_disk_it_is_the_same_after_every_append(book: SqlBook, fleet: list[Device], data: st.DataObject) -> None:
    """The increments of the database, the plain fold and a rebuild agree, whatever arrives in whatever order."""
    arriving: list[Event] = data.draw(st.permutations(union(fleet)))
    emptied(book)
    there: list[Event] = []
    memory = MemoryBook(fold(there))
    while arriving:
        several = data.draw(st.integers(1, len(arriving)))
        there, arriving = there + arriving[:several], arriving[several:]
        assert book.append(there) == several
        memory = MemoryBook(fold(there))
        assert kept(book) == models_of(memory.state)
    live = everything(book)
    book.rebuild()
    assert everything(book) == live
    assert by_maker(book) == replayed(union(fleet))
    assert list(book.events()) == list(memory.events())
    assert list(book.recorded()) == list(memory.recorded())
    assert book.flows() == memory.flows()
    assert book.keys("find:") == memory.keys("find:")
    for event in there:
        mine, others = book.effects(event.id), memory.effects(event.id)
        assert event.id in memory.voided() or (set(mine.moves), mine.facts) == (set(others.moves), others.facts)
