"""The demo's months in a workspace: made once an hour of their end, then copied, as making them takes seconds.

The parts of one run copy each other's, by a folder that `.ci/tests` makes for the run and removes after it.
"""

from __future__ import annotations

import datetime as dt
import fcntl
import os
import shutil
import tempfile
from functools import cache
from pathlib import Path

from workspaces import new_workspace

from partway.actions.demo import demo_months

FOLDER = "PARTWAY_TEST_MONTHS"


def months_in(folder: Path, until: dt.datetime) -> None:
    """A workspace in a folder that has none, with the months that `demo_months` makes up to a time."""
    shutil.copytree(
        _made(until.astimezone(dt.UTC).replace(minute=0, second=0, microsecond=0)), folder, dirs_exist_ok=True
    )


@cache
def _made(until: dt.datetime) -> Path:
    """A closed workspace: nothing of it is still in a log beside it."""
    folder = Path(os.environ.get(FOLDER) or _folder().name) / f"{until:%Y%m%dT%H}"
    with folder.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # who comes second waits, and copies
        if not folder.exists():
            part = folder.with_suffix(".part")
            shutil.rmtree(part, ignore_errors=True)  # of somebody who was ended on the way
            with new_workspace(part) as book:
                demo_months(book, until)
            part.rename(folder)
    return folder


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    """Gone when the tests end."""
    return tempfile.TemporaryDirectory(prefix="partway-months-")
