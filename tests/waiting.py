"""Waiting for what happens in another thread, without asserting how long it takes."""

from __future__ import annotations

import threading
from collections.abc import Callable

STEP = 0.01  # seconds between two looks


def until(holds: Callable[[], bool], soon: float) -> None:
    """Wait for something; fails where it does not come within `soon` seconds."""
    pause = threading.Event()
    for _ in range(int(soon / STEP)):
        if holds():
            return
        pause.wait(STEP)
    raise AssertionError("it did not come to that")
