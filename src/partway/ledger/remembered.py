"""What is read from a book once for each state of it, however many pages, kinds or figures ask."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from typing import Self, TypeVar, cast

T = TypeVar("T")


class Remembering:
    """Keeps what was read until the mark changes. Two threads that ask at the same moment may both read, which costs
    time and nothing else.
    """

    def __init__(self) -> None:
        self._reading = threading.Lock()
        self._read_at: Hashable = None
        self._remembered: dict[object, object] = {}
        self._earlier: dict[object, object] = {}

    def mark(self) -> Hashable:
        """What differs after every change."""
        raise NotImplementedError

    def once(self, read: Callable[[Self], T]) -> T:
        """What `read` finds here, remembered until the ledger changes."""
        return self._found_or_read(read, lambda: read(self))

    def onward(self, read: Callable[[Self, T | None], T]) -> T:
        """The same, `read` being given what it found last, in whatever state, even one that was not kept."""

        def found() -> T:
            result = read(self, cast("T | None", self._earlier.get(read)))
            self._earlier[read] = result
            return result

        return self._found_or_read(read, found)

    def _found_or_read(self, read: object, find: Callable[[], T]) -> T:
        mark = self.mark()
        with self._reading:
            if mark == self._read_at and read in self._remembered:
                return cast(T, self._remembered[read])
        result = find()
        with self._reading:
            if mark != self._read_at:
                self._read_at, self._remembered = mark, {}
            self._remembered[read] = result
        return result
