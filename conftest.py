"""What holds for every test."""

from __future__ import annotations

import gc


def pytest_collection_finish() -> None:
    """What was imported stays to the end: Python need not look through all of it again and again for what is gone."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)
