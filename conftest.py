"""What holds for every test."""

from __future__ import annotations

import gc
import os
import tempfile

from compiled_once import compiled_once
from hypothesis import HealthCheck, settings

# Whoever runs the tests may have a ledger of their own: no test reads or writes it.
NOBODYS = tempfile.TemporaryDirectory(prefix="partway-nobodys-")
os.environ["PARTWAY_WORKSPACE"] = f"{NOBODYS.name}/workspace"

# How long an example takes says how busy the machine is, not whether it is right.
settings.register_profile("partway", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("partway")
compiled_once()


def pytest_collection_finish() -> None:
    """What was imported stays to the end: Python need not look through all of it again and again for what is gone."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 50)
