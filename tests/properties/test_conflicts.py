"""What cannot all be true is found, exactly: over random histories of two and three devices, in any order of arrival,
the ledger lists what a plain check of the union finds (plain_conflicts.py, written from docs/exchange.md).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ledgers.clashing import Town, town
from ledgers.strategies import Drawn
from ledgers.yard import Seeded
from plain_conflicts import Found, plain_conflicts

from partway.ledger.balance.conflicts import CODES, Conflict
from partway.ledger.events.event import Event
from partway.ledger.fold.fold import fold
from partway.ledger.memory import MemoryBook
from partway.storage.workspace import open_workspace

MANY = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
TWO, THREE, OLD = ("aaaaaaaa", "bbbbbbbb"), ("aaaaaaaa", "bbbbbbbb", "cccccccc"), ("", "aaaaaaaa", "bbbbbbbb")
CASTS = [TWO, THREE, OLD]


def told(conflicts: Iterable[Conflict]) -> set[Found]:
    listed = [(one.code, frozenset(one.events), one.mg) for one in conflicts]
    assert len(set(listed)) == len(listed)
    return {(str(code), events, mg) for code, events, mg in listed}


@MANY
@given(st.data(), st.sampled_from(CASTS))
def test_memory_lists_what_a_plain_check_of_the_union_finds(data: st.DataObject, names: tuple[str, ...]) -> None:
    events = town(Drawn(data.draw), names, data.draw(st.integers(2, 30))).union()
    book = MemoryBook()
    for event in data.draw(st.permutations(events)):
        book.append([event])
    assert told(book.conflicts()) == plain_conflicts(events)


@pytest.mark.parametrize("seed", range(40))
def test_memory_over_longer_days(seed: int) -> None:
    events = _seeded(seed).union()
    book = MemoryBook()
    book.append(events)
    assert told(book.conflicts()) == plain_conflicts(events)


@pytest.mark.parametrize("seed", range(24))
def test_a_ledger_on_disk_lists_the_same_after_every_append(seed: int, tmp_path: Path) -> None:
    """In any order of arrival, one by one and in lots, also what is there already; and made anew it says the same."""
    events, random = _seeded(seed, 40).union(), Random(seed)
    random.shuffle(events)
    there: list[Event] = []
    with open_workspace(tmp_path) as book:
        while len(there) < len(events):
            count = random.choice((1, 1, 2, 5))
            book.append([*events[len(there) : len(there) + count], *there[-2:]])
            there = events[: len(there) + count]
            assert told(book.conflicts()) == plain_conflicts(there)
        live = book.conflicts()
        book.rebuild()
        assert book.conflicts() == live == MemoryBook(fold(events)).conflicts()


def _seeded(seed: int, steps: int = 60) -> Town:
    return town(Seeded(seed), CASTS[seed % 3], steps)


def test_the_days_have_conflicts_of_every_sort() -> None:
    """Otherwise the checks above prove nothing about a sort that never comes up."""
    seen = Counter(code for seed in range(99) for code, _, _ in plain_conflicts(_seeded(seed).union()))
    assert set(seen) == set(CODES)
    assert min(seen.values()) >= 5
