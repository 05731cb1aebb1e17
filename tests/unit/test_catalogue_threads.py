"""The catalogue read by several threads at once, as the app does it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from importlib import import_module
from pathlib import Path
from threading import Barrier, Event
from typing import TypeVar

import pytest

from partway.catalogue.reading.toml import load
from partway.catalogue.shipped import DATA, catalogue_in

THREADS = 8
shipped = import_module("partway.catalogue.shipped")  # the package has a function of this name
T = TypeVar("T")


def together(work: Callable[[], T]) -> list[T]:
    """What each of eight threads gets that begin at one moment. An error in one is raised here."""
    gate = Barrier(THREADS)

    def begin() -> T:
        gate.wait(timeout=20)
        return work()

    with ThreadPoolExecutor(THREADS) as pool:
        return [done.result(timeout=60) for done in [pool.submit(begin) for _ in range(THREADS)]]


def test_a_second_thread_waits_for_the_first_and_sees_no_component_within_itself(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    catalogue = catalogue_in(DATA)
    name = catalogue.component.names[0]
    reading, let_go, read = Event(), Event(), []

    def held(path: Path) -> dict[str, object]:
        read.append(path.stem)
        reading.set()
        assert let_go.wait(timeout=20)
        return load(path)

    monkeypatch.setattr(shipped, "load", held)
    with ThreadPoolExecutor(2) as pool:
        first = pool.submit(catalogue.component, name)
        assert reading.wait(timeout=20)
        second = pool.submit(catalogue.component, name)
        wait([second], timeout=0.2)  # without a lock it is refused at once
        let_go.set()
        assert second.result(timeout=20) is first.result(timeout=20)
    assert read.count(name) == 1


def test_threads_read_all_kinds_as_one_does() -> None:
    shared, alone = catalogue_in(DATA), catalogue_in(DATA)

    expected = alone.all_anatomies()
    for found in together(shared.all_anatomies):
        assert found == expected
