"""What was worked out from the ledger, kept until the ledger or the day changes."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from typing import TypeVar, cast

T = TypeVar("T")


class Kept:
    """Results by name for one state of the ledger. Asking twice at the same time may work something out twice, which
    costs time and nothing else.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._state: object = None
        self._results: dict[Hashable, object] = {}

    def get(self, state: object, name: Hashable, work_out: Callable[[], T]) -> T:
        """The result of `work_out` for this state of the ledger, or of whatever it hangs on, kept under a name."""
        with self._lock:
            if state != self._state:
                self._state, self._results = state, {}
            else:
                self._state = state  # the same again: from here on as one and the same object, which compares at once
                if name in self._results:
                    return cast(T, self._results[name])
        result = work_out()
        with self._lock:
            if state == self._state:
                self._results[name] = result
        return result

    def forget(self) -> None:
        """Keep nothing, as after a change of the ledger."""
        with self._lock:
            self._state, self._results = None, {}
